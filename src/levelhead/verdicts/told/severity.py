"""How bad it is: four words, in order."""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum
from typing import Final

__all__ = ["Severity", "worst"]


class Severity(StrEnum):
    """How bad it is, from nothing to do to people or gear that can be hurt."""

    FINE = "fine"
    CARE = "care"
    FAILS = "fails"
    HARM = "harm"

    @property
    def rank(self) -> int:
        """0 for fine to 3 for harm."""
        return _RANKS[self]


_RANKS: Final = {severity: rank for rank, severity in enumerate(Severity)}


def worst(severities: Iterable[Severity]) -> Severity:
    """The worst of several; fine when there are none.

    >>> worst([Severity.CARE, Severity.FINE]).value, worst([]).value
    ('care', 'fine')
    """
    return max(severities, key=lambda severity: severity.rank, default=Severity.FINE)
