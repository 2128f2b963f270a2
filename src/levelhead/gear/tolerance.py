"""How sure a reading is: ``31.2 dB +- 0.5 dB``, ``290 ohm +- 5 %``, ``1.23 V ± 10 mV``."""

from __future__ import annotations

import re
from typing import Final

from levelhead.errors import QuantityError
from levelhead.quantity.parsing import parse_si

__all__ = ["ends_within", "split_tolerance"]

_PLUS_MINUS: Final = re.compile(r"\s*(?:±|\+/-|\+-)\s*")
_PER_CENT: Final = re.compile(r"(\d+(?:\.\d+)?)\s*%")
_DECIBELS: Final = re.compile(r"(\d+(?:\.\d+)?)\s*dB")


def split_tolerance(text: str) -> tuple[str, str | None]:
    """A reading and its tolerance, if it states one.

    >>> split_tolerance("31.2 dB +- 0.5 dB"), split_tolerance("-4 dBu")
    (('31.2 dB', '0.5 dB'), ('-4 dBu', None))
    """
    value, *more = _PLUS_MINUS.split(text.strip(), maxsplit=1)
    return (value, more[0].strip()) if more and value else (text, None)


def ends_within(value: float, tolerance: str, unit: str) -> tuple[float, float]:
    """Least and greatest value that a tolerance leaves.

    Parameters
    ----------
    value
        In ``unit``: SI, a decibel, or ``1`` for a pure ratio.
    tolerance
        Per cent or decibels, which are ratios both ways; or a quantity of the same unit.

    Raises
    ------
    QuantityError
        It is none of these, or leaves no positive value of what is always positive.

    Examples
    --------
    >>> ends_within(290.0, "10 ohm", "ohm"), ends_within(31.0, "0.5 dB", "dB")
    ((280.0, 300.0), (30.5, 31.5))
    >>> [round(end, 2) for end in ends_within(1.0, "6 dB", "V")]
    [0.5, 2.0]
    """
    is_level = unit.startswith("dB")
    if (decibels := _DECIBELS.fullmatch(tolerance)) is not None:
        half_db = float(decibels[1])
        if is_level:
            return value - half_db, value + half_db
        return value / 10 ** (half_db / 20), value * 10 ** (half_db / 20)
    if (part := _PER_CENT.fullmatch(tolerance)) is not None and not is_level:
        half = abs(value) * float(part[1]) / 100
    else:
        half = abs(_quantity(tolerance, "dB" if is_level else unit))
    if value > 0 and not is_level and half >= value:
        raise _too_wide(tolerance)
    return value - half, value + half


def _quantity(text: str, unit: str) -> float:
    try:
        return float(text) if unit == "1" else parse_si(text, unit)
    except (QuantityError, ValueError) as error:
        raise QuantityError(
            f"'{text}' is no tolerance",
            where="tolerance",
            expected=f"per cent, dB, or a quantity in {unit}"
            if not unit.startswith("dB")
            else "decibels",
            remedy="Write it like 31.2 dB +- 0.5 dB, or 290 ohm +- 5 %.",
        ) from error


def _too_wide(tolerance: str) -> QuantityError:
    return QuantityError(
        f"a tolerance of {tolerance} leaves nothing",
        where="tolerance",
        expected="less than the value itself",
        remedy="Write a smaller tolerance, or one in dB.",
    )
