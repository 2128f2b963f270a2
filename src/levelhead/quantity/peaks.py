"""Peaks: crest factors, and peaks told as the level of the sine that reaches as high.

A meter and a ceiling are calibrated with sines. A signal's *peak* is therefore the level of the
sine with the same peak: nominal + peak-to-rms - 3.01 dB. It compares directly with a ceiling, in
dBu and in dBFS.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from levelhead.errors import QuantityError
from levelhead.quantity.arrays import np

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

SINE_CREST_DB: Final = 20.0 * math.log10(math.sqrt(2.0))  # 3.0103 dB


def crest_factor_db(samples: ArrayLike, *, axis: int = -1) -> NDArray[np.float64]:
    """Peak over rms of a record. [dB]

    Parameters
    ----------
    samples : array_like, (..., samples)
        Instantaneous values, in any unit.
    axis : int, optional
        The axis of time.

    Raises
    ------
    QuantityError
        The record is silent, so it has no crest.

    Examples
    --------
    >>> float(crest_factor_db([1, -1, 1, -1]))
    0.0
    """
    values = np.asarray(samples, dtype=np.float64)
    mean_square = np.mean(values**2, axis=axis)
    if not (mean_square > 0).all():
        raise QuantityError(
            "a record without signal",
            where="crest factor",
            expected="at least one sample that is not zero",
            remedy="Leave silent records out.",
        )
    return np.asarray(10.0 * np.log10(np.max(values**2, axis=axis) / mean_square))


def peak_level_db(*, nominal_db: ArrayLike, crest_db: ArrayLike) -> NDArray[np.float64]:
    """Level of the sine with the same peak as a signal of that level and crest. [as nominal]

    >>> round(float(peak_level_db(nominal_db=-20.0, crest_db=15.0)), 2)
    -8.01
    """
    return np.asarray(
        np.asarray(nominal_db, dtype=np.float64)
        + np.asarray(crest_db, dtype=np.float64)
        - SINE_CREST_DB
    )
