"""Noise that physics gives for nothing: resistors, and what amplifiers add to them."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from levelhead.errors import QuantityError
from levelhead.quantity.arrays import np
from levelhead.quantity.decibels import checked_magnitude

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

BOLTZMANN_J_PER_K: Final = 1.380649e-23  # exact, SI of 2019
ROOM_K: Final = 293.15  # 20 degC, the temperature that figures of equivalent input noise assume
LOWEST_HZ: Final = 20.0
HIGHEST_HZ: Final = 20_000.0
AUDIO_BANDWIDTH_HZ: Final = (
    HIGHEST_HZ - LOWEST_HZ
)  # of the floor; 0.004 dB less than a round 20 kHz


def thermal_noise_v(
    resistance_ohm: ArrayLike,
    bandwidth_hz: ArrayLike = AUDIO_BANDWIDTH_HZ,
    temperature_k: ArrayLike = ROOM_K,
) -> NDArray[np.float64]:
    """Open-circuit thermal noise of a resistance (Johnson and Nyquist): ``sqrt(4 k T R B)``.

    Parameters
    ----------
    resistance_ohm : array_like
        Resistance, or the real part of an impedance. [ohm]
    bandwidth_hz : array_like, optional
        Noise bandwidth; 1 gives the density. [Hz]
    temperature_k : array_like, optional
        Temperature of the resistance. [K]

    Returns
    -------
    ndarray
        Rms voltage; the inputs broadcast together. [V]

    Raises
    ------
    QuantityError
        A resistance, bandwidth or temperature is negative or not a number.

    References
    ----------
    H. Nyquist, "Thermal Agitation of Electric Charge in Conductors", Phys. Rev. 32 (1928), eq. (1).

    Examples
    --------
    >>> from levelhead.quantity.decibels import dbu_from_volts
    >>> round(float(dbu_from_volts(thermal_noise_v(150, 20_000))), 1)
    -130.9
    """
    resistance = checked_magnitude(resistance_ohm, unit="ohm")
    bandwidth = checked_magnitude(bandwidth_hz, unit="Hz")
    temperature = checked_magnitude(temperature_k, unit="K")
    return np.sqrt(4.0 * BOLTZMANN_J_PER_K * temperature * resistance * bandwidth)


def noise_figure_db(
    *,
    noise_v: ArrayLike,
    source_ohm: ArrayLike,
    bandwidth_hz: ArrayLike = AUDIO_BANDWIDTH_HZ,
    temperature_k: ArrayLike = ROOM_K,
) -> NDArray[np.float64]:
    """How far an input's noise lies above that of the resistor it is fed from. [dB]

    Parameters
    ----------
    noise_v : array_like
        Equivalent input noise with that resistor connected, in the same bandwidth. [V]
    source_ohm : array_like
        The resistor. [ohm]
    bandwidth_hz, temperature_k : array_like, optional
        As of :func:`thermal_noise_v`. [Hz], [K]

    Examples
    --------
    >>> from levelhead.quantity.decibels import volts_from_dbu
    >>> round(float(noise_figure_db(noise_v=volts_from_dbu(-128), source_ohm=150)), 1)
    2.9
    """
    source_v = thermal_noise_v(source_ohm, bandwidth_hz, temperature_k)
    return np.asarray(20.0 * np.log10(checked_magnitude(noise_v, unit="V") / source_v))


def own_noise_v(
    *,
    noise_v: float,
    source_ohm: float,
    bandwidth_hz: float = AUDIO_BANDWIDTH_HZ,
    temperature_k: float = ROOM_K,
) -> float:
    """Noise of an input by itself, without that of the resistor it was measured with. [V]

    Parameters
    ----------
    noise_v : float
        Equivalent input noise as it is published, measured with that resistor. [V]
    source_ohm : float
        The resistor. [ohm]
    bandwidth_hz, temperature_k : float, optional
        As of :func:`thermal_noise_v`. [Hz], [K]

    Raises
    ------
    QuantityError
        The figure lies below the thermal noise of the resistor alone, so one of the two is wrong.
    """
    source_v = float(thermal_noise_v(source_ohm, bandwidth_hz, temperature_k))
    if noise_v < source_v:
        raise QuantityError(
            f"an equivalent input noise of {noise_v:.4g} V",
            where=f"noise measured with {source_ohm:g} ohm",
            expected=f"at least the {source_v:.4g} V of that resistor alone",
            remedy="Is the figure A-weighted (2 dB lower), or taken with a shorted input?",
        )
    return math.sqrt(noise_v**2 - source_v**2)


def cascade_noise_figure_db(
    *, noise_figures_db: ArrayLike, gains_db: ArrayLike
) -> NDArray[np.float64]:
    """Noise figure of stages in a row (Friis). [dB]

    Parameters
    ----------
    noise_figures_db : array_like, (..., stages)
        Noise figure of each stage, first the one at the source. A passive loss has its loss. [dB]
    gains_db : array_like, (..., stages) or (..., stages - 1)
        Available power gain of each stage; the last one's does not matter. [dB]

    Returns
    -------
    ndarray, (...)
        Noise figure of the whole. [dB]

    References
    ----------
    H. T. Friis, "Noise Figures of Radio Receivers", Proc. IRE 32 (1944), eq. (16).

    Examples
    --------
    >>> round(float(cascade_noise_figure_db(noise_figures_db=[1, 10], gains_db=[20])), 2)
    1.3
    """
    factors = 10.0 ** (np.asarray(noise_figures_db, dtype=np.float64) / 10.0)
    later = factors.shape[-1] - 1
    gains = 10.0 ** (np.asarray(gains_db, dtype=np.float64)[..., :later] / 10.0)
    excess = (factors[..., 1:] - 1.0) / np.cumprod(gains, axis=-1)
    return np.asarray(10.0 * np.log10(factors[..., 0] + excess.sum(axis=-1)))
