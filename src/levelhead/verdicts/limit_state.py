"""Limit states: capacity less demand, how likely it holds, and what would flip it.

A margin is linear, to first order, in each doubtful figure counted in decibels (20 lg of a ratio
for volts, ohm and farad). Doubts are independent; their spreads add as squares.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Final, Literal

from levelhead.gear.figures import Figure
from levelhead.quantity.formatting import format_level, format_si
from levelhead.quantity.levels import DBU_REFERENCE_V, P_REFERENCE_PA
from levelhead.verdicts.severity import Severity

__all__ = [
    "FINE_CHANCE",
    "PLAUSIBLE_SPREADS",
    "ROUNDING",
    "Doubt",
    "Flip",
    "LimitState",
    "figure_text",
]

FINE_CHANCE: Final = 0.95  # a verdict of fine holds at least this often (docs/decisions.md)
PLAUSIBLE_SPREADS: Final = 3.0  # further off than this nobody expects a figure
ROUNDING: Final = 0.05  # a margin this near to its limit, in dB or V, lies on it
_WORTH_NAMING: Final = 2  # flips named for each finding
_NEGLIGIBLE: Final = 0.02  # spread of a margin, in its unit, that nobody would look up
_SPREADS_IN_RANGE: Final = 4  # a range holds 95 %: two standard deviations each side
_LEVEL_UNITS: Final = frozenset({"dB", "dBu", "dBFS", "dB SPL"})
_PURE_UNITS: Final = frozenset({"1", "1/V", "Pa/V"})

Kind = Literal["choice", "fact", "chance"]


@dataclass(frozen=True, slots=True)
class Flip:
    """A value of one input, alone, at which the verdict turns."""

    input: str
    kind: Kind
    from_: str
    to: str


@dataclass(frozen=True, slots=True)
class Doubt:
    """A figure that may be other than taken.

    Attributes
    ----------
    input
        What it is, in people's words: ``damage level of Foyer loudspeaker, input``.
    slope
        Margin (in its unit) per dB of the figure.
    of
        For chance: who or what performs.
    is_level
        Whether volts are told as a level in dBu.
    """

    input: str
    kind: Kind
    figure: Figure
    slope: float
    of: str = ""
    is_level: bool = False

    @property
    def spread_db(self) -> float:
        """One standard deviation of the figure. [dB]"""
        low, high = self.figure.low, self.figure.high
        if self.figure.unit in _LEVEL_UNITS:
            return (high - low) / _SPREADS_IN_RANGE
        return 20 * math.log10(high / low) / _SPREADS_IN_RANGE if low > 0 else 0.0

    @property
    def weight(self) -> float:
        """Standard deviation that it brings to the margin, in the margin's unit."""
        return abs(self.slope) * self.spread_db

    def flip(self, margin: float) -> Flip | None:
        """Where this figure alone would bring the margin to nothing, if that is plausible."""
        if not self.slope:
            return None
        change_db = -margin / self.slope
        if abs(change_db) > PLAUSIBLE_SPREADS * self.spread_db:
            return None
        value = self.figure.value
        is_in_db = self.figure.unit in _LEVEL_UNITS
        turned = value + change_db if is_in_db else value * 10 ** (change_db / 20)
        return Flip(self.input, self.kind, self.text(value), self.text(turned))

    def text(self, value: float) -> str:
        """A value of the figure as people write it."""
        return figure_text(value, self.figure.unit, is_level=self.is_level)

    @property
    def settled_by(self) -> str:
        """The cheapest way to be rid of it."""
        if self.kind == "chance":
            return f"Let {self.of} give the loudest passage and read the first meter."
        if self.kind == "choice":
            return f"Look where {self.input} stands."
        return f"Look up or measure: {self.input} (taken as {self.text(self.figure.value)})."


def figure_text(value: float, unit: str, *, is_level: bool = False) -> str:
    """A figure as people write it; sound pressure (and, if asked, volts) as a level.

    >>> figure_text(0.6**0.5, "V", is_level=True), figure_text(20.0, "V"), figure_text(1e-7, "T")
    ('0.0 dBu', '20 V', '0.1 uT')
    """
    if unit == "V" and is_level:
        return format_level(20 * math.log10(value / DBU_REFERENCE_V), "dBu")
    if unit == "Pa":
        return format_level(20 * math.log10(value / P_REFERENCE_PA), "dB SPL")
    if unit == "FS":
        return format_level(20 * math.log10(value), "dBFS")
    if unit in _LEVEL_UNITS:
        return format_level(value, unit)
    if unit == "T":  # fields of mains cables: nobody types them
        return f"{value * 1e6:.3g} uT"
    return f"{value:.3g}" if unit in _PURE_UNITS else format_si(value, unit)


@dataclass(frozen=True, eq=False)
class LimitState:
    """A margin with everything that it hangs on; doubts are worked out when they are asked for."""

    margin: float
    unit: str
    doubts_from: Callable[[], Iterable[Doubt]] = tuple

    @cached_property
    def doubts(self) -> tuple[Doubt, ...]:
        """Doubts that matter, the heaviest first, those of one input made one."""
        merged: dict[str, Doubt] = {}
        for doubt in self.doubts_from():
            merged[doubt.input] = _added(merged.get(doubt.input), doubt)
        heavy = [doubt for doubt in merged.values() if doubt.weight >= _NEGLIGIBLE]
        return tuple(sorted(heavy, key=lambda doubt: -doubt.weight))

    @cached_property
    def spread(self) -> float:
        """Standard deviation of the margin."""
        return math.sqrt(sum(doubt.weight**2 for doubt in self.doubts))

    @property
    def p_holds(self) -> float:
        """Chance that the margin is not negative."""
        if self.spread == 0:
            return 1.0 if self.margin >= -ROUNDING else 0.0
        return 0.5 * (1 + math.erf(self.margin / self.spread / math.sqrt(2)))

    def flips(self) -> tuple[Flip, ...]:
        """The one or two inputs that plausibly turn the verdict by themselves."""
        found = (doubt.flip(self.margin) for doubt in self.doubts)
        return tuple(flip for flip in found if flip is not None)[:_WORTH_NAMING]

    def severity(self, *, ample: float) -> Severity:
        """Fine, care or fails; ``ample`` is the margin that is fine whatever the doubts."""
        if self.margin < -ROUNDING:
            return Severity.FAILS
        if self.margin >= ample - ROUNDING or self.p_holds >= FINE_CHANCE:
            return Severity.FINE
        return Severity.CARE

    def settle_by(self) -> str | None:
        """The cheapest way to remove the heaviest doubt."""
        return self.doubts[0].settled_by if self.doubts else None


def _added(known: Doubt | None, doubt: Doubt) -> Doubt:
    """Two doubts about one input: their slopes add."""
    if known is None:
        return doubt
    slope = known.slope + doubt.slope
    return Doubt(doubt.input, doubt.kind, doubt.figure, slope, doubt.of, doubt.is_level)
