"""A small level picture of one way through a rig: floor, nominal, peak, ceiling as a bar a point.

One column is 5 dB. Electrical points share one scale; where the unit changes, another one begins,
whose right end is its own highest level.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from typing import Final

from levelhead.chain.solution import PointLevels
from levelhead.cli.reports.columns import cut, number

__all__ = ["level_picture"]

_NAME: Final = 31
_BAR: Final = 21
_STEP_DB: Final = 5.0
_ALIKE_DB: Final = 0.25  # points of one wire: the second says nothing new
_HEAD: Final = f"{'Levels':<{_NAME}}{'nominal':>7}{'peak':>7}{'room':>6}"
_KEY: Final = "Bars: . floor, = nominal, > peak, | ceiling, ! clips; 5 dB a sign"


def level_picture(
    points: Sequence[PointLevels], names: Mapping[str, str], *, kept: Collection[str]
) -> list[str]:
    """Lines of the picture.

    Parameters
    ----------
    points
        A way, in signal order. Silent points, and those that repeat the one before, are left out.
    names
        What a person calls each point, by its address.
    kept
        Addresses that are shown even when they repeat the point before: the ends of the question.
    """
    shown = list(_worth_showing(points, kept))
    if not shown:
        return []
    tops = {unit: _top([point for point in shown if point.unit == unit]) for unit in _units(shown)}
    rows = (
        f"{_fitted(names[point.at]):<{_NAME}}"
        f"{number(point.nominal, signed=_is_signed(point)):>7}"
        f"{number(point.peak, signed=_is_signed(point)):>7}"
        f"{number(point.headroom, signed=False):>6} "
        f"{_bar(point, tops[point.unit]):<{_BAR}} {point.unit}"
        for point in shown
    )
    return [_HEAD, *rows, _KEY]


def _fitted(name: str) -> str:
    """A name as wide as its column; a wider one keeps its end, which tells points apart."""
    if len(name) < _NAME:
        return name
    item, _, stage = name.rpartition(" ")
    room = _NAME - 2 - len(stage)
    return f"{cut(item, room)} {stage}" if room > len("...") else cut(f"...{stage}", _NAME - 1)


def _worth_showing(points: Sequence[PointLevels], kept: Collection[str]) -> Iterator[PointLevels]:
    """Points with a signal that say something new, and those of the question."""
    before: PointLevels | None = None
    for point in points:
        if point.nominal is None:
            continue
        if point.at in kept or before is None or not _is_alike(point, before):
            yield point
            before = point


def _is_alike(point: PointLevels, before: PointLevels) -> bool:
    pairs = ((point.nominal, before.nominal), (point.ceiling, before.ceiling))
    return point.unit == before.unit and all(
        one == other or (one is not None and other is not None and abs(one - other) < _ALIKE_DB)
        for one, other in pairs
    )


def _units(points: Sequence[PointLevels]) -> dict[str, None]:
    return dict.fromkeys(point.unit for point in points)


def _top(points: Sequence[PointLevels]) -> float:
    levels = (level for point in points for level in (point.nominal, point.peak, point.ceiling))
    return max((level for level in levels if level is not None), default=0.0)


def _is_signed(point: PointLevels) -> bool:
    return point.unit != "dB SPL"


def _bar(point: PointLevels, top: float) -> str:
    """One bar; its right end is the highest level of that unit, its left end all that is below."""
    floor, nominal, peak, ceiling = (
        _column(level, top) for level in (point.floor, point.nominal, point.peak, point.ceiling)
    )
    nominal = 0 if nominal is None else nominal
    peak = nominal if peak is None else peak
    signs = ["." if floor is not None and at < floor else "=" for at in range(nominal + 1)]
    signs += [">"] * (peak - nominal)
    signs += [" "] * (_BAR - len(signs))
    if ceiling is not None:
        is_clipped = point.headroom is not None and round(point.headroom, 1) < 0
        signs[ceiling + 1 : peak + 1] = "!" * max(peak - ceiling, 0)
        signs[ceiling] = "!" if is_clipped and peak == ceiling else "|"
    return "".join(signs)


def _column(level: float | None, top: float) -> int | None:
    if level is None:
        return None
    return min(max(round(_BAR - 1 + (level - top) / _STEP_DB), 0), _BAR - 1)
