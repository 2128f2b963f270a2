"""Whole show files kept in the history: those that sheets were printed from, and what was lost."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Final

from levelhead.show.history.journal import History

__all__ = ["KeptText", "keep_text", "kept_text", "kept_texts"]

_WRITE: Final = "INSERT INTO texts (at, person, reason, fingerprint, text) VALUES (?, ?, ?, ?, ?)"
_READ: Final = "SELECT text FROM texts WHERE fingerprint = ? ORDER BY number DESC LIMIT 1"
_READ_ALL: Final = "SELECT fingerprint, at, person, reason FROM texts ORDER BY number DESC"


@dataclass(frozen=True, slots=True)
class KeptText:
    """One kept text, without the text itself."""

    fingerprint: str
    at: datetime
    person: str
    reason: str


def keep_text(
    history: History, text: str, fingerprint: str, *, at: datetime, person: str, reason: str
) -> None:
    """Keep a whole show file, e.g. the one that sheets are printed from.

    Parameters
    ----------
    text, fingerprint : str
        The file, and the fingerprint of its show.
    at : datetime
        When.
    person, reason : str
        Who kept it and what for, as people read it.
    """
    history.write(_WRITE, (at.isoformat(), person, reason, fingerprint, text))


def kept_text(history: History, fingerprint: str) -> str | None:
    """The text kept last under a fingerprint, or ``None``."""
    rows = history.rows(_READ, (fingerprint,))
    return str(rows[0][0]) if rows else None


def kept_texts(history: History) -> tuple[KeptText, ...]:
    """All kept texts, newest first."""
    return tuple(
        KeptText(fingerprint, datetime.fromisoformat(at), person, reason)
        for fingerprint, at, person, reason in history.rows(_READ_ALL)
    )
