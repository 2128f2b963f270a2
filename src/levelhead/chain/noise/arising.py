"""Noise that arises at points: stages, inputs, microphones, and the resistances of islands."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.as_set.graph import Graph
from levelhead.quantity.bands import edges_hz, mid_hz
from levelhead.quantity.noise import HIGHEST_HZ, LOWEST_HZ, thermal_noise_v
from levelhead.quantity.weighting import a_weighting_db

__all__ = [
    "EIN_SOURCE_OHM",
    "a_weights",
    "audio_width_hz",
    "own_noise_power",
    "stage_noise_parts",
    "white_shares",
]

EIN_SOURCE_OHM: Final = 150.0  # with which equivalent input noise is published, common practice


def _audio_width_hz() -> NDArray[np.float64]:
    low, high = edges_hz()
    return np.asarray(np.minimum(high, HIGHEST_HZ) - np.maximum(low, LOWEST_HZ))


_WIDTH_HZ: Final = _audio_width_hz()
_WHITE: Final[NDArray[np.float64]] = _WIDTH_HZ / _WIDTH_HZ.sum()
_A_WEIGHTS: Final = 10 ** (a_weighting_db(mid_hz()) / 10)
_WHITE_A: Final = float((_WHITE * _A_WEIGHTS).sum())


def audio_width_hz() -> NDArray[np.float64]:
    """Width of each band within 20 Hz to 20 kHz, (31,), in sum 19 980. [Hz]"""
    return _WIDTH_HZ


def a_weights() -> NDArray[np.float64]:
    """Factor of A weighting on power in each band, (31,)."""
    return _A_WEIGHTS


def _input_noise_v2(
    ein_v: NDArray[np.float64], current_a: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Mean square of inputs' own noise voltages, e_n; same shape.

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
    noise: NDArray[np.float64] = np.maximum(ein_v**2 - resistor_v**2 - current_v2, 0.0)
    return noise


def stage_noise_parts(graph: Graph) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Mean square that each stage adds at its output, flat in frequency; twice (points,).

    First the part that passes the stage's own gain, then the part that does not:
    ``EIN(G)^2 = EIN_max^2 + (output noise / G)^2``.
    """
    columns = graph.wiring.columns
    gain_power: NDArray[np.float64] = graph.stage_gain**2
    behind: NDArray[np.float64] = columns.noise**2
    passing: NDArray[np.float64] = _input_noise_v2(columns.ein_v, columns.ein_current_a)
    passing *= gain_power
    passing += columns.self_noise_pa**2 * gain_power / _WHITE_A
    passing[graph.wiring.silent] = 0.0
    behind[graph.wiring.silent] = 0.0
    return passing, behind


def white_shares() -> NDArray[np.float64]:
    """Share of flat noise, 20 Hz to 20 kHz, that falls in each band, (31,); in sum 1."""
    return _WHITE


def own_noise_power(graph: Graph, thermal_v2_per_hz: NDArray[np.float64]) -> NDArray[np.float64]:
    """Mean square noise that arises at each point, (points, bands), in its own unit squared.

    Parameters
    ----------
    thermal_v2_per_hz : float, (sockets, bands)
        Of the resistances of the island at each socket; sockets are the first points.
    """
    passing, behind = stage_noise_parts(graph)
    power: NDArray[np.float64] = (behind + passing)[:, None] * _WHITE
    power[: len(thermal_v2_per_hz)] += thermal_v2_per_hz * _WIDTH_HZ
    return power
