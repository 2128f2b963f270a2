"""Noise while somebody plays: that of a pause, and what companded links add under the signal.

``Solution.floor`` is the noise of a pause, which is what is heard when nobody plays. Behind a
wireless link with a compander more noise is there while a signal is, by as much as the link has
under it.
"""

from __future__ import annotations

import math

from levelhead.chain.noise.companding import floor_under_signal
from levelhead.chain.solution import Solution

__all__ = ["floor_while_playing"]


def floor_while_playing(solution: Solution, number: int) -> float:
    """Noise at a point while its signal plays, rms in the unit of the point, 20 Hz to 20 kHz.

    Parameters
    ----------
    number
        Of the point. The companders on its strongest way count; a signal and the noise that came
        with it over a link keep their distance from there on.
    """
    rms = float(solution.floor[number])
    here = float(solution.nominal[number])
    point, seen = number, set[int]()
    while point not in seen:
        seen.add(point)
        rms = math.hypot(rms, here * _noise_per_signal(solution, point))
        edge = solution.strongest_edges.get(point)
        point = point if edge is None else edge.source
    return rms


def _noise_per_signal(solution: Solution, point: int) -> float:
    """Noise that the compander behind a point puts under the signal, against that signal."""
    shape = solution.graph.shapes.get(point)
    nominal = float(solution.nominal[point])
    if shape is None or shape.compander is None or nominal <= 0:
        return 0.0
    breathing = floor_under_signal(
        pause=0.0,
        nominal=nominal,
        full=solution.graph.points[point].ceiling,
        link_noise_db=shape.compander.link_noise_db.value,
        ratio=shape.compander.ratio.value,
    )
    return breathing / nominal
