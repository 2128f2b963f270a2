"""Limit states: capacity less demand, how likely it holds, and what would flip it.

A margin is linear, to first order, in each doubtful figure counted in decibels (20 lg of a ratio for
volts, ohm and farad). Doubts are independent; their spreads add as squares.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final, Literal

from levelhead.gear.figures import Figure
from levelhead.quantity.formatting import format_level, format_si
from levelhead.verdicts.finding import Flip, Severity

__all__ = ["FINE_CHANCE", "PLAUSIBLE_SPREADS", "Doubt", "LimitState", "figure_text"]

FINE_CHANCE: Final = 0.95  # a verdict of fine holds at least this often (docs/decisions.md)
PLAUSIBLE_SPREADS: Final = 3.0  # further off than this nobody expects a figure
_WORTH_NAMING: Final = 2  # flips named for each finding
_NEGLIGIBLE_DB: Final = 0.02
_LEVEL_UNITS: Final = frozenset({"dB", "dBu", "dBFS", "dB SPL"})


@dataclass(frozen=True, slots=True)
class Doubt:
    """A figure that may be other than taken. ``slope`` is margin (in its unit) per dB of the figure."""

    input: str
    kind: Literal["choice", "fact", "chance"]
    figure: Figure
    slope: float

    @property
    def spread_db(self) -> float:
        """One standard deviation of the figure in dB: a range holds 95 %, so a quarter of it."""
        low, high = self.figure.low, self.figure.high
        if self.figure.unit in _LEVEL_UNITS:
            return (high - low) / 4
        return 20 * math.log10(high / low) / 4 if low > 0 else 0.0

    @property
    def weight(self) -> float:
        """Standard deviation that it brings to the margin."""
        return abs(self.slope) * self.spread_db

    def flip(self, margin: float) -> Flip | None:
        """Where this figure alone would bring the margin to nothing, if that is plausible."""
        if not self.slope:
            return None
        change_db = -margin / self.slope
        if abs(change_db) > PLAUSIBLE_SPREADS * self.spread_db:
            return None
        value = self.figure.value
        is_level = self.figure.unit in _LEVEL_UNITS
        turned = value + change_db if is_level else value * 10 ** (change_db / 20)
        return Flip(
            self.input,
            self.kind,
            figure_text(value, self.figure.unit),
            figure_text(turned, self.figure.unit),
        )


def figure_text(value: float, unit: str) -> str:
    """A figure as people write it; sound pressure as a level."""
    if unit == "Pa":
        return format_level(20 * math.log10(value / 20e-6), "dB SPL")
    if unit in _LEVEL_UNITS:
        return format_level(value, unit)
    if unit in {"FS"}:
        return format_level(20 * math.log10(value), "dBFS")
    if unit in {"1", "1/V", "Pa/V"}:
        return f"{value:.3g}"
    return format_si(value, unit)


@dataclass(frozen=True, slots=True)
class LimitState:
    """A margin with everything that it hangs on."""

    margin: float
    unit: str
    doubts: tuple[Doubt, ...]

    @property
    def spread(self) -> float:
        """Standard deviation of the margin."""
        return math.sqrt(sum(doubt.weight**2 for doubt in self.doubts))

    @property
    def p_holds(self) -> float:
        """Chance that the margin is not negative."""
        if self.spread == 0:
            return 1.0 if self.margin >= 0 else 0.0
        return 0.5 * (1 + math.erf(self.margin / self.spread / math.sqrt(2)))

    @property
    def ranked(self) -> tuple[Doubt, ...]:
        """Doubts, the heaviest first."""
        return tuple(sorted(self.doubts, key=lambda doubt: -doubt.weight))

    def flips(self) -> tuple[Flip, ...]:
        """The one or two inputs that plausibly turn the verdict by themselves."""
        found = (doubt.flip(self.margin) for doubt in self.ranked)
        return tuple(flip for flip in found if flip is not None)[:_WORTH_NAMING]

    def severity(self, *, ample: float) -> Severity:
        """Fine, care or fails; ``ample`` is the margin that is fine whatever the doubts."""
        if self.margin < 0:
            return Severity.FAILS
        if self.margin >= ample or self.p_holds >= FINE_CHANCE:
            return Severity.FINE
        return Severity.CARE

    def settle_by(self) -> str | None:
        """The cheapest way to remove the heaviest doubt."""
        heaviest = next(iter(self.ranked), None)
        if heaviest is None or heaviest.weight < _NEGLIGIBLE_DB:
            return None
        if heaviest.kind == "chance":
            return f"Let {heaviest.input} play the loudest passage and read the first meter."
        if heaviest.kind == "choice":
            return f"Look where {heaviest.input} stands."
        return f"Look up or measure: {heaviest.input} (taken as {figure_text(heaviest.figure.value, heaviest.figure.unit)})."


def merged(doubts: Iterable[Doubt]) -> tuple[Doubt, ...]:
    """Doubts of one input made one, their slopes added."""
    by_input: dict[str, Doubt] = {}
    for doubt in doubts:
        if doubt.input in by_input:
            other = by_input[doubt.input]
            doubt = Doubt(doubt.input, doubt.kind, doubt.figure, doubt.slope + other.slope)
        by_input[doubt.input] = doubt
    kept: Sequence[Doubt] = [d for d in by_input.values() if d.weight >= _NEGLIGIBLE_DB]
    return tuple(kept)
