"""Print quantities so that people can read them, and so that ``parse`` reads them back."""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType
from typing import Final, NamedTuple

from levelhead.errors import QuantityError
from levelhead.quantity.arrays import np
from levelhead.quantity.levels import Gain, Reference
from levelhead.quantity.measure import UNITS, Measure
from levelhead.quantity.parsing import CLOSED, SILENCE, Quantity
from levelhead.quantity.units import ZERO_CELSIUS_K


class _Printed(NamedTuple):
    """One way to print a unit: used from ``least`` upwards, as value / ``scale`` with ``label``."""

    least: float
    scale: float
    label: str


def _prefixes(symbol: str, prefixes: str) -> tuple[_Printed, ...]:
    """Ways to print a unit, the largest first; ``-`` stands for no prefix."""
    scales = {
        "G": 1e9,
        "M": 1e6,
        "k": 1e3,
        "-": 1.0,
        "m": 1e-3,
        "u": 1e-6,
        "n": 1e-9,
        "p": 1e-12,
        "f": 1e-15,
    }
    return tuple(
        _Printed(scales[prefix], scales[prefix], prefix.strip("-") + symbol) for prefix in prefixes
    )


_PRINTED: Final[Mapping[str, tuple[_Printed, ...]]] = MappingProxyType(
    {
        "V": _prefixes("V", "k-mun"),
        "A": _prefixes("A", "-munp"),
        "W": _prefixes("W", "k-mun"),
        "VA": _prefixes("VA", "k-"),
        "ohm": _prefixes("ohm", "GMk-m"),
        # Capacitors of audio circuits are named in microfarads up to the largest.
        "F": (_Printed(0.1, 1.0, "F"), _Printed(1e-6, 1e-6, "uF"), *_prefixes("F", "np")),
        "H": _prefixes("H", "-mu"),
        "C": (_Printed(3600.0, 3600.0, "Ah"), _Printed(1.0, 3.6, "mAh"), *_prefixes("C", "munp")),
        "J": _prefixes("J", "k-mu"),
        "Hz": _prefixes("Hz", "GMk-"),
        "s": (_Printed(7200.0, 3600.0, "h"), _Printed(120.0, 60.0, "min"), *_prefixes("s", "-mu")),
        "m": (
            _Printed(1e3, 1e3, "km"),
            _Printed(1.0, 1.0, "m"),
            _Printed(1e-2, 1e-2, "cm"),
            _Printed(1e-3, 1e-3, "mm"),
        ),
        "m2": (_Printed(1e-3, 1.0, "m2"), _Printed(1e-6, 1e-6, "mm2")),
        "kg": (_Printed(1.0, 1.0, "kg"), _Printed(1e-3, 1e-3, "g")),
        "Pa": _prefixes("Pa", "k-mu"),
        "rad": (_Printed(0.0, math.pi / 180.0, "deg"),),
        "V/Pa": _prefixes("V/Pa", "-mu"),
        "ohm/m": _prefixes("ohm/m", "k-m"),
        "F/m": _prefixes("F/m", "unp"),
        "H/m": _prefixes("H/m", "-mun"),
        "V/rtHz": _prefixes("V/rtHz", "-munp"),
        "A/rtHz": _prefixes("A/rtHz", "-unpf"),
        "1": (_Printed(0.0, 1.0, ""),),
    }
)
_OF_LEVELS: Final = frozenset({"dB", *(reference.value for reference in Reference)})
_SIGNED: Final = frozenset({"dBu", "dBV", "dBFS", "dBu(A)", "dBV(A)", "dBFS(A)", "dBm", "dBW"})


def format_level(value_db: float, unit: str, digits: int = 1) -> str:
    """Print a level or gain with a fixed number of decimals.

    Parameters
    ----------
    value_db : float
        Decibels in that unit; ``-inf`` prints as ``off`` for a gain and as ``silence`` for a level.
    unit : str
        ``dB`` for a gain, or the value of a ``Reference``.
    digits : int, optional
        Decimals.

    Returns
    -------
    str
        Electrical and digital levels carry their sign, as is usual; gains and sound levels only a
        minus.

    Raises
    ------
    QuantityError
        The value is not a number, or the unit is no decibel.

    Examples
    --------
    >>> format_level(4, "dBu"), format_level(-10.04, "dB"), format_level(94, "dB SPL", digits=0)
    ('+4.0 dBu', '-10.0 dB', '94 dB SPL')
    """
    if unit not in _OF_LEVELS:
        raise _unprintable(f"'{unit}' is no unit of levels", "dB, dBu, dBV, dBFS, dB SPL, ...")
    if math.isnan(value_db) or value_db == math.inf:
        raise _unprintable(f"a level of {value_db} {unit}", "a number, or -inf for silence")
    if value_db == -math.inf:
        return CLOSED if unit == "dB" else SILENCE
    rounded = round(float(value_db), digits) + 0.0  # + 0.0 turns -0.0 into 0.0
    sign = "+" if unit in _SIGNED and rounded > 0 else ""
    return f"{sign}{rounded:.{digits}f} {unit}"


def format_si(value: float, unit: str, digits: int = 3) -> str:
    """Print a measure with the prefix that people use and a number of significant digits.

    Parameters
    ----------
    value : float
        Value in the SI unit.
    unit : str
        A unit of ``measure.UNITS``.
    digits : int, optional
        Significant digits; zeros at the end are left out.

    Returns
    -------
    str
        ``parse`` reads it back to within the printed digits.

    Raises
    ------
    QuantityError
        The value is not finite, or the unit is unknown.

    Examples
    --------
    >>> (
    ...     format_si(2200, "ohm"),
    ...     format_si(4.7e-8, "F"),
    ...     format_si(0.0043, "A"),
    ...     format_si(293.15, "K"),
    ... )
    ('2.2 kohm', '47 nF', '4.3 mA', '20 degC')
    """
    if unit not in UNITS or not math.isfinite(value):
        raise _unprintable(f"{value} {unit}", "a finite value in a known SI unit")
    if unit == "K":
        return f"{_positional(value - ZERO_CELSIUS_K, digits)} degC"
    ways = _PRINTED.get(unit) or (_Printed(0.0, 1.0, unit),)
    rounded = abs(float(f"{value:.{digits - 1}e}"))  # 999.9 ohm is 1 kohm in three digits
    way = next((way for way in ways if rounded >= way.least * (1 - 1e-12)), ways[-1])
    if value == 0:
        way = next((way for way in ways if way.scale == 1.0), ways[-1])
    return f"{_positional(value / way.scale, digits)} {way.label}".rstrip()


def format_quantity(quantity: Quantity, digits: int | None = None) -> str:
    """Print any quantity that ``parse`` returns.

    >>> from levelhead.quantity.levels import Level
    >>> format_quantity(Level(0, Reference.DBM, impedance_ohm=600))
    '0.0 dBm in 600 ohm'
    """
    if isinstance(quantity, Measure):
        return format_si(quantity.value, quantity.unit, 3 if digits is None else digits)
    decimals = 1 if digits is None else digits
    if isinstance(quantity, Gain):
        return format_level(quantity.db, "dB", decimals)
    text = format_level(quantity.value_db, quantity.reference.value, decimals)
    if quantity.impedance_ohm is not None and quantity.value_db > -math.inf:
        text += f" in {format_si(quantity.impedance_ohm, 'ohm')}"
    return text


def _positional(value: float, digits: int) -> str:
    """Significant digits without an exponent and without zeros at the end."""
    text = np.format_float_positional(value, precision=digits, fractional=False, trim="-")
    return "0" if text in {"-0", "0."} else text


def _unprintable(what: str, expected: str) -> QuantityError:
    """Error of a value that cannot be printed."""
    return QuantityError(
        what,
        where="printing a quantity",
        expected=expected,
        remedy="Print a dash for what is not known.",
    )
