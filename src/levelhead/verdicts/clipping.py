"""What clips as everything is set: the first stage of each way, and whether a turn mends it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from levelhead.chain.graph import Point
from levelhead.chain.levels import PointLevels
from levelhead.chain.solution import Solution
from levelhead.quantity.formatting import format_level
from levelhead.verdicts.doubts import doubts_of_level, strongest_way
from levelhead.verdicts.finding import Compared, Finding
from levelhead.verdicts.limit_state import ROUNDING, Doubt, LimitState
from levelhead.verdicts.severity import Severity

__all__ = ["SENTENCES", "check_clipping_as_set"]

LOWEST_USEFUL_DB: Final = -60.0  # a control further down is as good as off, common practice
SENTENCES: Final = {
    Severity.FAILS: "{stage} clips: peaks of {peak} pass its ceiling of {ceiling} by {over}, and "
    "nothing before it can be turned down that far.",
    Severity.CARE: "{stage} clips as it is set: peaks of {peak} pass its ceiling of {ceiling} by "
    "{over}. It holds once something before it is turned down.",
}


def check_clipping_as_set(solution: Solution) -> Iterator[Finding]:
    """Points whose peaks pass their ceiling as all stands; the first of each way is named."""
    named: dict[str, PointLevels] = {}
    for path in solution.paths:
        first = next((each for each in path if _clips(solution.levels(each))), None)
        if first is not None and first not in solution.rig.ports:
            named.setdefault(first, solution.levels(first))
    for address, levels in named.items():
        yield from _finding(solution, solution.point(address), levels)


def _clips(levels: PointLevels) -> bool:
    return levels.headroom is not None and levels.headroom < -ROUNDING


def _finding(solution: Solution, point: Point, levels: PointLevels) -> Iterator[Finding]:
    if levels.headroom is None or levels.peak is None or levels.ceiling is None:
        return
    row = solution.number(point.address)

    def doubts() -> Iterator[Doubt]:
        yield from doubts_of_level(solution, row, slope=-1.0, peak=True)
        if point.ceiling_figure is not None:
            yield Doubt(
                f"ceiling of {point.label}", "fact", point.ceiling_figure, +1.0, is_level=True
            )

    state = LimitState(levels.headroom, "dB", doubts)
    severity = Severity.CARE if _room_down_db(solution, row) > -state.margin else Severity.FAILS
    yield Finding(
        code="enough.clips-as-set",
        severity=severity,
        where=point.address,
        what=SENTENCES[severity].format(
            stage=point.label,
            peak=format_level(levels.peak, levels.unit),
            ceiling=format_level(levels.ceiling, levels.unit),
            over=format_level(-state.margin, "dB"),
        ),
        why=(Compared("peaks", levels.peak, levels.ceiling, levels.unit),),
        state=state,
        source="peaks at the stage, against its ceiling, as set",
        basis="common practice",
    )


def _room_down_db(solution: Solution, point: int) -> float:
    """How far the controls before a point, on its strongest way, can still be turned down."""
    way, _ = strongest_way(solution, point)
    controls = {edge.control for edge in way if edge.control is not None}
    return sum(
        solution.rig.setting_db(control) - max(plan.low, LOWEST_USEFUL_DB)
        for control in controls - solution.rig.show.locks
        if (plan := solution.rig.controls[control]).kind == "range"
    )
