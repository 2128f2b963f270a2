"""What one stage does beside its gain: a value that the graph holds for the point behind it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.stages.limiting import Limiter
from levelhead.gear.figures import Figure
from levelhead.gear.shaping import CompanderPlan

__all__ = ["Shape"]

Complex = NDArray[np.complex128]

_FLAT_DB: Final = 0.5  # less than this between bands shapes nothing


@dataclass(frozen=True, slots=True, eq=False)
class Shape:
    """What a stage does beside its gain.

    Attributes
    ----------
    response : complex, (bands,), or None
        Of its filters.
    delay_s : float
        By how much the signal comes later behind it. [s]
    limiter : Limiter or None
        As it is set.
    threshold : Figure or None
        Of the limiter, with its range.
    compander : CompanderPlan or None
        Of a wireless link.
    """

    response: Complex | None
    delay_s: float
    limiter: Limiter | None
    threshold: Figure | None
    compander: CompanderPlan | None

    @property
    def is_filtering(self) -> bool:
        """Whether some bands pass better than others."""
        if self.response is None:
            return False
        with np.errstate(divide="ignore"):
            size_db = 20 * np.log10(np.abs(self.response))
        return bool(np.ptp(np.maximum(size_db, -200.0)) > _FLAT_DB)
