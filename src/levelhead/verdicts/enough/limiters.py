"""Limiters that work all the time: what comes in is louder than what they let through."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from levelhead.chain.most import LIMITS_FROM
from levelhead.chain.solution import Solution
from levelhead.quantity.formatting import format_level
from levelhead.verdicts.enough.clipping import room_down_db
from levelhead.verdicts.read.doubts import doubts_of_limiter
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import ROUNDING, LimitState

__all__ = ["CODE", "LIMITED_FINE_DB", "SENTENCES", "check_limiters"]

CODE: Final = "enough.limited"
LIMITED_FINE_DB: Final = 6.0  # of the peaks: a lamp that flickers, common practice

SENTENCES: Final = {
    Severity.FAILS: "The limiter of {stage} takes {taken} off the peaks, and nothing before it can "
    "be turned down that far: it gets no louder, only denser.",
    Severity.CARE: "The limiter of {stage} takes {taken} off the peaks as it is set: it gets no "
    "louder, only denser. Something before it wants turning down.",
}


def check_limiters(reading: Reading) -> Iterator[Finding]:
    """Limiters that take more off the peaks than anybody would leave them to."""
    solution = reading.solution
    turned_down = solution.carried.turned_down
    for row, found in sorted(turned_down.limited.items()) if turned_down is not None else ():
        shape = solution.graph.shapes[row]
        is_limiter = shape.limiter is not None and shape.limiter.ratio >= LIMITS_FROM
        if is_limiter and -found.peak_gain_db > LIMITED_FINE_DB + ROUNDING:
            yield _limited(reading, row, -found.peak_gain_db)


def _limited(reading: Reading, row: int, taken_db: float) -> Finding:
    solution = reading.solution
    over_db = taken_db - LIMITED_FINE_DB
    severity = Severity.CARE if room_down_db(solution, row) >= over_db else Severity.FAILS
    point = solution.graph.points[row]
    words = {"stage": point.label, "taken": format_level(taken_db, "dB")}
    return Finding(
        code=CODE,
        severity=severity,
        where=point.address,
        what=SENTENCES[severity].format(**words),
        why=(Compared("taken off the peaks", taken_db, LIMITED_FINE_DB, "dB"),),
        state=LimitState(
            -over_db,
            "dB",
            lambda: doubts_of_limiter(solution, row),
            reading.moves(_before(solution, row), slope=-1.0, peak=True),
        ),
        source="peaks before the limiter, against its threshold",
        basis="common practice",
    )


def _before(solution: Solution, row: int) -> int:
    """The point before a stage, on its strongest way."""
    edge = solution.strongest_edges.get(row)
    return row if edge is None else edge.source
