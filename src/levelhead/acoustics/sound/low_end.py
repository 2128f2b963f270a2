"""How deep a loudspeaker plays: by its tuning, its resonance, or what is usual of boxes.

References
----------
.. [1] R. H. Small, "Closed-box loudspeaker systems", J. Audio Eng. Soc. 20 (1972): a high-pass of
   the second order at the resonance; a driver behind a horn has no other mass and spring.
.. [2] R. H. Small, "Vented-box loudspeaker systems", J. Audio Eng. Soc. 21 (1973): one of the
   fourth order, maximally flat at the tuning of the vent.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.solution import Solution
from levelhead.quantity.bands import mid_hz

__all__ = ["SUBWOOFER", "USUAL", "LowEnd", "low_end_of"]

CLOSED: Final = 2  # [1]
VENTED: Final = 4  # [2]


@dataclass(frozen=True, slots=True)
class LowEnd:
    """Where a loudspeaker is 3 dB down, and how fast it falls below. [Hz, order]"""

    corner_hz: float
    order: int

    @property
    def response(self) -> NDArray[np.float64]:
        """Power that is left of deep notes, (31,): a Butterworth filter.

        >>> [round(10 * float(np.log10(x)), 1) for x in LowEnd(350.0, 2).response[[5, 8, 17]]]
        [-29.8, -17.8, -0.1]
        """
        return np.asarray(1.0 / (1.0 + (self.corner_hz / mid_hz()) ** (2 * self.order)))


USUAL: Final = LowEnd(60.0, VENTED)  # of boxes that give neither: typical
SUBWOOFER: Final = LowEnd(35.0, VENTED)  # and of what plays all around: typical


def low_end_of(solution: Solution, item: str) -> LowEnd:
    """By the figures of its load: tuned to something it is vented, else closed or a horn."""
    found = USUAL
    for port in solution.rig.ports.values():
        if port.item.id != item:
            continue
        tuned, resonance = (port.plan.figures.get(each) for each in ("tuned-to", "resonance"))
        if tuned is not None:
            return LowEnd(tuned.value, VENTED)
        if resonance is not None:
            found = LowEnd(resonance.value, CLOSED)
    return found
