"""From a solved show to loudspeakers that play and microphones that listen, at their places."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.acoustics.directivity import (
    PATTERNS,
    Directivity,
    Pattern,
    column_coverage,
    coverage_of_size,
    proximity_rise_db,
)
from levelhead.acoustics.directivity_table import read_directivity
from levelhead.acoustics.loudspeaker import Loudspeaker, power_compression_db
from levelhead.acoustics.low_end import SUBWOOFER, USUAL, LowEnd, low_end_of
from levelhead.acoustics.remarks import Remark
from levelhead.chain.propagate import Carried, Injection, carry_probes
from levelhead.chain.solution import Solution
from levelhead.gear.plan import ItemPlan
from levelhead.quantity.bands import BANDS, ONE_KHZ_BAND, mid_hz, width_hz
from levelhead.quantity.decibels import P_REFERENCE_PA
from levelhead.show.model import Item

__all__ = ["CLOSE_M", "Box", "Ear", "boxes_of", "ears_of", "electric_of", "hissing", "playing"]

USUAL_COVERAGE_DEG: Final = (90.0, 60.0)  # typical
USUAL_SIZE_M: Final = (0.35, 0.6)  # width and height of a box: typical
CLOSE_M: Final = 0.3  # a microphone so near to a mouth is made for it
USUAL_PATTERN: Final = "cardioid"  # typical
INTO_THE_HALL: Final = (0.0, 1.0, 0.0)
TO_THE_PLAYERS: Final = (0.0, -1.0, 0.0)
SILENT_DB: Final = -200.0
ALIKE_DB: Final = 1.0  # signals that stand within this in all loudspeakers are one mix
ALIKE_S: Final = 1e-4
BOX_TO_HZ: Final = 16_000.0  # a box falls off above by 12 dB an octave: typical
HEARD_OVER_DB: Final = 0.5
ALL_AROUND_Q: Final = 1.05  # directivity factor of what plays all around, and a little more
COLUMN_WIDTH_M: Final = 0.15  # typical
BASS_SHARE: Final = 0.5  # of the proximity rise is taken out of close microphones: typical

Real = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Box:
    """A loudspeaker of the show: its point in the chain, and where it is.

    ``hot_db`` is what its warm coil takes off, ``over_db`` how far it is driven beyond the largest
    clean sine, where its level stays.
    """

    number: int
    item: Item
    at_m: Real
    axis: Real
    coverage: Directivity
    hot_db: float = 0.0
    over_db: float = 0.0
    low_end: LowEnd = USUAL

    @property
    def name(self) -> str:
        """What the crew calls it."""
        return self.item.called

    @property
    def response(self) -> Real:
        """Power that is left of deep and of the highest notes, (31,): Butterworth filters."""
        is_sub = float(self.coverage.q.max()) <= ALL_AROUND_Q
        deep = (SUBWOOFER if is_sub else self.low_end).response
        return np.asarray(deep / (1.0 + (mid_hz() / BOX_TO_HZ) ** 4))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Ear:
    """A microphone of the show: the point at which pressure enters, where it is, how it hears.

    ``mouth_m`` is how near its source is; one that is made to be close and directional has less
    bass of all that is far.
    """

    number: int
    item: Item
    at_m: Real
    axis: Real
    pattern: Pattern
    mouth_m: float = math.inf

    @property
    def name(self) -> str:
        """What the crew calls it."""
        return self.item.called

    @property
    def far_response(self) -> Real:
        """Power that is left of what comes from far, against its source, (31,)."""
        if not self.mouth_m <= CLOSE_M:
            return np.ones(BANDS)
        rise_db = proximity_rise_db(self.pattern, self.mouth_m, mid_hz())
        return np.asarray(10.0 ** (-BASS_SHARE * rise_db / 10.0))


def boxes_of(solution: Solution) -> tuple[list[Box], list[Remark]]:
    """Loudspeakers whose place is known, and remarks on those whose place or aim is not."""
    boxes, remarks = [], []
    for number in _outputs(solution):
        point = solution.graph.points[number]
        item = solution.rig.show.items[point.item]
        plan = solution.rig.items[point.item].plan
        if plan.is_worn:
            continue
        if item.at is None:
            what = f"{item.called} has no place and is left out: give it 'at' and 'aim'"
            remarks.append(Remark("acoustics.no-place", "care", item.id, what))
            continue
        if item.aim is None or item.aim == item.at:
            what = f"{item.called} is turned to nobody: it is taken to look into the hall"
            remarks.append(Remark("acoustics.no-aim", "care", item.id, what))
        boxes.append(
            Box(
                number=number,
                item=item,
                at_m=np.array(item.at),
                axis=_axis(item, INTO_THE_HALL),
                coverage=_directivity(plan),
                hot_db=_hot_db(solution, item.id),
                over_db=_over_db(solution, number),
                low_end=low_end_of(solution, item.id),
            )
        )
        if boxes[-1].over_db > HEARD_OVER_DB:
            what = (
                f"{item.called} is driven {boxes[-1].over_db:.0f} dB too far: it stays at its most"
            )
            remarks.append(Remark("acoustics.over-its-ceiling", "care", item.id, what))
    return boxes, remarks


def _hot_db(solution: Solution, item: str) -> float:
    """What heat takes off a loudspeaker with a rating, by the volts at its terminals. [dB]"""
    lost_db = 0.0
    for address, port in solution.rig.ports.items():
        rating = port.plan.figures.get("long-term-rating")
        row = solution.graph.index.get(address)
        if port.item.id == item and rating is not None and row is not None:
            volts = float(solution.nominal[row])
            lost_db = max(lost_db, float(power_compression_db(volts, rated_v=rating.value)))
    return lost_db


def _over_db(solution: Solution, number: int) -> float:
    """How far the loud passage is above the largest clean sine; zero below it. [dB]"""
    nominal, ceiling = float(solution.nominal[number]), float(solution.ceiling[number])
    if not (nominal > 0 and 0 < ceiling < math.inf):
        return 0.0
    return max(0.0, 20.0 * math.log10(nominal / ceiling))


def _outputs(solution: Solution) -> Iterator[int]:
    """Points at which sound leaves into the air."""
    for bank in solution.graph.wiring.banks:
        if bank.path.to_air:
            for number in bank.numbers[:, -1].tolist():
                point = solution.graph.points[number]
                if point.unit == "Pa" and point.item in solution.rig.show.items:
                    yield number


def _axis(item: Item, otherwise: tuple[float, float, float]) -> Real:
    """Where it looks."""
    if item.at is None or item.aim is None or item.at == item.aim:
        return np.array(otherwise)
    return np.asarray(np.subtract(item.aim, item.at), dtype=np.float64)


def _directivity(plan: ItemPlan) -> Directivity:
    """How a gear type plays: by its table, as a column, or by its coverage.

    Coverage is lost where the box is small against the wave; a column opens by its length.

    Raises
    ------
    GearError
        Its table cannot be read.
    """
    if plan.directivity is not None:
        return _table(plan.directivity, plan.type_id)
    across, up = USUAL_COVERAGE_DEG if plan.coverage_deg is None else plan.coverage_deg
    width_m, height_m = USUAL_SIZE_M
    if plan.line_m is None:
        return coverage_of_size(across_deg=across, up_deg=up, width_m=width_m, height_m=height_m)
    long_m = plan.line_m.value
    box = coverage_of_size(across_deg=across, up_deg=up, width_m=COLUMN_WIDTH_M, height_m=long_m)
    line = column_coverage(long_m, across_deg=across, up_deg=up)
    return replace(box, up_deg=line.up_deg)


@lru_cache(maxsize=32)
def _table(text: str, name: str) -> Directivity:
    """A table that somebody measured and typed."""
    return read_directivity(text, name=f"{name}.directivity")


def playing(
    solution: Solution, boxes: list[Box], *, only: frozenset[str] | None = None
) -> list[Loudspeaker]:
    """Loudspeakers as they play, one for each signal that they share.

    Signals that stand alike in all loudspeakers (a mix) are taken together. ``only`` keeps those
    of some origins, such as voices.
    """
    carried, components = solution.carried, solution.graph.components
    found: dict[int, dict[tuple[int, int], tuple[Real, int]]] = defaultdict(dict)
    for place, box in enumerate(boxes):
        rows = np.flatnonzero(
            (carried.point == box.number) & (carried.component < carried.first_noise)
        )
        for row in rows.tolist():
            component = int(carried.component[row])
            if only is None or components[component].origin in only:
                late = round(float(carried.delay_s[row]) / ALIKE_S)
                sign = -1 if float(carried.amplitude[row].real.sum()) < 0 else 1
                power = carried.power[row] + found[component].get((place, late), (0.0, 1))[0]
                found[component][place, late] = power, sign
    return list(_mixes(found, boxes))


def _mixes(
    found: dict[int, dict[tuple[int, int], tuple[Real, int]]], boxes: list[Box]
) -> Iterator[Loudspeaker]:
    """One loudspeaker for each mix at each place."""
    mixes: dict[tuple[object, ...], dict[tuple[int, int], tuple[Real, int]]] = {}
    for ways in found.values():
        most = max(float(power.sum()) for power, _ in ways.values())
        if most <= 0:
            continue
        key = tuple(
            (where, sign, round(10 * np.log10(max(float(power.sum()) / most, 1e-12)) / ALIKE_DB))
            for where, (power, sign) in sorted(ways.items())
        )
        mix = mixes.setdefault(key, {})
        for where, (power, sign) in ways.items():
            mix[where] = mix.get(where, (np.zeros(BANDS), sign))[0] + power, sign
    for number, mix in enumerate(mixes.values()):
        for (place, late), (power, sign) in mix.items():
            box = boxes[place]
            with np.errstate(divide="ignore"):
                level_db = 10.0 * np.log10(power * box.response / P_REFERENCE_PA**2)
            yield Loudspeaker(
                at_m=box.at_m,
                axis=box.axis,
                level_db=np.maximum(level_db - box.hot_db - box.over_db, SILENT_DB),
                directivity=box.coverage,
                delay_s=late * ALIKE_S,
                signal=str(number),
                inverted=sign < 0,
                name=box.name,
            )


def hissing(solution: Solution, boxes: list[Box]) -> list[Loudspeaker]:
    """Loudspeakers as they hiss with everything silent: noise of all before them, and their own."""
    carried, noisy = solution.carried, []
    for number, box in enumerate(boxes):
        rows = (carried.point == box.number) & (carried.component >= carried.first_noise)
        power = carried.power[rows].sum(0)
        if power.any():
            with np.errstate(divide="ignore"):
                level_db = 10.0 * np.log10(power * box.response / P_REFERENCE_PA**2)
            noisy.append(
                Loudspeaker(
                    at_m=box.at_m,
                    axis=box.axis,
                    level_db=np.maximum(level_db, SILENT_DB),
                    directivity=box.coverage,
                    signal=f"hiss {number}",
                    name=box.name,
                )
            )
    return noisy


# ---------------------------------------------------------------- microphones


def ears_of(solution: Solution) -> tuple[list[Ear], list[Remark]]:
    """Microphones whose place is known, and remarks on the others."""
    ears, remarks = [], []
    mouths_m = {each.at: each.distance_m for each in reversed(solution.rig.sources)}
    for number, point in enumerate(solution.graph.points):
        if not point.address.startswith("~air-") or point.item not in solution.rig.show.items:
            continue
        item = solution.rig.show.items[point.item]
        if item.at is None:
            what = f"{item.called} has no place and is left out: give it 'at'"
            remarks.append(Remark("acoustics.no-place", "care", item.id, what))
            continue
        pattern = solution.rig.items[point.item].plan.pattern
        ears.append(
            Ear(
                number=number,
                item=item,
                at_m=np.array(item.at),
                axis=_axis(item, TO_THE_PLAYERS),
                pattern=PATTERNS[pattern or USUAL_PATTERN],
                mouth_m=mouths_m.get(item.id, math.inf),
            )
        )
    return ears, remarks


def electric_of(solution: Solution, ears: list[Ear], boxes: list[Box]) -> tuple[Real, Real]:
    """Gains from pressure at microphones to pressure at 1 m, and their delays.

    Weak signals: limiters take nothing.

    Returns
    -------
    ndarray, (loudspeakers, microphones, 31)
        Rms gain with the sign that it has at 1 kHz; copies on one bus are added before. [ratio]
    ndarray, (loudspeakers, microphones)
        Delay of the first. [s]
    """
    graph = solution.graph
    one = np.ones(BANDS, dtype=np.complex128)
    probes = [Injection(ear.number, each, one) for each, ear in enumerate(ears)]
    carried = carry_probes(graph.columns, graph.order, probes, len(solution.nominal))
    gains = np.zeros((len(boxes), len(ears), BANDS))
    delays_s = np.zeros((len(boxes), len(ears)))
    for s, box in enumerate(boxes):
        for m in range(len(ears)):
            gains[s, m], delays_s[s, m] = _way(carried, box.number, m)
    return gains, delays_s


def _way(carried: Carried, point: int, component: int) -> tuple[Real, float]:
    """Rms gain of all copies of a signal at a point, by the exact cross term of each band."""
    rows = np.flatnonzero((carried.point == point) & (carried.component == component))
    if not rows.size:
        return np.zeros(BANDS), 0.0
    amplitude, delay_s = carried.amplitude[rows], carried.delay_s[rows]
    power = np.zeros(BANDS)
    for i in range(len(rows)):
        for j in range(len(rows)):
            tau_s = delay_s[i] - delay_s[j]
            turn = np.exp(-2j * np.pi * mid_hz() * tau_s) * np.sinc(width_hz() * tau_s)
            power += (amplitude[i] * amplitude[j].conj() * turn).real
    sign = -1.0 if float(amplitude.sum(0)[ONE_KHZ_BAND].real) < 0 else 1.0
    return sign * np.sqrt(np.maximum(power, 0.0)), float(delay_s.min())
