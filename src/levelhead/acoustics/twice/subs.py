"""Subwoofers of a show against the loudspeakers of the same signal, where they meet.

Both are compared at one place and in the band in which they are equally loud there: filters and
polarity by the phase of what the chain brings, delays and distances by time.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from levelhead.acoustics.placed.boxes import Box
from levelhead.acoustics.sound.air import Air
from levelhead.acoustics.sound.delay import Alignment, align_subwoofer
from levelhead.chain.solution import Solution
from levelhead.quantity.bands import mid_hz

__all__ = ["Meeting", "meetings"]

MEET_HZ: Final = (40.0, 250.0)  # where subwoofers meet mains: common practice
DEEP: Final = slice(3, 9)  # 40 to 125 Hz
HIGH: Final = slice(15, 25)  # 630 Hz to 5 kHz
LESS_HIGH_DB: Final = 20.0  # so much less of the high than of the deep makes a subwoofer
LEFT_OF_TWO_DB: Final = -20.0  # of two tones that differ by 1 dB: common practice
ALIKE_DB: Final = 6.0  # apart where they meet; more, and neither hurts the other

Real = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Meeting:
    """A subwoofer and a loudspeaker of its signal at one place.

    ``phase_deg`` is what lies between them where they meet, as everything stands; ``alignment``
    what to set.
    """

    sub: Box
    main: Box
    crossover_hz: float
    phase_deg: float
    alignment: Alignment

    @property
    def now_db(self) -> float:
        """Both together against one, as they stand; no two are so alike that nothing is left."""
        return max(self.alignment.unset_db, LEFT_OF_TWO_DB)

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        set_up = self.alignment
        return {
            "subwoofer": self.sub.name,
            "with": self.main.name,
            "crossover_hz": round(self.crossover_hz),
            "phase_deg": round(self.phase_deg),
            "delay_subwoofer_ms": round(1000 * set_up.delay_sub_s, 1),
            "delay_other_ms": round(1000 * set_up.delay_main_s, 1),
            "turn_polarity": set_up.inverted,
            "now_db": round(self.now_db, 1),
            "then_db": round(set_up.sum_db, 1),
        }


@dataclass(frozen=True, slots=True, eq=False)
class _Arrival:
    """The strongest copy of a signal at a loudspeaker: pressure on the axis at 1 m, delay."""

    box: Box
    amplitude: NDArray[np.complex128]
    delay_s: float

    def level_db(self, place_m: Real) -> Real:
        """Level at a place, all around: in the deep a box plays so."""
        away_m = max(float(np.linalg.norm(place_m - self.box.at_m)), 1e-3)
        power = np.abs(self.amplitude) ** 2 * self.box.response / away_m**2
        return np.asarray(10 * np.log10(np.maximum(power, 1e-30)))


def meetings(
    solution: Solution, boxes: Sequence[Box], place_m: Real, air: Air
) -> Iterator[Meeting]:
    """Every subwoofer with the loudspeaker of its signal that looks to a place and is loudest."""
    arrivals = [each for box in boxes for each in _arrivals(solution, box)]
    subs = [(which, each) for which, each in arrivals if _is_sub(each)]
    for which, sub in _each_once(subs):
        others = [
            each
            for other, each in arrivals
            if other == which and each.box.item != sub.box.item and not _is_sub(each)
        ]
        ahead = [each for each in others if float(each.box.axis @ (place_m - each.box.at_m)) > 0]
        hall = [each for each in ahead if each.box.axis[1] >= 0]  # turned back, it plays the stage
        mains = hall or ahead or others  # a wedge plays the deep to all sides: nobody's main
        if mains:
            main = max(mains, key=lambda each: float(each.level_db(place_m)[DEEP].max()))
            met = _meeting(sub, main, place_m, air)
            if met is not None:
                yield met


def _each_once(subs: list[tuple[int, _Arrival]]) -> list[tuple[int, _Arrival]]:
    """Of each subwoofer the signal that it plays loudest."""
    found: dict[str, tuple[int, _Arrival]] = {}
    for which, each in subs:
        known = found.get(each.box.item.id)
        if known is None or _power(each) > _power(known[1]):
            found[each.box.item.id] = (which, each)
    return list(found.values())


def _power(arrival: _Arrival) -> float:
    return float((np.abs(arrival.amplitude[DEEP]) ** 2).sum())


def _arrivals(solution: Solution, box: Box) -> Iterator[tuple[int, _Arrival]]:
    """The strongest copy of each signal at a loudspeaker, with the number of the signal."""
    carried = solution.carried
    rows = np.flatnonzero((carried.point == box.number) & (carried.component < carried.first_noise))
    strongest: dict[int, int] = {}
    for row in rows.tolist():
        which = int(carried.component[row])
        known = strongest.get(which)
        if known is None or carried.power[row].sum() > carried.power[known].sum():
            strongest[which] = row
    for which, row in strongest.items():
        yield which, _Arrival(box, carried.amplitude[row], float(carried.delay_s[row]))


def _is_sub(arrival: _Arrival) -> bool:
    """Whether it plays the deep alone, of a signal that has both."""
    power = np.abs(arrival.amplitude) ** 2 * arrival.box.response
    deep, high = float(power[DEEP].max()), float(power[HIGH].max())
    return deep > 0 and high < deep * 10 ** (-LESS_HIGH_DB / 10)


def _meeting(sub: _Arrival, main: _Arrival, place_m: Real, air: Air) -> Meeting | None:
    """Where both are equally loud, and what lies between them there; nothing where they are not."""
    apart_db = np.abs(sub.level_db(place_m) - main.level_db(place_m))
    hertz = mid_hz()
    inside = (hertz >= MEET_HZ[0]) & (hertz <= MEET_HZ[1])
    band = int(np.argmin(np.where(inside, apart_db, np.inf)))
    if apart_db[band] > ALIKE_DB:
        return None
    turned = np.angle(sub.amplitude[band] * np.conj(main.amplitude[band]), deg=True)
    ways_m = [float(np.linalg.norm(place_m - each.box.at_m)) for each in (sub, main)]
    late_s = sub.delay_s - main.delay_s
    set_up = align_subwoofer(
        sub_m=ways_m[0],
        main_m=ways_m[1],
        crossover_hz=float(hertz[band]),
        filter_phase_deg=float(turned),
        sub_late_s=late_s,
        air=air,
    )
    behind_s = (ways_m[0] - ways_m[1]) / air.speed_m_per_s + late_s
    phase = float(turned) - 360.0 * float(hertz[band]) * behind_s
    return Meeting(
        sub=sub.box,
        main=main.box,
        crossover_hz=float(hertz[band]),
        phase_deg=abs((phase + 180.0) % 360.0 - 180.0),
        alignment=set_up,
    )
