"""Where names stand on a plan: beside their thing, on no other name and on no symbol."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from levelhead.drawing.svg import WIDEST_LETTER, wrapped

__all__ = ["Area", "Name", "placed_names"]

Area = tuple[float, float, float, float]  # left, top, right, bottom
Point = tuple[float, float]

WIDTH: Final = 128.0
LINE: Final = 15.0
HEAD: Final = 13.0  # type of the name, and of what stands under it
MORE: Final = 12.0
_BESIDE: Final = 20.0  # from the middle of a symbol to its name
_RING: Final = 16.0
_RINGS: Final = 16
_BOLD: Final = 1.05
_MOST_LINES: Final = 5  # of one name: a desk has many leads, the table has all


@dataclass(frozen=True, slots=True)
class Name:
    """Lines of a name with the place of each, at its left end. ``heads`` of them are the name.

    One that ``is_far`` wants a line from its thing to its ``joint``.
    """

    lines: tuple[tuple[str, float, float], ...]
    heads: int
    of: Point
    joint: Point
    is_far: bool


def placed_names(
    named: Sequence[tuple[Point, tuple[str, ...]]], taken: Sequence[Area], size: Point
) -> list[Name]:
    """A place for each name, as near to its thing as there is room within the plan.

    Where that is none for all lines the name stands alone, and where it has none either it is left
    out: the table of the sheet has everything.

    Parameters
    ----------
    named
        Things with their lines: the name, then what stands under it.
    taken
        Where symbols are.
    """
    used = list(taken)
    names = []
    for at, lines in named:
        for shown in (lines, lines[:1]) if lines else ():
            placed = _placed(at, shown, used, size)
            if placed is not None:
                names.append(placed[0])
                used.append(placed[1])
                break
    return names


def _placed(
    at: Point, lines: tuple[str, ...], used: Sequence[Area], size: Point
) -> tuple[Name, Area] | None:
    heads = wrapped(lines[0], width=WIDTH / _BOLD, type_size=HEAD)
    more = [each for line in lines[1:] for each in wrapped(line, width=WIDTH, type_size=MORE)]
    if len(more) > _MOST_LINES:
        more = [*more[: _MOST_LINES - 1], "and more"]
    wide = max(
        *(len(each) * HEAD * _BOLD * WIDEST_LETTER for each in heads),
        *(len(each) * MORE * WIDEST_LETTER for each in (*more, "")),
    )
    tall = LINE * (len(heads) + len(more))
    found = _free(at, (wide, tall), used, size)
    if found is None:
        return None
    area, ring = found
    texts = tuple(
        (text, area[0], area[1] + LINE * number + HEAD - 1)
        for number, text in enumerate((*heads, *more))
    )
    joint = (min(max(at[0], area[0]), area[2]), min(max(at[1], area[1]), area[3]))
    return Name(texts, len(heads), at, joint, ring > 0), area


def _free(at: Point, wanted: Point, used: Sequence[Area], size: Point) -> tuple[Area, int] | None:
    """The nearest area that is free, and how far out it is; nothing where none is."""
    for ring in range(_RINGS):
        for area in _around(at, wanted, _BESIDE + ring * _RING):
            if _is_inside(area, size) and not any(_touch(area, each) for each in used):
                return area, ring
    return None


def _around(at: Point, wanted: Point, away: float) -> Iterator[Area]:
    """Below, above, right, left, then the corners."""
    (x, y), (wide, tall) = at, wanted
    middle = (x - wide / 2, y - tall / 2)
    for left, top in (
        (middle[0], y + away),
        (middle[0], y - away - tall),
        (x + away, middle[1]),
        (x - away - wide, middle[1]),
        (x + away * 0.7, y + away * 0.7),
        (x - away * 0.7 - wide, y + away * 0.7),
        (x + away * 0.7, y - away * 0.7 - tall),
        (x - away * 0.7 - wide, y - away * 0.7 - tall),
    ):
        yield (left, top, left + wide, top + tall)


def _is_inside(area: Area, size: Point) -> bool:
    return area[0] >= 0 and area[1] >= LINE + 8 and area[2] <= size[0] and area[3] <= size[1]


def _touch(one: Area, other: Area) -> bool:
    return (
        one[0] < other[2] + 3
        and other[0] < one[2] + 3
        and one[1] < other[3] + 2
        and other[1] < one[3] + 2
    )
