"""The 31 third-octave bands from 20 Hz to 20 kHz on which everything is solved.

Exact frequencies are base ten (IEC 61260-1:2014, 5.2 to 5.5: ``G = 10**0.3``); names are the
preferred frequencies of ISO 266. The A-weighting and air-absorption tables of the standards hold at
the *exact* frequencies: what is named 1.25 kHz is 1258.9 Hz.
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Final, NamedTuple

from levelhead.quantity.arrays import np

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

BANDS: Final = 31
ONE_KHZ_BAND: Final = 17  # place of 1 kHz among them
MIDDLE_BANDS: Final = slice(14, 24)  # 500 Hz to 4 kHz
FIRST_BAND: Final = -17  # band numbers count from 1 kHz; -17 is named 20 Hz, +13 is named 20 kHz
OCTAVES: Final = 10  # 31.5 Hz to 16 kHz, the octaves that lie wholly inside the bands

_BAND_EDGE_RATIO: Final = 10**0.05  # IEC 61260-1:2014 eq. (4): G ** (1 / 6)
_PREFERRED_HZ: Final = (
    10,
    12.5,
    16,
    20,
    25,
    31.5,
    40,
    50,
    63,
    80,
)  # ISO 266:1997, one decade of R10


def _frozen(values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Make an array read-only, so that one copy can be handed to everybody."""
    values.flags.writeable = False
    return values


def exact_mid_hz(band: ArrayLike) -> NDArray[np.float64]:
    """Exact mid-band frequency of a band number counted from 1 kHz: ``1000 * 10**(n / 10)``. [Hz]

    >>> round(float(exact_mid_hz(-9)), 3)
    125.893
    """
    return np.asarray(1000.0 * 10.0 ** (np.asarray(band, dtype=np.float64) / 10.0))


class _Grid(NamedTuple):
    """The bands: exact middles, edges below and above, widths, names. [Hz]"""

    mid: NDArray[np.float64]
    edges: NDArray[np.float64]
    width: NDArray[np.float64]
    nominal: NDArray[np.float64]


@cache
def _grid() -> _Grid:
    mid = exact_mid_hz(np.arange(FIRST_BAND, FIRST_BAND + BANDS, dtype=np.float64))
    edges = np.stack((mid / _BAND_EDGE_RATIO, mid * _BAND_EDGE_RATIO))
    nominal = [_PREFERRED_HZ[n % 10] * 10.0 ** (n // 10) for n in range(3, 3 + BANDS)]
    return _Grid(*map(_frozen, (mid, edges, edges[1] - edges[0], np.array(nominal))))


def mid_hz() -> NDArray[np.float64]:
    """Exact mid-band frequencies, (31,), read-only. [Hz]"""
    return _grid().mid


def edges_hz() -> NDArray[np.float64]:
    """Lower and upper band edges, (2, 31), read-only: ``low_hz, high_hz = edges_hz()``. [Hz]

    Neighbours touch: the upper edge of a band is the lower edge of the next.
    """
    return _grid().edges


def width_hz() -> NDArray[np.float64]:
    """Band widths, (31,), read-only; together they reach from 17.8 Hz to 22.4 kHz. [Hz]"""
    return _grid().width


def nominal_hz() -> NDArray[np.float64]:
    """Preferred frequencies that name the bands, (31,), read-only: 20, 25, 31.5, ... 20000. [Hz]"""
    return _grid().nominal


def band_labels() -> tuple[str, ...]:
    """Names of the bands as people write them.

    >>> band_labels()[2], band_labels()[17], band_labels()[18]
    ('31.5 Hz', '1 kHz', '1.25 kHz')
    """
    split = -FIRST_BAND  # the index of 1 kHz
    hertz = [f"{hz:g} Hz" for hz in _grid().nominal[:split]]
    return (*hertz, *(f"{hz / 1000:g} kHz" for hz in _grid().nominal[split:]))


def nearest_band(frequency_hz: ArrayLike) -> NDArray[np.int64]:
    """Index 0 to 30 of the band that a frequency falls into; outside the bands, the first or last.

    >>> int(nearest_band(1000)), int(nearest_band(5))
    (17, 0)
    """
    number = 10.0 * np.log10(np.maximum(np.asarray(frequency_hz, dtype=np.float64), 1.0) / 1000.0)
    return np.clip(np.rint(number).astype(np.int64) - FIRST_BAND, 0, BANDS - 1)


def octave_mid_hz() -> NDArray[np.float64]:
    """Exact mid-band frequencies of the ten octaves named 31.5 Hz to 16 kHz, (10,). [Hz]"""
    return _grid().mid[2::3]


def octave_levels_db(third_octave_db: ArrayLike) -> NDArray[np.float64]:
    """Octave levels from third octaves: the power sum of each three. [dB]

    Parameters
    ----------
    third_octave_db : array_like, (..., 31)
        Levels in third octaves. [dB]

    Returns
    -------
    ndarray, (..., 10)
        Levels in the octaves 31.5 Hz to 16 kHz; the 20 Hz third belongs to none of them. [dB]
    """
    levels_db = np.asarray(third_octave_db, dtype=np.float64)
    thirds = 10.0 ** (levels_db[..., 1:] / 10.0)
    with np.errstate(divide="ignore"):  # a silent octave is -inf
        return np.asarray(
            10.0 * np.log10(thirds.reshape(*levels_db.shape[:-1], OCTAVES, 3).sum(-1))
        )
