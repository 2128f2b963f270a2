"""Figures of the gear book: a value in SI, its plausible range, its unit and its source."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any, Final, TypeAlias

from levelhead.errors import GearError, QuantityError
from levelhead.gear.tolerance import ends_within, split_tolerance
from levelhead.quantity.parsing import parse_si

__all__ = ["SOURCES", "SPREADS_IN_RANGE", "Figure", "RawFigure", "measured", "read_figure"]

RawFigure: TypeAlias = str | dict[str, Any]
"""A figure as it is written: ``2 kohm`` or ``{value, range, source}``."""

SOURCES: Final = (
    "standard",
    "handbook",
    "typical",
    "common practice",
    "from memory",
    "measured",
)
_TOLERANCE: Final = "tolerance"  # may stand in place of a range

# A figure without a range of its own: how far it usually lies from the printed value, by source,
# as a fraction (or in dB where the unit is a level). Common practice for parts and gear sheets.
_SPREAD_RATIO: Final = {"standard": 0.05, "handbook": 0.1, "measured": 0.02}
_SPREAD_DB: Final = {"standard": 0.5, "handbook": 1.0, "measured": 0.2}
_OTHER_RATIO: Final = 0.2
_OTHER_DB: Final = 2.0
_IN_DECIBELS: Final = frozenset({"dB", "dBu", "dBFS", "dB SPL"})
_PARTS: Final = frozenset({"value", "range", "source"})
_ABOVE_ZERO: Final = frozenset({"ohm", "F", "H", "V", "A", "W", "Pa", "V/Pa", "m"})
_LEAST: Final = 1e-20  # in SI: less than any volt, ohm, farad or noise current of gear
_MOST_DB: Final = 300.0  # more than any gain, or any sound
SPREADS_IN_RANGE: Final = 4  # a range holds 95 %: two standard deviations each side


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure. ``low`` and ``high`` hold 95 % of what is met; ``value`` lies between them."""

    value: float
    low: float
    high: float
    unit: str
    source: str

    def at(self, value: float) -> Figure:
        """The same figure, known to be this value."""
        return replace(self, value=value, low=value, high=value, source="measured")

    def moved(self, change_db: float) -> Figure:
        """The same figure at a value so many decibels up (``20 lg`` of a ratio), and sure of it."""
        if self.is_in_db:
            return self.at(self.value + change_db)
        return self.at(float(self.value * 10 ** (change_db / 20)))

    @property
    def is_in_db(self) -> bool:
        """Whether it is a level or a gain; anything else is a ratio to its usual value."""
        return self.unit in _IN_DECIBELS

    @property
    def spread_db(self) -> float:
        """One standard deviation; of volts, ohms and the like ``20 lg`` of a ratio. [dB]"""
        if self.is_in_db:
            is_off = self.value == -math.inf
            return 0.0 if is_off else (self.high - self.low) / SPREADS_IN_RANGE
        return 20 * math.log10(self.high / self.low) / SPREADS_IN_RANGE if self.low > 0 else 0.0


def measured(text: str) -> RawFigure:
    """A reading of one unit, as it is typed: ``290 ohm``, ``290 ohm +- 5 %``.

    >>> measured("290 ohm +- 5 %")
    {'value': '290 ohm', 'source': 'measured', 'tolerance': '5 %'}
    """
    value, tolerance = split_tolerance(text)
    read = {"value": value, "source": "measured"}
    return read if tolerance is None else {**read, _TOLERANCE: tolerance}


def read_figure(raw: RawFigure, *, unit: str, source: str, where: str) -> Figure:
    """Read a figure as the gear book writes it: ``2 kohm`` or ``{value, range, source}``.

    In place of ``range`` there may be a ``tolerance``: ``5 %``, ``0.5 dB``.

    Parameters
    ----------
    unit
        The SI unit that is wanted, or ``dB``, ``dBFS``, or ``1`` for a pure ratio.
    source
        Source of a figure that names none.

    Raises
    ------
    GearError
        Not a quantity of this unit, an unknown source, or a value outside its own range.

    Examples
    --------
    >>> read_figure("2.2 kohm", unit="ohm", source="standard", where="mixer").value
    2200.0
    """
    given = {"value": raw} if isinstance(raw, str) else raw
    known = _PARTS | {_TOLERANCE} if "range" not in given else _PARTS
    if not known.issuperset(given) or "value" not in given:
        raise _not_understood(given, where)
    source = _checked_source(str(given.get("source", source)), where)
    value = _possible(_number(given["value"], unit, where), given["value"], unit, where)
    if _TOLERANCE in given:
        return Figure(value, *_within(value, str(given[_TOLERANCE]), unit, where), unit, source)
    if "range" not in given:
        return Figure(value, *_usual_range(value, unit, source), unit, source)
    return Figure(value, *_own_range(given, value, unit, where), unit, source)


def _not_understood(given: object, where: str) -> GearError:
    return GearError(
        f"figure {given!r} is not understood",
        where=where,
        expected="VALUE UNIT or {value, range, source}",
        remedy="Write value, and if you like range (two figures) or tolerance, and source.",
    )


def _checked_source(source: str, where: str) -> str:
    if source not in SOURCES:
        raise GearError(
            f"unknown source '{source}'",
            where=where,
            expected=f"one of {', '.join(SOURCES)}",
            remedy="Say where the figure comes from.",
        )
    return source


def _number(text: object, unit: str, where: str) -> float:
    try:
        return _parsed(str(text), unit)
    except QuantityError as error:
        raise GearError(
            f"'{text}' cannot be read: {error.what}",
            where=where,
            expected=f"a quantity in {unit}",
            remedy=error.remedy,
        ) from error
    except ValueError as error:
        raise GearError(
            f"'{text}' cannot be read",
            where=where,
            expected="a plain number in quotes",
            remedy='Write for example "12", without a unit.',
        ) from error


def _possible(value: float, text: object, unit: str, where: str) -> float:
    """A number that gear can have: finite; no length, volt or ohm of nothing or less."""
    is_there = value > _LEAST or unit not in _ABOVE_ZERO
    if unit in _IN_DECIBELS:
        is_there = abs(value) <= _MOST_DB
    is_off = unit == "dB" and value == -math.inf
    if (math.isfinite(value) and is_there) or is_off:
        return value
    raise GearError(
        f"'{text}' is nothing that gear can have",
        where=where,
        expected=f"a number above 0, or one within {_MOST_DB:g} dB",
        remedy="Look at the sign, the digits and the prefix.",
    )


@lru_cache(maxsize=16384)
def _parsed(text: str, unit: str) -> float:
    return float(text) if unit == "1" else parse_si(text, unit)


def _usual_range(value: float, unit: str, source: str) -> tuple[float, float]:
    """Range of a figure that states none."""
    if unit in _IN_DECIBELS:
        spread_db = _SPREAD_DB.get(source, _OTHER_DB)
        return value - spread_db, value + spread_db
    ratio = 1 + _SPREAD_RATIO.get(source, _OTHER_RATIO)
    return min(value / ratio, value * ratio), max(value / ratio, value * ratio)


def _within(value: float, tolerance: str, unit: str, where: str) -> tuple[float, float]:
    try:
        return ends_within(value, tolerance, unit)
    except QuantityError as error:
        raise GearError(
            error.what, where=where, expected=error.expected, remedy=error.remedy
        ) from error


def _own_range(given: dict[str, Any], value: float, unit: str, where: str) -> tuple[float, float]:
    ends = given["range"]
    if not isinstance(ends, (list, tuple)) or len(ends) != len(("low", "high")):
        raise _not_understood(given, where)
    low, high = (_number(end, unit, where) for end in ends)
    if not (math.isfinite(low) and math.isfinite(high)):
        raise _not_understood(given, where)
    if not low <= value <= high:
        raise GearError(
            f"{given['value']} lies outside its range",
            where=where,
            expected=f"a value within {ends[0]} to {ends[1]}",
            remedy="Mend the value or the range.",
        )
    return low, high
