"""What the loudspeakers of a show play, signal by signal, and what they hiss."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.acoustics.placed.boxes import Box
from levelhead.acoustics.sound.loudspeaker import Loudspeaker
from levelhead.chain.solution import Solution
from levelhead.quantity.bands import BANDS
from levelhead.quantity.decibels import P_REFERENCE_PA

__all__ = ["ALIKE_DB", "ALIKE_S", "SILENT_DB", "hissing", "playing"]

SILENT_DB: Final = -200.0
ALIKE_DB: Final = 1.0  # signals that stand within this in all loudspeakers are one mix
ALIKE_S: Final = 1e-4
Real = NDArray[np.float64]


def playing(
    solution: Solution, boxes: list[Box], *, only: frozenset[str] | None = None
) -> list[Loudspeaker]:
    """Loudspeakers as they play, one for each signal that they share.

    Signals that stand alike in all loudspeakers (a mix) are taken together. ``only`` keeps those
    of some origins, such as voices.
    """
    carried, components = solution.carried, solution.graph.components
    found: dict[int, dict[tuple[int, int], tuple[Real, int]]] = defaultdict(dict)
    for place, box in enumerate(boxes):
        rows = np.flatnonzero(
            (carried.point == box.number) & (carried.component < carried.first_noise)
        )
        for row in rows.tolist():
            component = int(carried.component[row])
            if only is None or components[component].origin in only:
                late = round(float(carried.delay_s[row]) / ALIKE_S)
                sign = -1 if float(carried.amplitude[row].real.sum()) < 0 else 1
                power = carried.power[row] + found[component].get((place, late), (0.0, 1))[0]
                found[component][place, late] = power, sign
    return list(_mixes(found, boxes))


def _mixes(
    found: dict[int, dict[tuple[int, int], tuple[Real, int]]], boxes: list[Box]
) -> Iterator[Loudspeaker]:
    """One loudspeaker for each mix at each place."""
    mixes: dict[tuple[object, ...], dict[tuple[int, int], tuple[Real, int]]] = {}
    for ways in found.values():
        most = max(float(power.sum()) for power, _ in ways.values())
        if most <= 0:
            continue
        key = tuple(
            (where, sign, round(10 * np.log10(max(float(power.sum()) / most, 1e-12)) / ALIKE_DB))
            for where, (power, sign) in sorted(ways.items())
        )
        mix = mixes.setdefault(key, {})
        for where, (power, sign) in ways.items():
            mix[where] = mix.get(where, (np.zeros(BANDS), sign))[0] + power, sign
    for number, mix in enumerate(mixes.values()):
        for (place, late), (power, sign) in mix.items():
            box = boxes[place]
            with np.errstate(divide="ignore"):
                level_db = 10.0 * np.log10(power * box.response / P_REFERENCE_PA**2)
            yield Loudspeaker(
                at_m=box.at_m,
                axis=box.axis,
                level_db=np.maximum(level_db - box.hot_db - box.over_db, SILENT_DB),
                directivity=box.coverage,
                delay_s=late * ALIKE_S,
                signal=str(number),
                inverted=sign < 0,
                name=box.name,
            )


def hissing(solution: Solution, boxes: list[Box]) -> list[Loudspeaker]:
    """Loudspeakers as they hiss with everything silent: noise of all before them, and their own."""
    carried, noisy = solution.carried, []
    for number, box in enumerate(boxes):
        rows = (carried.point == box.number) & (carried.component >= carried.first_noise)
        power = carried.power[rows].sum(0)
        if power.any():
            with np.errstate(divide="ignore"):
                level_db = 10.0 * np.log10(power * box.response / P_REFERENCE_PA**2)
            noisy.append(
                Loudspeaker(
                    at_m=box.at_m,
                    axis=box.axis,
                    level_db=np.maximum(level_db, SILENT_DB),
                    directivity=box.coverage,
                    signal=f"hiss {number}",
                    name=box.name,
                )
            )
    return noisy
