"""Figures of the gear book: a value in SI, its plausible range, its unit and its source."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any, Final, TypeAlias

from levelhead.errors import GearError, QuantityError
from levelhead.gear.tolerance import ends_within, split_tolerance
from levelhead.quantity.parsing import parse_si

__all__ = ["SOURCES", "Figure", "RawFigure", "measured", "read_figure"]

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
    value = _number(given["value"], unit, where)
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
    if not low <= value <= high:
        raise GearError(
            f"{given['value']} lies outside its range",
            where=where,
            expected=f"a value within {ends[0]} to {ends[1]}",
            remedy="Mend the value or the range.",
        )
    return low, high
