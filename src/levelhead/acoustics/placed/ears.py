"""Microphones of a solved show at their places, and the way from each to each loudspeaker."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.acoustics.placed.boxes import Box, axis_of, outputs_into_room
from levelhead.acoustics.remarks import Remark, no_place
from levelhead.acoustics.sound.directivity import (
    PATTERNS,
    Pattern,
    proximity_rise_db,
)
from levelhead.chain.carrying.carried import Carried, Injection
from levelhead.chain.carrying.propagate import carry_probes
from levelhead.chain.solution import Solution
from levelhead.quantity.bands import BANDS, ONE_KHZ_BAND, mid_hz, width_hz
from levelhead.show.model import Item

__all__ = [
    "BASS_SHARE",
    "CLOSE_M",
    "TO_THE_PLAYERS",
    "USUAL_PATTERN",
    "Ear",
    "any_loop",
    "ears_of",
    "electric_of",
]

CLOSE_M: Final = 0.3  # a microphone so near to a mouth is made for it
USUAL_PATTERN: Final = "cardioid"  # typical
TO_THE_PLAYERS: Final = (0.0, -1.0, 0.0)
BASS_SHARE: Final = 0.5  # of the proximity rise is taken out of close microphones: typical
Real = NDArray[np.float64]


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


def ears_of(solution: Solution) -> tuple[list[Ear], list[Remark]]:
    """Microphones whose place is known, and remarks on the others."""
    ears, remarks = [], []
    mouths_m = {each.at: each.distance_m for each in reversed(solution.rig.sources)}
    for number, item in _heard_at(solution):
        if item.at is None:
            remarks.append(no_place(item, "'at'"))
            continue
        pattern = solution.rig.items[item.id].plan.pattern
        ears.append(
            Ear(
                number=number,
                item=item,
                at_m=np.array(item.at),
                axis=axis_of(item, TO_THE_PLAYERS),
                pattern=PATTERNS[pattern or USUAL_PATTERN],
                mouth_m=mouths_m.get(item.id, math.inf),
            )
        )
    return ears, remarks


def _heard_at(solution: Solution) -> Iterator[tuple[int, Item]]:
    """Points at which microphones hear, each with its item."""
    items, ears = solution.rig.show.items, solution.graph.wiring.ears
    for number, heard_by in sorted((number, item) for item in ears for number in ears[item]):
        yield number, items[heard_by]


def any_loop(solution: Solution) -> bool:
    """Whether any microphone reaches a loudspeaker in the room, with a place or without."""
    graph = solution.graph
    one = np.ones(BANDS, dtype=np.complex128)
    probes = [Injection(number, each, one) for each, (number, _) in enumerate(_heard_at(solution))]
    carried = carry_probes(graph.columns, graph.order, probes, len(solution.nominal))
    heard = carried.point[np.abs(carried.amplitude).max(axis=-1, initial=0.0) > 0]
    return bool(np.isin(heard, list(outputs_into_room(solution))).any())


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
