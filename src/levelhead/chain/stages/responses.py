"""Responses of filters and equalisers, by frequency and for each band.

Analogue prototypes throughout: what a digital filter does below half of its sampling rate is close
to them, and no unit says how its own was made.

References
----------
S. Butterworth, On the Theory of Filter Amplifiers, Experimental Wireless 7 (1930), 536-541.
S. H. Linkwitz, Active Crossover Networks for Noncoincident Drivers, JAES 24 (1976), 2-8.
R. Bristow-Johnson, Audio EQ Cookbook (W3C Working Group Note, 2021): shelves and peaking bands.
A shelf of first order has one real pole and one real zero, as two time constants give it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final, Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from levelhead.quantity.bands import edges_hz, mid_hz

__all__ = ["Complex", "Filter", "FilterKind", "Shape", "band_response", "response"]

Complex = NDArray[np.complex128]
FilterKind = Literal["high-pass", "low-pass", "low-shelf", "high-shelf", "peaking"]
Shape = Literal["butterworth", "linkwitz-riley"]

_STEPS_IN_BAND: Final = 9  # 24 dB an octave: 8 dB within a band, integrated to 0.01 dB


@dataclass(frozen=True, slots=True)
class Filter:
    """A filter as it is set.

    Attributes
    ----------
    order : int
        Of a high- or low-pass: 6 dB an octave each. A Linkwitz-Riley filter has an even one. Of a
        shelf 1 (one time constant up, one down; no ``q``) or 2.
    corner_hz : float
        Where a Butterworth filter is 3.01 dB down and a Linkwitz-Riley one 6.02 dB; the middle of a
        peaking band; half way up (in dB) of a shelf.
    gain_db : float
        Of a shelf or a peaking band.
    q : float
        Of a shelf or a peaking band, as the cookbook defines it.
    """

    kind: FilterKind
    corner_hz: float
    order: int = 2
    shape: Shape = "butterworth"
    gain_db: float = 0.0
    q: float = 0.7071


def response(one: Filter, frequency_hz: ArrayLike) -> Complex:
    """Complex gain of a filter at some frequencies, any shape.

    >>> lowest = Filter("high-pass", 80.0, order=3)
    >>> round(20 * float(np.log10(abs(response(lowest, 80.0)))), 2)
    -3.01
    """
    s = np.asarray(
        1j * np.asarray(frequency_hz, dtype=np.float64) / one.corner_hz, dtype=np.complex128
    )
    if one.kind == "high-pass":
        return _low_pass(np.asarray(1 / s), one.order, one.shape)
    if one.kind == "low-pass":
        return _low_pass(s, one.order, one.shape)
    root = 10 ** (one.gain_db / 40)
    if one.order == 1 and one.kind != "peaking":
        return _first_order_shelf(1 / s if one.kind == "high-shelf" else s, root)
    return np.asarray(_EQUALISERS[one.kind](s, root, one.q))


def _low_pass(s: Complex, order: int, shape: Shape) -> Complex:
    """Low-pass with its corner at 1; a Linkwitz-Riley one is a Butterworth one twice."""
    if shape == "linkwitz-riley":
        return _butterworth(s, order // 2) ** 2
    return _butterworth(s, order)


def _butterworth(s: Complex, order: int) -> Complex:
    """Poles even on the left half of the unit circle."""
    angles = np.pi * (2 * np.arange(1, order + 1) + order - 1) / (2 * order)
    poles = np.exp(1j * angles)
    return np.asarray(np.prod(-poles / (s[..., None] - poles), axis=-1))


def _peaking(s: Complex, root: float, q: float) -> Complex:
    return np.asarray((s**2 + s * root / q + 1) / (s**2 + s / (root * q) + 1))


def _first_order_shelf(s: Complex, root: float) -> Complex:
    """Low shelf whose zero and pole lie evenly about 1: as ``s`` falls it nears ``root ** 2``."""
    return np.asarray((s + root) / (s + 1 / root))


def _low_shelf(s: Complex, root: float, q: float) -> Complex:
    slope = np.sqrt(root) / q * s
    return np.asarray(root * (s**2 + slope + root) / (root * s**2 + slope + 1))


def _high_shelf(s: Complex, root: float, q: float) -> Complex:
    slope = np.sqrt(root) / q * s
    return np.asarray(root * (root * s**2 + slope + 1) / (s**2 + slope + root))


_EQUALISERS: Final = {"peaking": _peaking, "low-shelf": _low_shelf, "high-shelf": _high_shelf}


def _within_bands_hz() -> NDArray[np.float64]:
    """Frequencies inside each band, evenly on the scale of a keyboard; (bands, steps)."""
    low_hz, high_hz = edges_hz()
    place = (np.arange(_STEPS_IN_BAND) + 0.5) / _STEPS_IN_BAND
    return np.asarray(low_hz[:, None] * (high_hz / low_hz)[:, None] ** place)


_WITHIN_HZ: Final = _within_bands_hz()


@lru_cache(maxsize=1024)
def band_response(filters: tuple[Filter, ...]) -> Complex:
    """Complex gain of filters in series for each band, (31,), read-only.

    Its magnitude is the root of the mean of ``|H|^2`` over the band (for a spectrum that is even on
    a logarithmic scale), which is what passes of a band where the response is steep; its phase is
    that at the exact middle of the band.

    >>> bool(np.allclose(band_response(()), 1.0))
    True
    """
    power = np.mean(np.abs(_together(filters, _WITHIN_HZ)) ** 2, axis=1)
    middle = _together(filters, mid_hz())
    size = np.abs(middle)
    turn = np.where(size > 0, middle / np.where(size > 0, size, 1.0), 1.0)
    found: Complex = np.sqrt(power) * turn
    found.flags.writeable = False
    return found


def _together(filters: Sequence[Filter], frequency_hz: NDArray[np.float64]) -> Complex:
    gain = np.ones(frequency_hz.shape, dtype=np.complex128)
    for one in filters:
        gain = gain * response(one, frequency_hz)
    return gain
