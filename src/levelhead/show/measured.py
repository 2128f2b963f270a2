"""Voltages that somebody measured between two items, as a show tells them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal, TypeAlias, cast, get_args

from levelhead.errors import QuantityError
from levelhead.quantity.parsing import parse_si
from levelhead.show.addresses import shortened
from levelhead.show.checks import LONGEST_VALUE, checked_id, given_text, unfit

__all__ = ["Meter", "Volts", "checked_between", "checked_meter", "checked_touch_volts"]

Meter: TypeAlias = Literal["high-impedance", "low-impedance"]
"""What it was measured with: a usual meter, or one that draws current as a body does."""

MOST_V: Final = 1000.0


@dataclass(frozen=True, slots=True)
class Volts:
    """Alternating volts between the metal of two items, by a meter."""

    id: str
    between: tuple[str, str]
    volts: str
    meter: Meter = "high-impedance"
    note: str = ""


def checked_between(given: object) -> tuple[str, str]:
    """Two different items."""
    if isinstance(given, (tuple, list)) and len(given) == len(("one", "other")):
        one, other = checked_id(given[0]), checked_id(given[1])
        if one != other:
            return one, other
    raise unfit(
        "between",
        f"{shortened(str(given))} is no pair of items",
        expected="the names of two items",
        remedy="Write it like between: [guitar, vox-1].",
    )


def checked_touch_volts(given: object) -> str:
    """Volts as typed.

    >>> checked_touch_volts("30 V")
    '30 V'
    """
    text = given_text(given, "volts")
    try:
        if len(text) <= LONGEST_VALUE and 0 < parse_si(text, "V") <= MOST_V:
            return text
    except QuantityError:
        pass
    raise unfit(
        "volts",
        f"{shortened(text)} is no voltage that a meter shows",
        expected=f"volts, above 0 and at most {MOST_V:g} V",
        remedy="Write it like 30 V.",
    )


def checked_meter(given: object) -> Meter:
    """What it was measured with."""
    if given in get_args(Meter):
        return cast("Meter", given)
    raise unfit(
        "meter",
        f"{shortened(str(given))} is no kind of meter",
        expected=" or ".join(get_args(Meter)),
        remedy="Write low-impedance where the meter loads what it measures.",
    )
