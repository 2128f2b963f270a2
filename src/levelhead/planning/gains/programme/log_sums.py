"""A level as a function of settings: ``10 lg sum 10^((k + e x) / 10)``, convex in ``x``."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["LogSum"]

Real = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class LogSum:
    """A level: ``10 lg`` of a sum of terms, each ``at_db`` plus its row of ``slopes`` times x."""

    at_db: Real
    slopes: Real

    def level_db(self, settings: Real) -> float:
        """The level at some settings."""
        terms_db = self.at_db + self.slopes @ settings
        top = float(terms_db.max())
        return top + 10 * float(np.log10((10 ** ((terms_db - top) / 10)).sum()))

    def tangent(self, settings: Real) -> tuple[float, Real]:
        """The tangent there: ``level >= constant + slope x`` everywhere."""
        terms_db = self.at_db + self.slopes @ settings
        weights = 10 ** ((terms_db - terms_db.max()) / 10)
        slope: Real = (weights / weights.sum()) @ self.slopes
        return self.level_db(settings) - float(slope @ settings), slope
