"""Frequency weightings A and C from their defining formula (IEC 61672-1:2013, Annex E).

The four corner frequencies are derived here from the round numbers that define them, not copied;
most tables of formulas print them rounded to 20.6, 107.7, 737.9 and 12194 Hz.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TYPE_CHECKING, Final

from levelhead.quantity.arrays import np

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

    Response = Callable[[NDArray[np.float64]], NDArray[np.float64]]


REFERENCE_HZ: Final = 1000.0  # f_r: both weightings are 0 dB here
_LOW_HZ: Final = 10**1.5  # f_L of C weighting, -3 dB
_HIGH_HZ: Final = 10**3.9  # f_H of C weighting, -3 dB
_A_HIGH_PASS_HZ: Final = 10**2.45  # f_A


def _c_poles_hz() -> tuple[float, float]:
    """Double poles f1 and f4 of the C weighting (Annex E, eq. E.2 to E.5). [Hz]"""
    d = math.sqrt(0.5)
    low2, high2, ref2 = _LOW_HZ**2, _HIGH_HZ**2, REFERENCE_HZ**2
    b = (ref2 + low2 * high2 / ref2 - d * (low2 + high2)) / (1.0 - d)
    c = low2 * high2
    root = math.sqrt(b**2 - 4.0 * c)
    return math.sqrt((-b - root) / 2.0), math.sqrt((-b + root) / 2.0)


F1_HZ, F4_HZ = _c_poles_hz()  # 20.60 and 12194 Hz
F2_HZ: Final = (3.0 - math.sqrt(5.0)) / 2.0 * _A_HIGH_PASS_HZ  # 107.7 Hz
F3_HZ: Final = (3.0 + math.sqrt(5.0)) / 2.0 * _A_HIGH_PASS_HZ  # 737.9 Hz


def a_weighting_db(frequency_hz: ArrayLike) -> NDArray[np.float64]:
    """A weighting of a frequency; 0 dB at 1 kHz, ``-inf`` at 0 Hz. [dB]

    Parameters
    ----------
    frequency_hz : array_like, any shape
        Frequencies; the standard's table holds at *exact* mid-band frequencies. [Hz]

    Returns
    -------
    ndarray, same shape
        What the weighting adds to a level. [dB]

    References
    ----------
    IEC 61672-1:2013, Annex E, eq. (E.6).

    Examples
    --------
    >>> round(float(a_weighting_db(125.893)), 1)
    -16.1
    """
    return _normalised_db(_a_response, frequency_hz)


def c_weighting_db(frequency_hz: ArrayLike) -> NDArray[np.float64]:
    """C weighting of a frequency; 0 dB at 1 kHz, ``-inf`` at 0 Hz (IEC 61672-1:2013, eq. E.1). [dB]

    >>> round(float(c_weighting_db(7943.28)), 1)
    -3.0
    """
    return _normalised_db(_c_response, frequency_hz)


def _c_response(f2: NDArray[np.float64]) -> NDArray[np.float64]:
    """Response of the C weighting to squared frequencies, not normalised."""
    return F4_HZ**2 * f2 / ((f2 + F1_HZ**2) * (f2 + F4_HZ**2))


def _a_response(f2: NDArray[np.float64]) -> NDArray[np.float64]:
    """Response of the A weighting: the C weighting behind two more high passes."""
    return _c_response(f2) * f2 / np.sqrt((f2 + F2_HZ**2) * (f2 + F3_HZ**2))


def _normalised_db(response: Response, frequency_hz: ArrayLike) -> NDArray[np.float64]:
    """Response in decibels, 0 dB at the reference frequency."""
    frequency = np.asarray(frequency_hz, dtype=np.float64)
    at_reference = response(np.asarray(REFERENCE_HZ**2))
    with np.errstate(divide="ignore"):  # nothing passes at 0 Hz
        return np.asarray(20.0 * np.log10(response(frequency**2) / at_reference))
