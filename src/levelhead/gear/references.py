"""Names inside an entry that lead nowhere."""

from __future__ import annotations

from levelhead.errors import GearError
from levelhead.gear.model import TypeEntry


def dangling(entry: TypeEntry) -> list[GearError]:
    """Errors of names that lead nowhere."""
    return []
