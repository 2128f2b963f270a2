"""What a show tells of reels, ratings and connections of its mains: whether it can be read."""

from __future__ import annotations

from typing import Final, TypeVar, cast, get_args

from levelhead.errors import QuantityError
from levelhead.quantity.parsing import parse_si
from levelhead.show.addresses import shortened
from levelhead.show.checks import LONGEST_VALUE, given_text, unfit
from levelhead.show.model import Reel, Tails

__all__ = ["checked_reel", "checked_tails", "checked_watts"]

MOST_W: Final = 1e6
_T = TypeVar("_T", bound=str)


def checked_watts(given: object) -> str:
    """A rating in watts, as typed.

    >>> checked_watts("3 kW")
    '3 kW'
    """
    text = given_text(given, "rated")
    try:
        if len(text) <= LONGEST_VALUE and 0 < parse_si(text, "W") <= MOST_W:
            return text
    except QuantityError:
        pass
    raise unfit(
        "rated",
        f"{shortened(text)} is no rating",
        expected="a power with its unit, above 0 and at most 1000 kW",
        remedy="Write what is printed on it, like 3000 W.",
    )


def checked_reel(given: object) -> Reel:
    """How a cable reel stands."""
    known = _one_of(given, get_args(Reel), "reel", "Write wound, or unwound: wholly off its drum.")
    return cast("Reel", known)


def checked_tails(given: object) -> Tails:
    """Who connects bare ends to a distribution board."""
    remedy = "Write electrician, or crew; leave it out where it is plugged into a socket."
    return cast("Tails", _one_of(given, get_args(Tails), "tails", remedy))


def _one_of(given: object, known: tuple[str, ...], field: str, remedy: str) -> str:
    if given in known:
        return str(given)
    raise unfit(
        field,
        f"{shortened(str(given))} is none of the words known here",
        expected=" or ".join(known),
        remedy=remedy,
    )
