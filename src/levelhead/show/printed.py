"""Which sheets were made, when, by whom and with what on them: remembered in the history."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from levelhead.show.history import History

__all__ = ["Printed", "last_printed", "note_printed"]

_READ: Final = "SELECT at, person, fingerprint, name, content FROM sheets ORDER BY number"
_WRITE: Final = "INSERT INTO sheets (at, person, fingerprint, name, content) VALUES (?, ?, ?, ?, ?)"


@dataclass(frozen=True, slots=True)
class Printed:
    """A sheet as it was made: its name, a text of hashes that tells its content, of which state."""

    name: str
    content: str
    fingerprint: str
    at: datetime
    person: str


def note_printed(
    history: History, contents: Mapping[str, str], fingerprint: str, *, at: datetime, person: str
) -> None:
    """Remember that sheets were made of a state.

    Parameters
    ----------
    contents
        By the name of each sheet, the text that tells what stands on it.

    Raises
    ------
    ShowError
        The history cannot be written.
    """
    rows = [
        (at.isoformat(), person, fingerprint, name, content) for name, content in contents.items()
    ]
    history.write(_WRITE, *rows)


def last_printed(history: History) -> tuple[Printed, ...]:
    """Each sheet as it was made last, in the order in which they were first made."""
    found: dict[str, Printed] = {}
    for at, person, fingerprint, name, content in history.rows(_READ):
        found[name] = Printed(name, content, fingerprint, datetime.fromisoformat(at), person)
    return tuple(found.values())
