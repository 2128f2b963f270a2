"""What kind of signal plays at each point: by its spectrum it is heard what an island does to it.

A bass into a small transformer loses what speech would keep. What several of them make together is
a programme, as the standard's signal for music in general is.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from levelhead.chain.carrying.carried import Carried
from levelhead.chain.graph.points import Component

__all__ = ["PROGRAMME", "spectra_at_points"]

PROGRAMME: Final = "programme"
_ONE: Final = 0.9  # share of the power that makes one spectrum of several the only one


def spectra_at_points(
    carried: Carried, components: Sequence[Component], points: int
) -> tuple[str, ...]:
    """Name of the spectrum of what plays at each point; ``PROGRAMME`` where several mix, or none.

    A spectrum counts as it leaves its source: no gain on the way changes which one it is.
    """
    names = (PROGRAMME, *sorted({each.spectrum for each in components} - {PROGRAMME}))
    number = np.array([names.index(each.spectrum) for each in components], dtype=np.int64)
    signals = np.flatnonzero(carried.component < carried.first_noise)
    at = carried.point[signals] * len(names) + number[carried.component[signals]]
    power = np.bincount(at, carried.power[signals].sum(axis=1), minlength=points * len(names))
    power = power.reshape(points, len(names))
    only = (power > 0) & (power >= _ONE * power.sum(axis=1, keepdims=True))
    return tuple(names[each] for each in only.argmax(axis=1).tolist())
