"""Loudspeakers down the hall at the seats that they are for: is sound still heard from the front?

The first sound says where it comes from, as long as what follows is no louder than ears let pass
(``delay.louder_by_db``); of what comes before the front the front has to be louder by as much.
What lies farther apart than ears fuse is an echo, and told by another rule.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.acoustics.sound.air import Air
from levelhead.acoustics.sound.delay import FUSES_TO_S, LEAST_SHARE, louder_by_db
from levelhead.acoustics.sound.loudspeaker import Loudspeaker
from levelhead.acoustics.sound.paths import paths_to
from levelhead.acoustics.twice.delays_of import repeating

__all__ = ["Delayed", "delayed_seats"]

OWN_ZONE_DB: Final = 20.0  # above the front at every seat: a foyer, a bar; nobody waits for it
SILENT_PA2: Final = 1e-30

Real = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Delayed:
    """A loudspeaker that repeats others, at the seats of an area.

    ``share`` of the seats hear it by itself. The numbers are those of a seat than which a quarter
    are worse off: how much louder it is than the front, how much it may be, by how much it comes
    behind. [dB, s]
    """

    area: str
    name: str
    front: str
    share: float
    louder_db: float
    may_be_db: float
    behind_s: float

    @property
    def excess_db(self) -> float:
        """How much louder it is than it may be; below zero while all is well. [dB]"""
        return self.louder_db - self.may_be_db


def delayed_seats(
    area: str, places_m: Real, loudspeakers: Sequence[Loudspeaker], air: Air
) -> Iterator[Delayed]:
    """Every loudspeaker that repeats others and plays to an area that hears those, too."""
    for own, front in repeating(loudspeakers):
        paths = paths_to(places_m, [own, *front], air=air)
        power = np.maximum(paths.power[:, 0].sum(-1), SILENT_PA2)
        louder_db = 10.0 * np.log10(power[0] / power[1:].sum(0))
        first = 1 + np.argmin(paths.time_s[1:, 0], axis=0)
        behind_s = paths.time_s[0, 0] - paths.time_s[first, 0, np.arange(len(places_m))]
        before = (places_m - own.at_m) @ own.axis > 0
        fused = before & (np.abs(behind_s) <= FUSES_TO_S)
        if float(louder_db.min()) >= OWN_ZONE_DB or not fused.any():
            continue
        may_be_db = np.array([_may_be_db(each) for each in behind_s.tolist()])
        excess_db = np.where(fused, louder_db - may_be_db, -np.inf)
        at = int(np.argsort(excess_db)[-math.ceil(LEAST_SHARE * len(places_m))])
        at = at if fused[at] else int(np.argmax(excess_db))
        yield Delayed(
            area=area,
            name=own.name,
            front=front[int(first[at]) - 1].name,
            share=float((excess_db > 0).mean()),
            louder_db=float(louder_db[at]),
            may_be_db=float(may_be_db[at]),
            behind_s=float(behind_s[at]),
        )


def _may_be_db(behind_s: float) -> float:
    """How much louder than the front it may be; it has to be weaker where it comes first. [dB]"""
    return math.copysign(louder_by_db(abs(behind_s)), behind_s)
