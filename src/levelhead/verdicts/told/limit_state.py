"""Limit states: capacity less demand, how likely it holds, and what would flip it.

A margin is linear, to first order, in each doubtful figure counted in decibels (20 lg of a ratio
for volts, ohm and farad). Doubts are independent, but for what things of one type share of a
figure; their spreads add as squares. Where a level is no straight line of its doubts it is drawn.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.draws.levels import SHARED_BY_TYPE
from levelhead.gear.figures import Figure
from levelhead.quantity.decibels import DBU_REFERENCE_V, P_REFERENCE_PA
from levelhead.quantity.formatting import format_level, format_si
from levelhead.verdicts.told.severity import Severity

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
_EVEN_DRAWS: Final = 1000  # positions of a control that nobody knows
_SEED: Final = 2026  # the same show gets the same answer
_LEVEL_UNITS: Final = frozenset({"dB", "dBu", "dBFS", "dB SPL"})
_PURE_UNITS: Final = frozenset({"1", "1/V"})

Kind = Literal["choice", "fact", "chance"]


@dataclass(frozen=True, slots=True)
class Flip:
    """A value of one input, alone, at which the verdict turns."""

    input: str
    kind: Kind
    from_: str
    to: str


def _departure_text(by_db: float) -> str:
    """Louder or softer than usual.

    >>> _departure_text(6.8), _departure_text(-3.0), _departure_text(0.0)
    ('6.8 dB louder than usual', '3.0 dB softer than usual', 'loud as usual')
    """
    if not by_db:
        return "loud as usual"
    return f"{format_level(abs(by_db), 'dB')} {'louder' if by_db > 0 else 'softer'} than usual"


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
    is_drawn
        Whether draws of the level hold it already, where there are any.
    is_even
        A control that nobody knows: anywhere between the ends of its figure, each as likely.
    is_departure
        How far a performer is from the usual level: told as louder or softer.
    ask
        What settles it, where that is neither a look nor a meter.
    """

    input: str
    kind: Kind
    figure: Figure
    slope: float
    of: str = ""
    is_level: bool = False
    is_drawn: bool = False
    is_even: bool = False
    is_departure: bool = False
    ask: str = ""

    @property
    def spread_db(self) -> float:
        """One standard deviation of the figure. [dB]"""
        if self.is_even:
            return (self.figure.high - self.figure.low) / math.sqrt(12)
        return self.figure.spread_db

    @property
    def weight(self) -> float:
        """Standard deviation that it brings to the margin, in the margin's unit."""
        return abs(self.slope) * self.spread_db

    def flip(self, margin: float) -> Flip | None:
        """Where this figure alone would bring the margin to nothing, if that is plausible."""
        if not self.slope:
            return None
        change_db = -margin / self.slope
        value = self.figure.value
        if not self._is_plausible(change_db):
            return None
        turned = value + change_db if self.figure.is_in_db else value * 10 ** (change_db / 20)
        return Flip(self.input, self.kind, self.text(value), self.text(turned))

    def _is_plausible(self, change_db: float) -> bool:
        if self.is_even:
            return self.figure.low <= self.figure.value + change_db <= self.figure.high
        return abs(change_db) <= PLAUSIBLE_SPREADS * self.spread_db

    def even_moves(self, count: int) -> NDArray[np.float64]:
        """Changes of the margin, evenly over all that a control may be, in a steady disorder."""
        share = (np.arange(count) + 0.5) / count
        np.random.default_rng(_SEED).shuffle(share)
        low, high = self.figure.low - self.figure.value, self.figure.high - self.figure.value
        moves: NDArray[np.float64] = self.slope * (low + share * (high - low))
        return moves

    def text(self, value: float) -> str:
        """A value of the figure as people write it."""
        if self.is_departure:
            return _departure_text(value)
        return figure_text(value, self.figure.unit, is_level=self.is_level)

    @property
    def settled_by(self) -> str:
        """The cheapest way to be rid of it."""
        if self.ask:
            return self.ask
        if self.kind == "chance":
            return f"Let {self.of} give the loudest passage and read the first meter."
        if self.is_even:
            return (
                f"Ask or look where {self.input} stands (taken as {self.text(self.figure.value)})."
            )
        if self.kind == "choice":
            return f"Look where {self.input} stands."
        return f"Look up or measure: {self.input} (taken as {self.text(self.figure.value)})."


def figure_text(value: float, unit: str, *, is_level: bool = False) -> str:
    """A figure as people write it; sound pressure (and, if asked, volts) as a level.

    >>> figure_text(0.6**0.5, "V", is_level=True), figure_text(20.0, "V"), figure_text(1e-7, "T")
    ('0.0 dBu', '20 V', '0.1 uT')
    >>> figure_text(0.448, "Pa/V")
    '87.0 dB SPL for 1 V'
    """
    if unit == "V" and is_level:
        return format_level(20 * math.log10(value / DBU_REFERENCE_V), "dBu")
    if unit == "Pa":
        return format_level(20 * math.log10(value / P_REFERENCE_PA), "dB SPL")
    if unit == "FS":
        return format_level(20 * math.log10(value), "dBFS")
    if unit in _LEVEL_UNITS:
        return format_level(value, unit)
    if unit == "Pa/V":  # what a loudspeaker gives at 1 m for a volt
        return f"{format_level(20 * math.log10(value / P_REFERENCE_PA), 'dB SPL')} for 1 V"
    if unit == "T":  # fields of mains cables: nobody types them
        return f"{value * 1e6:.3g} uT"
    return f"{value:.3g}" if unit in _PURE_UNITS else format_si(value, unit)


Moves = NDArray[np.float64]


def _undrawn() -> Moves | None:
    """Draws of a margin that is a straight line of its doubts: none are needed."""
    return None


@dataclass(frozen=True, eq=False)
class LimitState:
    """A margin with everything that it hangs on; doubts are worked out when they are asked for.

    ``moves_from`` draws the part of the margin that its level brings, ``None`` where the doubts
    tell it. ``is_open`` says that a control which nobody knows stands on the way.
    """

    margin: float
    unit: str
    doubts_from: Callable[[], Iterable[Doubt]] = tuple
    moves_from: Callable[[], Moves | None] = _undrawn
    is_open: bool = False

    def __repr__(self) -> str:
        return f"LimitState(margin {self.margin:.3g} {self.unit})"

    @cached_property
    def doubts(self) -> tuple[Doubt, ...]:
        """Doubts that matter, the heaviest first, those of one input made one."""
        merged: dict[str, Doubt] = {}
        for doubt in self.doubts_from():
            merged[doubt.input] = _added(merged.get(doubt.input), doubt)
        heavy = [doubt for doubt in merged.values() if doubt.weight >= _NEGLIGIBLE]
        return tuple(sorted(heavy, key=lambda doubt: -doubt.weight))

    @cached_property
    def _moves(self) -> Moves | None:
        """Draws of all that is not normal: the level, and controls that nobody knows."""
        moves = self.moves_from()
        for doubt in self.doubts:
            if doubt.is_even:
                count = _EVEN_DRAWS if moves is None else len(moves)
                moves = doubt.even_moves(count) + (0.0 if moves is None else moves)
        return moves

    @cached_property
    def _normal_spread(self) -> float:
        """Standard deviation of what the draws do not hold."""
        is_drawn = self.moves_from() is not None
        left = [each for each in self.doubts if not (each.is_even or (is_drawn and each.is_drawn))]
        return _spread(left)

    @cached_property
    def spread(self) -> float:
        """Standard deviation of the margin."""
        drawn = 0.0 if self._moves is None else float(self._moves.std())
        return math.hypot(self._normal_spread, drawn)

    @cached_property
    def p_holds(self) -> float:
        """Chance that the margin is not negative."""
        moved = np.zeros(1) if self._moves is None else self._moves
        if self._normal_spread == 0:
            return float((self.margin + moved >= -ROUNDING).mean())
        scaled = (self.margin + moved) / (self._normal_spread * math.sqrt(2))
        return sum(0.5 * (1 + math.erf(each)) for each in scaled.tolist()) / len(scaled)

    def flips(self) -> tuple[Flip, ...]:
        """The one or two inputs that plausibly turn the verdict by themselves."""
        found = (doubt.flip(self.margin) for doubt in self.doubts)
        return tuple(flip for flip in found if flip is not None)[:_WORTH_NAMING]

    def severity(self, *, ample: float) -> Severity:
        """Fine, care or fails; ``ample`` is the margin that is fine whatever the doubts."""
        if self.margin < -ROUNDING:
            return Severity.FAILS
        is_ample = self.margin >= ample - ROUNDING and not self.is_open
        if is_ample or self.p_holds >= FINE_CHANCE:
            return Severity.FINE
        return Severity.CARE

    def settle_by(self) -> str | None:
        """The cheapest way to remove the heaviest doubt."""
        return self.doubts[0].settled_by if self.doubts else None


def _spread(doubts: Iterable[Doubt]) -> float:
    """Spreads added as squares; what things of one type share of a figure is one doubt."""
    total = 0.0
    shared: dict[int, float] = {}
    for doubt in doubts:
        share = SHARED_BY_TYPE if doubt.kind == "fact" else 0.0
        weight = doubt.slope * doubt.spread_db
        shared[id(doubt.figure)] = shared.get(id(doubt.figure), 0.0) + weight * math.sqrt(share)
        total += weight**2 * (1 - share)
    return math.sqrt(total + sum(weight**2 for weight in shared.values()))


def _added(known: Doubt | None, doubt: Doubt) -> Doubt:
    """Two doubts about one input: their slopes add."""
    return doubt if known is None else replace(known, slope=known.slope + doubt.slope)
