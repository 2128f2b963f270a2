"""Hum at a point as mean squares by source and line, and the range in which it lies."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray

from levelhead.circuit.ground.mains import Cause
from levelhead.circuit.ground.sources import HumSources
from levelhead.gear.figures import Figure

__all__ = ["HumDoubt", "HumSum", "added"]

Real: TypeAlias = NDArray[np.float64]

_UNLIKE: Final = Figure(1.0, 0.25, 3.0, "1", "from memory")  # of the typical spread of parts


@dataclass(frozen=True, slots=True)
class HumDoubt:
    """Something that hum hangs on.

    Attributes
    ----------
    what
        In people's words.
    figure
        None where several unlike figures act alike.
    share
        Part of the hum's power that goes with it.
    low, high
        Factors on that power at the ends of what is met.
    """

    what: str
    figure: Figure | None
    share: float
    low: float
    high: float


@dataclass(frozen=True, eq=False)
class HumSum:
    """Mean squares of hum at a point, in the unit of the point squared.

    Attributes
    ----------
    of
        What drives it.
    direct : float, (sources, lines)
        Through the network as it is.
    shared : float, (3, sources, lines)
        Through what balanced inputs fail to reject: low, typical, high.
    unlike : float, (sources, lines)
        Through parts that are not quite equal.
    field : float, (lines,)
        From fields round the cables.
    cmrr
        Rejection of the input; none for an unbalanced one and for a sum of several.
    """

    of: HumSources
    unit: str
    direct: Real
    shared: Real
    unlike: Real
    field: Real
    cmrr: Figure | None = None

    @classmethod
    def of_field(cls, of: HumSources, field: Real, unit: str = "V") -> HumSum:
        """Hum that has nothing but a field; ``of`` are no sources on the mains that make it."""
        none = np.zeros((0, len(field)))
        return cls(of, unit, none, np.zeros((3, *none.shape)), none, field)

    @property
    def is_driven(self) -> bool:
        """Whether any source reaches it, not a field alone."""
        return len(self.direct) > 0

    def __repr__(self) -> str:
        return f"HumSum({len(self.direct)} sources, {self.unit})"

    @cached_property
    def by_source(self) -> Real:
        """Typical mean square of each source and line; (sources, lines)."""
        total: Real = self.direct + self.shared[1] + self.unlike
        return total

    @cached_property
    def by_line(self) -> Real:
        """Typical mean square of each line; (lines,)."""
        total: Real = self.by_source.sum(axis=0) + self.field
        return total

    @property
    def by_line_a(self) -> Real:
        """The same A-weighted."""
        return self.by_line * self._a_weights

    @cached_property
    def power_a(self) -> float:
        """Typical A-weighted mean square of all lines together."""
        return float(self.by_line @ self._a_weights)

    def scaled(self, power: Real, unit: str) -> HumSum:
        """Behind a gain whose square is ``power`` at each line."""
        return replace(
            self,
            unit=unit,
            direct=self.direct * power,
            shared=self.shared * power,
            unlike=self.unlike * power,
            field=self.field * power,
        )

    def rms(self) -> Figure:
        """Rms of all lines together: typical, and the range that holds 95 %."""
        return self._rms

    @cached_property
    def _rms(self) -> Figure:
        return self._range(np.ones_like(self.field))

    def rms_a(self) -> Figure:
        """The same A-weighted."""
        return self._rms_a

    @cached_property
    def _rms_a(self) -> Figure:
        return self._range(self._a_weights)

    def rms_of_lines(self) -> tuple[Figure, ...]:
        """The same for each line of ``Mains.lines_hz``."""
        return tuple(self._range(line) for line in np.eye(len(self.field)))

    def doubts_a(self) -> tuple[HumDoubt, ...]:
        """What the A-weighted rms hangs on."""
        return tuple(self._doubts(self._a_weights))

    def strongest(self) -> tuple[Cause, str]:
        """Cause of most of the A-weighted rms, and whose it is."""
        return self._strongest

    @cached_property
    def _strongest(self) -> tuple[Cause, str]:
        powers = self.by_source @ self._a_weights
        if not len(powers) or self.field @ self._a_weights > powers.max():
            return Cause.FIELD, ""
        source = self.of.sources[int(powers.argmax())]
        return source.cause, source.who

    @property
    def _a_weights(self) -> Real:
        return self.of.a_weights

    def _range(self, weights: Real) -> Figure:
        """Doubts are independent: their effects in decibels add as squares."""
        power = float(self.by_line @ weights)
        doubts = list(self._doubts(weights)) if power > 0 else []
        low_db, high_db = (
            math.hypot(*(10 * math.log10(1 + doubt.share * (factor - 1)) for doubt, factor in ends))
            for ends in (
                [(doubt, doubt.low) for doubt in doubts],
                [(doubt, doubt.high) for doubt in doubts],
            )
        )
        rms = math.sqrt(power)
        low, high = rms * 10 ** (-low_db / 20), rms * 10 ** (high_db / 20)
        return Figure(rms, low, high, self.unit, "typical")

    def _doubts(self, weights: Real) -> Iterator[HumDoubt]:
        total = float(self.by_line @ weights)
        if total <= 0:
            return
        yield from self._doubts_of_sources(self.by_source @ weights / total)
        density = self.of.mains.density
        yield _doubt(Cause.FIELD.value, density, float(self.field @ weights) / total)
        low, typical, high = (self.shared.sum(axis=1) @ weights).tolist()
        if typical > 0:
            share = typical / total
            yield HumDoubt(
                "rejection of the input", self.cmrr, share, low / typical, high / typical
            )
        unlike = float(self.unlike.sum(axis=0) @ weights) / total
        yield _doubt("unlikeness of the two legs", _UNLIKE, unlike)

    def _doubts_of_sources(self, shares: Real) -> Iterator[HumDoubt]:
        """Sources of one cause and strength are one doubt."""
        for (cause, figure), rows in self.of.alike.items():
            yield _doubt(cause.value, figure, float(shares[rows].sum()))


def _doubt(what: str, figure: Figure, share: float) -> HumDoubt:
    low, high = ((end / figure.value) ** 2 for end in (figure.low, figure.high))
    return HumDoubt(what, figure, share, low, high)


def added(sums: Sequence[HumSum]) -> HumSum:
    """Hum of several inputs at one point, as powers; what sources drive is all of one ground."""
    first, *others = sums
    if not others:
        return first
    driven = [each for each in sums if each.is_driven] or [first]
    most = driven[0]
    return replace(
        most,
        direct=sum((each.direct for each in driven[1:]), most.direct),
        shared=sum((each.shared for each in driven[1:]), most.shared),
        unlike=sum((each.unlike for each in driven[1:]), most.unlike),
        field=sum((each.field for each in others), first.field),
        cmrr=None,
    )
