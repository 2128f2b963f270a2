"""The output that feeds an amplifier or a powered loudspeaker, and the limiter before it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.acoustics.sound.low_end import SUBWOOFER, low_end_of
from levelhead.chain.levels import REFERENCE_OF_UNIT
from levelhead.chain.solution import Solution
from levelhead.planning.limiters.arithmetic import dbu_of, timing
from levelhead.planning.limiters.settings import Limit, LimiterSetting
from levelhead.planning.limiters.way_back import Step, WaysBack
from levelhead.quantity.bands import BANDS, mid_hz
from levelhead.rig.model import RigPort
from levelhead.rig.settings import setting_text
from levelhead.show.edits import Set

__all__ = [
    "Dial",
    "Feed",
    "dbu_before",
    "dial_before",
    "feed_of",
    "lowest_hz",
    "plays_from_hz",
    "setting_before",
    "summed_note",
    "unreached_note",
]

Real = NDArray[np.float64]

_ALL_AROUND_DEG: Final = 360.0  # a subwoofer: it says no side
_PLAYS_DB: Final = 10.0  # under its best band: not played any more, common practice


@dataclass(frozen=True, slots=True)
class Feed:
    """The output that feeds an item: the stage behind it, and the gain from there, (bands,)."""

    row: int
    address: str
    label: str
    gain: Real
    item: str


def feed_of(ways: WaysBack, steps: Sequence[Step]) -> Feed | None:
    """From the input of an item over the lead to the output of another."""
    if not steps or ways.port(steps[-1].row) is None:
        return None
    beyond = next(ways.before(steps[-1].row), None)
    if beyond is None or beyond.edge.through is None:
        return None
    port = ways.solution.rig.ports[beyond.edge.through.port]
    gain = steps[-1].gain * beyond.gain
    return Feed(beyond.row, port.address, port.label, gain, port.item.id)


def plays_from_hz(solution: Solution, item: str) -> float:
    """How deep a loudspeaker plays by itself: its tuning or resonance, else what is usual. [Hz]"""
    coverage = solution.rig.items[item].plan.coverage_deg
    is_sub = coverage is not None and min(coverage) >= _ALL_AROUND_DEG
    return (SUBWOOFER if is_sub else low_end_of(solution, item)).corner_hz


def lowest_hz(ways: WaysBack, steps: Sequence[Step], feed: Feed | None) -> float:
    """Down to where what comes is passed, by filters up to the item that feeds this one. [Hz]"""
    gain: Real = np.ones(BANDS)
    if feed is not None:
        before = [step.gain for step in ways.within(feed.row, feed.item)]
        gain = feed.gain * (before[-1] if before else 1.0)
    elif steps:
        gain = steps[-1].gain
    if not gain.max() > 0:
        return float(mid_hz()[0])
    under_db = 20 * np.log10(np.maximum(gain / gain.max(), 1e-12))
    return float(mid_hz()[np.flatnonzero(under_db >= -_PLAYS_DB)[0]])


def dbu_before(stage_v: float, feed: Feed | None) -> float | None:
    """Level at the output before, for volts of the stage that drives the loudspeaker."""
    if feed is None or not feed.gain.max() > 0 or not math.isfinite(stage_v):
        return None
    return dbu_of(stage_v / float(feed.gain.max()))


def summed_note(steps: Iterable[Step]) -> tuple[str, ...]:
    """Where several inputs are added, each may bring less."""
    inputs = 1 + max((step.beside for step in steps), default=0)
    if inputs == 1:
        return ()
    what = f"It adds {inputs} inputs: where the same bass comes on all of them, each limit is"
    return (f"{what} {20 * math.log10(inputs):.0f} dB lower.",)


def unreached_note(ways: WaysBack, feed: Feed | None, peak: Limit) -> tuple[str, ...]:
    """Where what feeds it ends before the threshold, so that nothing has to hold it."""
    if feed is None or peak.dbu is None:
        return ()
    ceiling_v = float(ways.solution.graph.points[feed.row].ceiling)
    if not 0 < ceiling_v < math.inf or dbu_of(ceiling_v) >= peak.dbu:
        return ()
    ends = (
        f"{feed.label} ends at {dbu_of(ceiling_v):+.1f} dBu, so as the level stands nothing comes"
    )
    return (f"{ends} near that: a limiter is for the evening when somebody turns it up.",)


@dataclass(frozen=True, slots=True)
class Dial:
    """A limiter before an amplifier: its dial, where that stands, and what sets it."""

    control: str | None = None
    now: str | None = None
    edits: tuple[Set, ...] = ()


def dial_before(ways: WaysBack, feed: Feed | None, *, rms: Limit | None, peak: Limit) -> Dial:
    """The limiter of the item before, nearest to its output, that is on.

    By its own detector it gets the rms threshold, or that of peaks.
    """
    if feed is None:
        return Dial()
    rows = [(feed.row, 1.0)]
    rows += [(each.row, float(each.gain.max())) for each in ways.within(feed.row, feed.item)]
    for row, gain in rows:
        shape = ways.solution.graph.shapes.get(row)
        control = ways.threshold_control(row)
        if control is not None and shape is not None and shape.limiter is not None:
            limit = (rms if shape.limiter.detector == "rms" else None) or peak
            return _turned(ways, control, row, None if limit.at_v is None else limit.at_v / gain)
    return Dial()


def setting_before(
    ways: WaysBack,
    port: RigPort,
    feed: Feed | None,
    limits: tuple[Limit | None, Limit],
    *,
    steps: Sequence[Step],
    deepest_hz: float,
) -> LimiterSetting:
    """The setting for a loudspeaker output, or the input of a powered loudspeaker, without notes.

    ``limits`` are the rms and the peak threshold, ``steps`` lead back from there, and
    ``deepest_hz`` is what its loudspeakers play by themselves.
    """
    rms, peak = limits
    low_hz = max(lowest_hz(ways, steps, feed), deepest_hz)
    dial = dial_before(ways, feed, rms=rms, peak=peak)
    return LimiterSetting(
        output=port.address,
        label=port.label,
        is_powered=port.plan.role == "in",
        loudspeakers=(),
        at=None if feed is None else feed.address,
        at_label="" if feed is None else feed.label,
        rms=rms,
        peak=peak,
        lowest_hz=low_hz,
        rms_times=timing(low_hz),
        control=dial.control,
        now=dial.now,
        edits=dial.edits,
    )


def _turned(ways: WaysBack, control: str, row: int, wanted: float | None) -> Dial:
    """The dial set to a threshold, a rms in the unit of its point, as far as its scale goes."""
    rig = ways.solution.rig
    plan = rig.controls[control]
    now = setting_text(rig.setting(control), plan)
    if wanted is None or plan.unit not in {"dBu", "dBFS"}:
        return Dial(control, now)
    reference = REFERENCE_OF_UNIT[ways.solution.graph.points[row].unit][0]
    wanted_db = min(max(round(20 * math.log10(wanted / reference), 1), plan.low), plan.high)
    text = setting_text(wanted_db, plan)
    return Dial(control, now, () if text == now else (Set(control, text),))
