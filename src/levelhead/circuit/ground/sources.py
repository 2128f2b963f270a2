"""What drives hum in a ground network: sources on one mains, whatever they drive."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from levelhead.circuit.ground.earths import HumSource
from levelhead.circuit.ground.mains import Cause, Mains
from levelhead.gear.figures import Figure
from levelhead.quantity.weighting import a_weighting_db

__all__ = ["HumSources"]


@dataclass(frozen=True, eq=False)
class HumSources:
    """Sources in their order, and the mains that they come from."""

    mains: Mains
    sources: tuple[HumSource, ...] = ()

    def __repr__(self) -> str:
        return f"HumSources({len(self.sources)} sources)"

    @cached_property
    def fields(self) -> HumSources:
        """The same mains with no source: what only fields reach."""
        return HumSources(self.mains)

    @cached_property
    def alike(self) -> Mapping[tuple[Cause, Figure], list[int]]:
        """Rows of sources that have one cause and one strength."""
        rows: dict[tuple[Cause, Figure], list[int]] = {}
        for row, source in enumerate(self.sources):
            rows.setdefault((source.cause, source.figure), []).append(row)
        return rows

    @cached_property
    def a_weights(self) -> NDArray[np.float64]:
        """Factor of A weighting on the power of each line, (lines,)."""
        return np.asarray(10 ** (a_weighting_db(self.mains.lines_hz) / 10))
