"""Seats at which one signal comes twice, close in time and level: where colours are to be heard."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from levelhead.acoustics.delay import comb
from levelhead.acoustics.loudspeaker import Loudspeaker
from levelhead.acoustics.paths import paths_to
from levelhead.acoustics.seats import Venue

__all__ = ["Combed", "combed_seats"]

FROM_S: Final = 1e-3  # shorter and the first null lies above the range of voices
MIDDLE: Final = slice(14, 24)  # 500 Hz to 4 kHz, thirds
LEAST_SHARE: Final = 0.25  # of the seats; fewer are the usual overlap of two loudspeakers

Real = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Combed:
    """Two loudspeakers of one signal at the seats of an area: at which share they colour.

    ``null_hz`` are the first nulls, from and to.
    """

    area: str
    one: str
    other: str
    share: float
    null_hz: tuple[float, float]

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        return {
            "area": self.area,
            "loudspeakers": [self.one, self.other],
            "share": round(self.share, 2),
            "first_null_hz": [round(each) for each in self.null_hz],
        }


def combed_seats(
    area: str, places_m: Real, loudspeakers: Sequence[Loudspeaker], venue: Venue
) -> Iterator[Combed]:
    """Pairs of loudspeakers of one signal that colour a quarter of an area or more."""
    if not loudspeakers:
        return
    paths = paths_to(places_m, loudspeakers, air=venue.air)
    power = paths.power[:, 0, :, MIDDLE].sum(-1)
    time_s = paths.time_s[:, 0]
    for one, other in itertools.combinations(range(len(loudspeakers)), 2):
        if loudspeakers[one].signal != loudspeakers[other].signal:
            continue
        apart_s = np.abs(time_s[one] - time_s[other])
        down_db = 10 * np.log10(np.maximum(power[one], 1e-30) / np.maximum(power[other], 1e-30))
        heard = [
            comb(apart_s=apart, down_db=down)
            for apart, down in zip(apart_s.tolist(), down_db.tolist(), strict=True)
        ]
        nulls = [
            each.first_null_hz
            for each, apart in zip(heard, apart_s.tolist(), strict=True)
            if each.heard and apart >= FROM_S
        ]
        if len(nulls) >= LEAST_SHARE * len(places_m):
            yield Combed(
                area=area,
                one=loudspeakers[one].name,
                other=loudspeakers[other].name,
                share=len(nulls) / len(places_m),
                null_hz=(min(nulls), max(nulls)),
            )
