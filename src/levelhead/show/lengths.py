"""Lengths, places, and the cables that have lengths: read as people type them."""

from __future__ import annotations

from functools import lru_cache
from typing import Final

from levelhead.errors import QuantityError
from levelhead.quantity.parsing import parse_si
from levelhead.show.addresses import is_id, shortened
from levelhead.show.checks import LONGEST_VALUE, given_text, unfit
from levelhead.show.model import Cable

__all__ = [
    "cable_text",
    "checked_cable",
    "checked_distance_m",
    "checked_length_m",
    "checked_place_m",
    "length_text",
]

LONGEST_LENGTH_M: Final = 10_000.0  # of a cable; more is a slip of the keyboard
FARTHEST_SOURCE_M: Final = 1_000.0  # from a microphone: beyond, km was typed for m or cm
FARTHEST_M: Final = 10_000.0  # of a place; the same


def checked_place_m(given: object) -> float:
    """One coordinate of a place, from metres or from text with a unit. [m]"""
    value_m = _metres(given) if isinstance(given, str) else given
    if (
        isinstance(value_m, (int, float))
        and not isinstance(value_m, bool)
        and abs(value_m) <= FARTHEST_M
    ):
        return float(value_m)
    raise unfit(
        "place",
        f"{shortened(str(given))} is no coordinate",
        expected=f"metres, at most {FARTHEST_M:g} from the middle of the stage's edge",
        remedy="Write a place like [-4, 0, 2.2]: to the right, into the hall, up.",
    )


def checked_length_m(given: object) -> float:
    """A length above nothing. [m]"""
    return _within_m(given, LONGEST_LENGTH_M, "is no length")


def checked_distance_m(given: object) -> float:
    """How far a source is from a microphone. [m]"""
    return _within_m(given, FARTHEST_SOURCE_M, "is no length to a source")


def _within_m(given: object, most_m: float, problem: str) -> float:
    value_m = _metres(given) if isinstance(given, str) else given
    if (
        isinstance(value_m, (int, float))
        and not isinstance(value_m, bool)
        and 0 < value_m <= most_m
    ):
        return float(value_m)
    raise unfit(
        "length",
        f"{shortened(str(given))} {problem}",
        expected=f"a length with its unit, above 0 and at most {most_m:g} m",
        remedy="Write it like 10 m, 5 cm or 16 ft.",
    )


def _metres(text: str) -> float:
    """Metres of a typed length."""
    try:
        if len(text) <= LONGEST_VALUE:
            return parse_si(text, "m")
    except QuantityError as error:
        raise unfit(
            "length",
            f"{shortened(text)}: {error.what}",
            expected=error.expected,
            remedy=error.remedy,
        ) from None
    raise unfit(
        "length", shortened(text), expected="a length with its unit", remedy="Write it like 10 m."
    )


def checked_cable(given: object) -> Cable:
    """A cable or adaptor as a link and the stock write it: its type, then its length if it has one.

    Examples
    --------
    >>> checked_cable("cable-xlr 10 m"), checked_cable("adaptor-xlr-turn")
    (Cable(type='cable-xlr', length_m=10.0), Cable(type='adaptor-xlr-turn', length_m=None))
    """
    kind, _, length = given_text(given, "cable").strip().partition(" ")
    if not is_id(kind):
        raise unfit(
            "cable",
            f"{shortened(str(given))} is no cable",
            expected="a type of the gear book, then the length",
            remedy="Write it like cable-xlr 10 m.",
        )
    return Cable(kind, checked_length_m(length.strip()) if length.strip() else None)


def cable_text(cable: Cable) -> str:
    """The opposite of :func:`checked_cable`, and the key of the cable in stock.

    Examples
    --------
    >>> cable_text(Cable("cable-xlr", 10.0)), cable_text(Cable("lead-patch", 0.3))
    ('cable-xlr 10 m', 'lead-patch 30 cm')
    """
    return cable.type if cable.length_m is None else f"{cable.type} {length_text(cable.length_m)}"


@lru_cache(maxsize=1024)
def length_text(length_m: float) -> str:
    """A length as people write it, exactly: centimetres below one metre if they tell it as well."""
    if length_m < 1:
        centimetres = f"{length_m * 100:.12g} cm"
        if "e" not in centimetres and parse_si(centimetres, "m") == length_m:
            return centimetres
    return f"{int(length_m) if length_m == int(length_m) else repr(length_m)} m"
