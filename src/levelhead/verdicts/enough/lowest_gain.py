"""Too much: do peaks pass at the lowest gain of an input? Turned off, nothing is too loud.

What clips before the input gets no louder than its own ceiling, and needs no reserve.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from levelhead.chain.graph.points import Point
from levelhead.quantity.formatting import format_level
from levelhead.verdicts.enough.clipping import own_ceiling
from levelhead.verdicts.enough.gain import strip_places
from levelhead.verdicts.read.doubts import doubts_of_level, strongest_way
from levelhead.verdicts.read.gain_plan import PEAK_RESERVE_DB
from levelhead.verdicts.read.places import by_place
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.read.strips import Strip, StripCeiling
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import Doubt, LimitState
from levelhead.verdicts.told.words import place_words

__all__ = ["SENTENCES", "TOO_HIGH", "check_lowest_gain"]

TOO_HIGH: Final = "enough.too-high"
SENTENCES: Final = {
    Severity.FAILS: "{input} gets peaks of {peak}; even at its lowest gain they pass the "
    "ceiling of {stage} by {spare}.",
    Severity.CARE: "{input} gets peaks of {peak}; at its lowest gain {spare} are left below "
    "the ceiling of {stage}.",
    Severity.FINE: "{input} gets peaks of {peak}; at its lowest gain {spare} are left.",
}


@by_place(strip_places, is_local=True)
def check_lowest_gain(reading: Reading, strip: Strip) -> Iterator[Finding]:
    """Inputs with a meter: do peaks pass at the lowest gain?"""
    first = strip.lowest_ceiling
    if first is not None and math.isfinite(first.at_lowest_dbu):
        peak_db = _arriving_peak_db(reading, strip)
        if peak_db < strip.peak_dbu:
            state, ample_db = _against_ceiling(reading, strip, first, peak_db), 0.0
        else:
            state, ample_db = _against_peaks(reading, strip, first), PEAK_RESERVE_DB
        yield _told(reading, strip, first, (peak_db, state, state.severity(ample=ample_db)))


def _arriving_peak_db(reading: Reading, strip: Strip) -> float:
    """Peaks at the input, at most what the output before it can give.

    A ceiling that the input or a core before it has itself stops nothing on the way there.
    """
    ceiling_db = strip.entry.ceiling
    if ceiling_db is None or own_ceiling(reading.solution, strip.entry.at) is not None:
        return strip.peak_dbu
    return min(strip.peak_dbu, ceiling_db)


def _against_ceiling(
    reading: Reading, strip: Strip, first: StripCeiling, peak_db: float
) -> LimitState:
    """What feeds the input clips: its ceiling decides, whatever is played."""
    margin_db = first.at_lowest_dbu - peak_db
    return LimitState(margin_db, "dB", lambda: _doubts_of_both(reading, strip, first))


def _against_peaks(reading: Reading, strip: Strip, first: StripCeiling) -> LimitState:
    row = reading.solution.number(strip.entry.at)
    return LimitState(
        first.at_lowest_dbu - strip.peak_dbu,
        "dB",
        lambda: _doubts_of_peaks(reading, row, first),
        reading.moves(row, slope=-1.0, peak=True),
        reading.is_open(row),
    )


def _told(
    reading: Reading,
    strip: Strip,
    first: StripCeiling,
    judged: tuple[float, LimitState, Severity],
) -> Finding:
    peak_db, state, severity = judged
    unit, what = strip.entry.unit, "peaks, against the ceiling at lowest gain"
    words = {
        "input": reading.rig.ports[strip.port].label,
        "peak": format_level(peak_db, unit),
        "stage": first.point.label,
        "spare": format_level(abs(state.margin), "dB"),
    }
    return Finding(
        code=TOO_HIGH,
        severity=severity,
        where=strip.port,
        what=SENTENCES[severity].format(**words),
        why=(Compared(what, peak_db, first.at_lowest_dbu, unit),),
        state=state,
        source="peaks at the input, against the ceiling of the first stage at lowest gain",
        basis="common practice",
        ports=(strip.port,),
    )


def _doubts_of_peaks(reading: Reading, row: int, first: StripCeiling) -> Iterator[Doubt]:
    yield from doubts_of_level(reading.solution, row, slope=-1.0, peak=True)
    yield from _doubt_of_ceiling(first.point, slope=+1.0)


def _doubts_of_both(reading: Reading, strip: Strip, first: StripCeiling) -> Iterator[Doubt]:
    """Those of the ceiling of what feeds the input, and of that behind it."""
    solution = reading.solution
    edges = strongest_way(solution, solution.number(strip.entry.at)).edges
    before = (solution.graph.points[edge.source] for edge in reversed(edges))
    feeding = next((each for each in before if each.ceiling_figure is not None), None)
    if feeding is not None:
        yield from _doubt_of_ceiling(feeding, slope=-1.0)
    yield from _doubt_of_ceiling(first.point, slope=+1.0)


def _doubt_of_ceiling(point: Point, *, slope: float) -> Iterator[Doubt]:
    if point.ceiling_figure is not None:
        words = f"ceiling of {place_words(point.label)}"
        yield Doubt(words, "fact", point.ceiling_figure, slope, is_level=True)
