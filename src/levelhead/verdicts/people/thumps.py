"""An order of switching that the show tells: what a box gives when it comes up after an amplifier.

The step at its outputs goes to the loudspeaker as everything is set, and ends at the ceiling of
what drives it. A thump frightens and wears; it is never called harm here.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from typing import Final

import numpy as np

from levelhead.gear.figures import Figure
from levelhead.quantity.bands import mid_hz
from levelhead.quantity.formatting import format_si
from levelhead.rig.model import RigItem
from levelhead.verdicts.explain import PRACTICE, Explained, Threshold
from levelhead.verdicts.read.driving import drivers_by_loudspeaker
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import Doubt, LimitState
from levelhead.verdicts.told.words import place_words

__all__ = ["EXPLAINED", "THUMP", "check_thumps"]

THUMP: Final = "people.thump"
UNDER_DB: Final = 12.0  # a thump so far under full power is a thump, common practice
USUAL: Final = Figure(1.0, 0.1, 5.0, "V", "from memory")  # step of a desk that mutes nothing
_STEP_HZ: Final = (40.0, 1000.0)  # where a step has most of what a loudspeaker gives

_CAUTION: Final = (
    "Nobody stands before loudspeakers or wears anything at the ear while it is switched on or off."
)

_SENTENCES: Final = {
    Severity.CARE: "{after} comes up {how} {amp}: its step of {step} asks for {wants} at the "
    "loudspeaker, of {full} that are there{clipped}. It works with {amp} on last, and off first.",
    Severity.FINE: "{after} comes up {how} {amp}: its step of {step} asks for {wants} at the "
    "loudspeaker, of {full} that are there.",
}


@dataclass(frozen=True, slots=True)
class _Driver:
    """What drives a loudspeaker: its last point before it [V], and the loudspeaker's column."""

    item: RigItem
    row: int
    column: int


@dataclass(frozen=True, slots=True)
class _Thump:
    """Step of an item, and what it asks of a driver of loudspeakers. [V, to the peak]"""

    item: RigItem
    driver: _Driver
    step: Figure
    wants_v: float
    full_v: float

    @property
    def under_db(self) -> float:
        """How far it stays under full power; negative where it asks for more. [dB]"""
        return 20 * math.log10(self.full_v / self.wants_v)


def check_thumps(reading: Reading) -> Iterator[Finding]:
    """Everything that is told to come up after, or with, what drives loudspeakers."""
    turns = {
        name: each.switched
        for name, each in reading.rig.show.items.items()
        if each.switched is not None
    }
    if not turns:
        return
    worst: dict[str, _Thump] = {}
    for driver in _drivers(reading):
        for thump in _thumps(reading, driver, turns):
            known = worst.get(driver.item.id)
            if known is None or thump.under_db < known.under_db:
                worst[driver.item.id] = thump
    for thump in worst.values():
        yield _finding(thump, is_after=turns[thump.item.id] > turns[thump.driver.item.id])


def _drivers(reading: Reading) -> Iterator[_Driver]:
    """Of each loudspeaker the last point in volts of what drives it."""
    graph, hum = reading.solution.graph, reading.hum
    ends = np.isfinite(reading.solution.ceiling)
    driving = drivers_by_loudspeaker(reading.reach)
    for column, address in enumerate(hum.loudspeakers):
        drivers = driving.get(graph.index[address], frozenset())
        heard = np.abs(hum.gain[:, column]).max(axis=1)
        rows = [
            row
            for row, point in enumerate(graph.points)
            if point.unit == "V" and heard[row] > 0 and ends[row] and point.item in drivers
        ]
        last = min(rows, key=lambda row: float(heard[row]), default=None)
        if last is not None:
            yield _Driver(reading.rig.items[graph.points[last].item], last, column)


def _thumps(reading: Reading, driver: _Driver, turns: dict[str, int]) -> Iterator[_Thump]:
    """Steps of what comes up no earlier, from its outputs on."""
    turn = turns.get(driver.item.id)
    graph, gain = reading.solution.graph, np.abs(reading.hum.gain[:, driver.column])
    if turn is None:
        return
    mids = mid_hz()
    low = (mids >= _STEP_HZ[0]) & (mids <= _STEP_HZ[1])
    known = {
        name for name, its_turn in turns.items() if name != driver.item.id and its_turn >= turn
    }
    low &= gain[driver.row] > 0
    for edge in graph.edges if low.any() else ():
        item = graph.points[edge.source].item
        if edge.through is None or item not in known or not gain[edge.source].any():
            continue
        factor = float((gain[edge.source][low] / gain[driver.row][low]).max())
        step = reading.rig.items[item].plan.thump or USUAL
        full_v = math.sqrt(2) * float(reading.solution.ceiling[driver.row])
        if factor > 0:
            wants_v = step.value * factor
            yield _Thump(reading.rig.items[item], driver, step, wants_v, full_v)


def _finding(thump: _Thump, *, is_after: bool) -> Finding:
    state = LimitState(thump.under_db - UNDER_DB, "dB", partial(_doubts, thump))
    is_fine = state.severity(ample=math.inf) is Severity.FINE
    severity = Severity.FINE if is_fine else Severity.CARE
    is_clipped = thump.under_db < 0
    return Finding(
        code=THUMP,
        severity=severity,
        where=thump.driver.item.id,
        what=_SENTENCES[severity].format(
            after=place_words(thump.item.label),
            how="after" if is_after else "together with",
            amp=place_words(thump.driver.item.label),
            step=format_si(thump.step.value, "V"),
            wants=format_si(thump.wants_v, "V"),
            full=format_si(thump.full_v, "V"),
            clipped=": a bang at full power" if is_clipped else "",
        ),
        why=(
            Compared("thump at the loudspeaker", thump.wants_v, thump.full_v, "V"),
            Compared("thump under full power", thump.under_db, UNDER_DB, "dB"),
        ),
        state=state,
        source="step at the outputs, to the loudspeaker as everything is set, against full power",
        basis=PRACTICE,
        caution=None if is_fine else _CAUTION,
    )


def _doubts(thump: _Thump) -> Iterator[Doubt]:
    label = place_words(thump.item.label)
    yield Doubt(f"step of {label} when it is switched on", "fact", thump.step, -1.0)


EXPLAINED: Final = (
    Explained(
        THUMP,
        "Where the show tells the order of switching (`switched`): the step of what comes up after "
        "what drives loudspeakers, or with it, from its outputs to the loudspeaker as everything "
        "is set (40 Hz to 1 kHz), against the peak of the largest clean sine there.",
        (
            Threshold("thump under full power that is fine", UNDER_DB, "dB", PRACTICE),
            Threshold("step of an item that tells none", USUAL.value, "V", "from memory"),
        ),
    ),
)
