"""Noise that arises at points: stages, inputs, microphones, and the resistances of islands."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.graph import Point
from levelhead.quantity.bands import BANDS, edges_hz, mid_hz
from levelhead.quantity.noise import thermal_noise_v
from levelhead.quantity.weighting import a_weighting_db

__all__ = ["EIN_SOURCE_OHM", "a_weights", "audio_width_hz", "own_noise_power"]

EIN_SOURCE_OHM: Final = 150.0  # with which equivalent input noise is published, common practice
_LOWEST_HZ: Final = 20.0
_HIGHEST_HZ: Final = 20_000.0


def _audio_width_hz() -> NDArray[np.float64]:
    low, high = edges_hz()
    return np.asarray(np.minimum(high, _HIGHEST_HZ) - np.maximum(low, _LOWEST_HZ))


_WIDTH_HZ: Final = _audio_width_hz()
_WHITE: Final = _WIDTH_HZ / _WIDTH_HZ.sum()
_A_WEIGHTS: Final = 10 ** (a_weighting_db(mid_hz()) / 10)
_WHITE_A: Final = float((_WHITE * _A_WEIGHTS).sum())


def audio_width_hz() -> NDArray[np.float64]:
    """Width of each band within 20 Hz to 20 kHz, (31,), in sum 19 980. [Hz]"""
    return _WIDTH_HZ


def a_weights() -> NDArray[np.float64]:
    """Factor of A weighting on power in each band, (31,)."""
    return _A_WEIGHTS


def _input_noise_v2(ein_v: float, current_a: float) -> float:
    """Mean square of an input's own noise voltage, e_n.

    As published, less the thermal noise of the 150 ohm resistor and the volts that the input's
    noise current (in A/sqrt(Hz)) makes there. That current is solved with the source that is
    plugged.

    References
    ----------
    C. D. Motchenbacher, J. A. Connelly, Low-Noise Electronic System Design, Wiley 1993, ch. 2:
    ``E_ni^2 = 4kTR + e_n^2 + (i_n R)^2``.
    """
    width_hz = float(_WIDTH_HZ.sum())
    resistor_v = float(thermal_noise_v(EIN_SOURCE_OHM, bandwidth_hz=width_hz))
    current_v2 = (current_a * EIN_SOURCE_OHM) ** 2 * width_hz
    return max(ein_v**2 - resistor_v**2 - current_v2, 0.0)


def _stage_power(point: Point) -> float:
    """Mean square that a stage adds at its output, flat in frequency.

    Noise of the input passes the gain, that of the output does not:
    ``EIN(G)^2 = EIN_max^2 + (output noise / G)^2``.
    """
    power = point.noise**2
    if point.ein_v:
        power += _input_noise_v2(point.ein_v, point.ein_current_a) * point.gain**2
    if point.self_noise_pa:
        power += (point.self_noise_pa * point.gain) ** 2 / _WHITE_A
    return power


def own_noise_power(points: Sequence[Point]) -> NDArray[np.float64]:
    """Mean square noise that arises at each point, (points, bands), in its own unit squared."""
    power = np.zeros((len(points), BANDS))
    for row, point in enumerate(points):
        power[row] = _stage_power(point) * _WHITE
        if point.thermal_v2_per_hz is not None:
            power[row] += point.thermal_v2_per_hz * _WIDTH_HZ
    return power
