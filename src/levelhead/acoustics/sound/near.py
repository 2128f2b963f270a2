"""What stands near a microphone and is in no formula: heads, hands, bodies, stage floors.

Close microphones and wedges live on direct sound, and people and boards around them make some
decibels either way. Each is a named term with a spread; they add, spreads as squares.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

__all__ = ["NEAR_TERMS", "NearTerm", "together"]


@dataclass(frozen=True, slots=True, kw_only=True)
class NearTerm:
    """Something near that adds to the way from a loudspeaker to a microphone. [dB]"""

    what: str
    gain_db: float
    spread_db: float
    source: str = "from memory"


NEAR_TERMS: Final[Mapping[str, NearTerm]] = MappingProxyType(
    {
        "head": NearTerm(
            what="head in front of a close microphone throws a wedge's sound back into it",
            gain_db=3.0,
            spread_db=2.0,
        ),
        "body": NearTerm(
            what="body between a loudspeaker behind the singer and the microphone",
            gain_db=-4.0,
            spread_db=3.0,
        ),
        "floor": NearTerm(
            what="wedge on the stage floor: its low notes get a second source in phase",
            gain_db=3.0,
            spread_db=2.0,
        ),
        "hand": NearTerm(
            what="hand around the head of the microphone: it hears all around",
            gain_db=6.0,
            spread_db=3.0,
        ),
    }
)
"""Typical terms by name."""


def together(terms: Iterable[NearTerm]) -> tuple[float, float]:
    """Gain and spread of several terms. [dB]

    >>> together([NEAR_TERMS["head"], NEAR_TERMS["floor"]])
    (6.0, 2.8)
    """
    all_terms = list(terms)
    gain_db = sum(each.gain_db for each in all_terms)
    return gain_db, round(math.hypot(*(each.spread_db for each in all_terms)), 1)
