"""What stands against an answer about the air, or was taken for granted in it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

__all__ = ["INSIDE_LOUDSPEAKER", "NO_LOUDSPEAKER", "Remark"]

NO_LOUDSPEAKER = "acoustics.no-loudspeaker"
INSIDE_LOUDSPEAKER = "acoustics.inside-loudspeaker"


@dataclass(frozen=True, slots=True)
class Remark:
    """One thing to know: ``fails`` where no answer can be had, ``care`` where one was assumed."""

    code: str
    severity: Literal["fails", "care"]
    where: str
    what: str

    def to_json(self) -> dict[str, str]:
        """As docs/acoustics.md prints it."""
        return {
            "code": self.code,
            "severity": self.severity,
            "where": self.where,
            "what": self.what,
        }
