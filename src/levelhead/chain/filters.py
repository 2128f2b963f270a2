"""Filters of stages: high and low passes of Butterworth shape, as complex gains in the bands."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["butterworth"]

Complex = NDArray[np.complex128]


def butterworth(hz: NDArray[np.float64], *, corner_hz: float, order: int, is_high: bool) -> Complex:
    """Response of a Butterworth high or low pass.

    Parameters
    ----------
    hz : float, (bands,)
        Frequencies. [Hz]
    corner_hz
        Where it is 3.01 dB down. [Hz]
    order
        6 dB an octave each.

    References
    ----------
    S. Butterworth, "On the theory of filter amplifiers", Wireless Engineer 7 (1930): the poles lie
    evenly on the left half of a circle.

    Examples
    --------
    >>> response = butterworth(np.array([80.0]), corner_hz=80.0, order=2, is_high=True)
    >>> round(float(20 * np.log10(abs(response[0]))), 2)
    -3.01
    """
    x = 1j * hz / corner_hz
    if is_high:
        x = 1 / x
    steps = 2 * np.arange(1, order + 1) + order - 1
    poles = np.exp(1j * np.pi * steps / (2 * order))
    response = 1 / np.prod(x[:, None] - poles, axis=1)
    return np.asarray(response * np.prod(-poles), dtype=np.complex128)
