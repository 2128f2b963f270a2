"""Seats at which one signal comes twice, close in time and level: where colours are to be heard.

Two ways of a signal make ripples over frequency. An ear hears them as far as it tells peaks from
dips (they lie farther apart than a critical band is wide), as both ears agree (from one direction;
from two they are heard as width), and as nothing else of that signal fills the dips: other
loudspeakers, reverberation. What is left is held against what one copy 10 dB down makes alone.

References
----------
.. [1] B. R. Glasberg and B. C. J. Moore, Hearing Research 47 (1990), 103-138: equivalent
   rectangular bandwidth ``24.7 (4.37 f / kHz + 1)``.
.. [2] F. A. Everest, "Master Handbook of Acoustics", ch. Comb-filter effects: combs whose peaks
   lie closer than a critical band are not heard as a colour.
.. [3] P. M. Zurek, J. Acoust. Soc. Am. 66 (1979), 1750-1757: two ears hear less of a colour that
   differs between them; `from memory`.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from levelhead.acoustics.listening.seats import Venue, reverberation_of
from levelhead.acoustics.sound.air import SPEED_AT_REFERENCE_M_PER_S
from levelhead.acoustics.sound.delay import COLOURED, HEARD_COMB_DB, LEAST_SHARE, ripple_db
from levelhead.acoustics.sound.loudspeaker import Loudspeaker
from levelhead.acoustics.sound.paths import Paths, paths_to
from levelhead.quantity.bands import MIDDLE_BANDS, mid_hz

__all__ = ["Combed", "combed_seats", "critical_band_hz", "worst_pairs"]

HALF_HEAD_M: Final = 0.0875  # from the middle of a head to an ear: `from memory`
SMALLEST: Final = 1e-30

Real = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Combed:
    """Two loudspeakers of one signal at the seats of an area: at which share they colour.

    ``ripple_db`` is what a quarter of the seats have or more, from peak to dip; ``null_hz`` the
    first nulls, from and to; without seats that are coloured there are none.
    """

    area: str
    one: str
    other: str
    share: float
    ripple_db: float
    null_hz: tuple[float, float] | None

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        return {
            "area": self.area,
            "loudspeakers": [self.one, self.other],
            "share": round(self.share, 2),
            "ripple_db": round(self.ripple_db, 1),
            "first_null_hz": None if self.null_hz is None else [round(hz) for hz in self.null_hz],
        }


def critical_band_hz(frequency_hz: Real) -> Real:
    """Width of the ear's filter at a frequency [1]. [Hz]

    >>> round(float(critical_band_hz(np.array(1000.0))), 1)
    132.6
    """
    return np.asarray(24.7 * (4.37 * frequency_hz / 1000.0 + 1.0))


def combed_seats(
    area: str, places_m: Real, loudspeakers: Sequence[Loudspeaker], venue: Venue
) -> Iterator[Combed]:
    """Every pair of loudspeakers of one signal that comes within 10 dB at a seat of an area.

    Of a pair that shares several signals the one is told that it colours at most seats.
    """
    if not loudspeakers:
        return
    paths = paths_to(places_m, loudspeakers, air=venue.air)
    late = reverberation_of(paths, loudspeakers, venue.room)[..., MIDDLE_BANDS]
    worst: dict[frozenset[str], Combed] = {}
    for signal in dict.fromkeys(each.signal for each in loudspeakers):
        group = [n for n, each in enumerate(loudspeakers) if each.signal == signal]
        whole = paths.power[group, 0, :, MIDDLE_BANDS].sum(0) + late[group].sum(0)
        for one, other in itertools.combinations(group, 2):
            names = loudspeakers[one].name, loudspeakers[other].name
            if names[0] != names[1]:  # twice within the desk is no matter of places
                found = _pair(area, names, paths, (one, other), whole)
                known = worst.get(frozenset(names))
                if found is not None and (known is None or _by_much(known) < _by_much(found)):
                    worst[frozenset(names)] = found
    yield from worst.values()


def worst_pairs(found: Iterable[Combed]) -> list[Combed]:
    """Those that colour a quarter of an area or more, the pair that does so most first."""
    much = [each for each in found if each.share >= LEAST_SHARE]
    return sorted(much, key=_by_much, reverse=True)


def _by_much(combed: Combed) -> tuple[float, float]:
    return combed.share, combed.ripple_db


def _pair(
    area: str, names: tuple[str, str], paths: Paths, pair: tuple[int, int], whole: Real
) -> Combed | None:
    """Two ways at all seats; nothing where one of them is too weak everywhere to matter."""
    one, other = pair
    powers = paths.power[list(pair), 0, :, MIDDLE_BANDS]
    levels_db = 10.0 * np.log10(np.maximum(powers.sum(-1), SMALLEST))
    if np.abs(levels_db[0] - levels_db[1]).min() >= HEARD_COMB_DB:
        return None
    tau_s = np.abs(paths.time_s[one, 0] - paths.time_s[other, 0])
    towards = paths.towards[one, 0] - paths.towards[other, 0]
    ears_s = np.linalg.norm(towards, axis=-1) * HALF_HEAD_M / SPEED_AT_REFERENCE_M_PER_S
    swing = _swing(powers, whole, tau_s, ears_s)
    heard = swing >= COLOURED - 1e-9
    quarter = np.sort(swing)[-math.ceil(LEAST_SHARE * len(swing))]
    nulls = 1.0 / (2.0 * tau_s[heard]) if heard.any() else None
    return Combed(
        area=area,
        one=names[0],
        other=names[1],
        share=float(heard.mean()),
        ripple_db=ripple_db(float(quarter)),
        null_hz=None if nulls is None else (float(nulls.min()), float(nulls.max())),
    )


def _swing(powers: Real, whole: Real, tau_s: Real, ears_s: Real) -> Real:
    """Mean over the bands of how far the power swings about its mean, (places,).

    Bands below the first null have no swing yet; ``ears_s`` is by how much the time between both
    ways differs from the middle of the head to an ear.
    """
    hertz = mid_hz()[MIDDLE_BANDS]
    told_apart = np.abs(np.sinc(critical_band_hz(hertz) * tau_s[:, None]))
    agreed = np.exp(-((2.0 * np.pi * hertz * ears_s[:, None]) ** 2) / 2.0)
    share = 2.0 * np.sqrt(powers[0] * powers[1]) / np.maximum(whole, SMALLEST)
    has_null = hertz * 2.0 * tau_s[:, None] >= 1.0
    return np.asarray((share * told_apart * agreed * has_null).mean(-1))
