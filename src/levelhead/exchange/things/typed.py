"""Places, corners and pairs as they are typed into a field of a table, and as they stand there."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Final

from levelhead.errors import ShowError
from levelhead.show.lengths import checked_place_m
from levelhead.show.model import Place
from levelhead.show.rooms import Corner

__all__ = [
    "corners_text",
    "place_text",
    "typed_corners",
    "typed_metres",
    "typed_pairs",
    "typed_place",
]

_APART: Final = re.compile(r"\s*[,;]\s*|\s+")
_WITHIN: Final = re.compile(r"\s*,\s*|\s+")
_NEXT: Final = re.compile(r"\s*;\s*|\s*\]\s*,\s*\[\s*")
_PAIR: Final = re.compile(r"\s*,\s*")
_PLACE_PARTS: Final = 3
_CORNER_PARTS: Final = 2


def place_text(place: Place | None) -> str:
    """``-4, 0, 2.2``; nothing where no place is known."""
    return "" if place is None else ", ".join(f"{each:g}" for each in place)


def typed_place(text: str) -> Place:
    """A place from three numbers, or lengths with their units.

    Raises
    ------
    ShowError
        These are not three, or one is no coordinate.

    Examples
    --------
    >>> typed_place("-4, 0, 2.2")
    (-4.0, 0.0, 2.2)
    """
    parts = [typed_metres(part) for part in _APART.split(text.strip("[] "))]
    if len(parts) != _PLACE_PARTS:
        raise ShowError(
            f"{len(parts)} numbers",
            where="place",
            expected="three: to the right, into the hall, up",
            remedy="Write them in metres, like -4, 0, 2.2.",
        )
    return parts[0], parts[1], parts[2]


def typed_metres(text: str) -> float:
    """A coordinate: metres, or a length with its unit. [m]"""
    return checked_place_m(float(text)) if _is_number(text) else checked_place_m(text)


def corners_text(corners: Sequence[Corner]) -> str:
    """``-6, -4; 6, -4; 6, 16``: to the right, into the hall, corner by corner."""
    return "; ".join(f"{right:g}, {into:g}" for right, into in corners)


def typed_corners(text: str) -> tuple[Corner, ...]:
    """Corners of a floor, one after another; an empty text has none.

    Raises
    ------
    ShowError
        A corner has not two numbers, or one is no coordinate.

    Examples
    --------
    >>> typed_corners("-6, -4; 6 -4; 6, 16")
    ((-6.0, -4.0), (6.0, -4.0), (6.0, 16.0))
    """
    return tuple(_corner(part) for part in _NEXT.split(text.strip("[]; ")) if part)


def _corner(text: str) -> Corner:
    parts = [typed_metres(part) for part in _WITHIN.split(text)]
    if len(parts) != _CORNER_PARTS:
        raise ShowError(
            f"'{text[:60]}' has {len(parts)} {'number' if len(parts) == 1 else 'numbers'}",
            where="corners",
            expected="two for each corner: to the right, into the hall",
            remedy="Write them in metres, semicolons between: -6, -4; 6, -4; 6, 16; -6, 16.",
        )
    return parts[0], parts[1]


def typed_pairs(text: str, field: str) -> Iterator[tuple[str, str]]:
    """``name: value, name: value``.

    Raises
    ------
    ShowError
        A part has no colon, or nothing behind it.
    """
    for part in _PAIR.split(text) if text else ():
        name, colon, value = (each.strip() for each in part.partition(":"))
        if not colon or not value:
            raise ShowError(
                f"'{part[:60]}' is no pair",
                where=field,
                expected="a name, a colon and a value",
                remedy="Write it like 3: open, or vox-2: 43 cm; commas stand between.",
            )
        yield name, value


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True
