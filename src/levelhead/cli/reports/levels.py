"""``levelhead levels``: every point of a show, item by item."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from levelhead.chain.solution import PointLevels, Solution
from levelhead.cli.reports.columns import cut_front, number
from levelhead.drawing.levels.panels import SEATS
from levelhead.show.addresses import item_of

__all__ = ["level_table"]

_AT_WIDTH: Final = 32
_SPENT_DBU: Final = -100.0  # a ceiling under every noise
_NUMBERS: Final = (("nominal", 8), ("peak", 8), ("ceiling", 8), ("headroom", 9), ("floor", 7))


def level_table(solution: Solution, points: Sequence[PointLevels]) -> str:
    """Items in the order in which the signal first reaches them, their points in signal order."""
    by_item: dict[str, list[PointLevels]] = {}
    for point in points:
        by_item.setdefault(item_of(point.at), []).append(point)
    if not by_item:
        return "No point here carries a signal. What is wrong: levelhead check SHOW"
    lines = ["".join([" " * _AT_WIDTH, *(f"{name:>{width}}" for name, width in _NUMBERS)])]
    for item, own in by_item.items():
        lines += ["", _called(solution, item), *(_row(point) for point in own)]
    lines += ["", "Levels in the unit at the end of a line; headroom is ceiling less peak, in dB."]
    lines += ["One way only: --path ADDRESS. The same drawn: --plot FILE.svg"]
    return "\n".join(lines)


def _called(solution: Solution, item: str) -> str:
    if item == SEATS:
        return "Where people listen, A-weighted"
    known = solution.rig.items.get(item)
    sources = (source.label for source in solution.rig.sources if source.id == item)
    label = known.label if known is not None else next(sources, item)
    return label if label == item else f"{label} ({item})"


def _row(point: PointLevels) -> str:
    numbers = (
        number(point.nominal, signed=_is_signed(point)),
        number(point.peak, signed=_is_signed(point)),
        _unless_spent(point, number(point.ceiling, signed=_is_signed(point))),
        _unless_spent(point, number(point.headroom, signed=False)),
        number(point.floor, signed=_is_signed(point)),
    )
    columns = (f"{text:>{width}}" for text, (_, width) in zip(numbers, _NUMBERS, strict=True))
    at = "  " + cut_front(point.at, _AT_WIDTH - 2)
    return f"{at:<{_AT_WIDTH}}{''.join(columns)} {point.unit}"


def _unless_spent(point: PointLevels, text: str) -> str:
    """A number; ``none`` where others on the wire leave an output nothing to give."""
    is_spent = point.ceiling is not None and point.unit == "dBu" and point.ceiling < _SPENT_DBU
    return "none" if is_spent else text


def _is_signed(point: PointLevels) -> bool:
    """Electrical and digital levels carry their sign, sound pressure only a minus."""
    return point.unit not in ("dB SPL", "dB(A)")
