"""Figures of the gear book: a value in SI, its plausible range, its unit and its source."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any, Final

from levelhead.errors import GearError, QuantityError
from levelhead.quantity.parsing import parse_si

__all__ = ["SOURCES", "Figure", "read_figure"]

SOURCES: Final = (
    "standard", "handbook", "typical", "common practice", "from memory", "measured",
)  # fmt: skip

# A figure without a range of its own: how far it usually lies from the printed value, by source,
# as a fraction (or in dB where the unit is a level). Common practice for parts and gear sheets.
_SPREAD_RATIO: Final = {"standard": 0.05, "handbook": 0.1, "measured": 0.02}
_SPREAD_DB: Final = {"standard": 0.5, "handbook": 1.0, "measured": 0.2}
_OTHER_RATIO: Final = 0.2
_OTHER_DB: Final = 2.0
_IN_DECIBELS: Final = frozenset({"dB", "dBu", "dBFS", "dB SPL"})


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


def _default_range(value: float, unit: str, source: str) -> tuple[float, float]:
    if unit in _IN_DECIBELS:
        spread_db = _SPREAD_DB.get(source, _OTHER_DB)
        return value - spread_db, value + spread_db
    ratio = 1 + _SPREAD_RATIO.get(source, _OTHER_RATIO)
    return min(value / ratio, value * ratio), max(value / ratio, value * ratio)


def read_figure(raw: str | dict[str, Any], *, unit: str, source: str, where: str) -> Figure:
    """Read a figure as the gear book writes it: ``2 kohm`` or ``{value, range, source}``.

    Raises
    ------
    GearError
        Not a quantity of this unit, an unknown source, or a value outside its own range.
    """
    if isinstance(raw, str):
        return _read_plain(raw, unit, source, where)
    unknown = set(raw) - {"value", "range", "source"}
    if unknown or "value" not in raw:
        raise GearError(
            f"figure {raw!r} is not understood",
            where=where,
            expected="VALUE UNIT or {value, range, source}",
            remedy="Write value, and if you like range and source.",
        )
    figure = _read_plain(str(raw["value"]), unit, str(raw.get("source", source)), where)
    if "range" not in raw:
        return figure
    low, high = (_read_plain(str(end), unit, source, where).value for end in raw["range"])
    if not low <= figure.value <= high:
        raise GearError(
            f"{raw['value']} lies outside its range",
            where=where,
            expected=f"a value within {raw['range'][0]} to {raw['range'][1]}",
            remedy="Mend the value or the range.",
        )
    return replace(figure, low=low, high=high)


@lru_cache(maxsize=16384)
def _read_plain(text: str, unit: str, source: str, where: str) -> Figure:
    if source not in SOURCES:
        raise GearError(
            f"unknown source '{source}'",
            where=where,
            expected=f"one of {', '.join(SOURCES)}",
            remedy="Say where the figure comes from.",
        )
    try:
        value = float(text) if unit == "1" else parse_si(text, unit)
    except (QuantityError, ValueError) as error:
        raise GearError(
            f"'{text}' cannot be read",
            where=where,
            expected=f"a quantity in {unit}",
            remedy=str(error),
        ) from error
    low, high = _default_range(value, unit, source)
    return Figure(value, low, high, unit, source)
