"""Decibels of rms volts, pascals and watts and back, for arrays; sums of levels.

What 0 dBu, 0 dBV and 0 dB SPL are stands here. All voltages and pressures are rms.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from levelhead.errors import QuantityError
from levelhead.quantity.arrays import np

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

    FloatArray = NDArray[np.float64]

DBU_REFERENCE_V: Final = math.sqrt(1e-3 * 600)  # 1 mW in 600 ohm: sqrt(0.6) V
DBV_REFERENCE_V: Final = 1.0
P_REFERENCE_PA: Final = 20e-6  # ISO 1683, sound pressure in air
DBM_REFERENCE_W: Final = 1e-3
DBW_REFERENCE_W: Final = 1.0


def checked_magnitude(magnitude: ArrayLike, *, unit: str) -> FloatArray:
    """Return an rms magnitude as an array; refuse anything that is negative or not a number."""
    values = np.asarray(magnitude, dtype=np.float64)
    wrong = ~(values >= 0)
    if wrong.any():
        raise QuantityError(
            f"{values[wrong].flat[0]:g} {unit} is no rms magnitude",
            where="level of a magnitude",
            expected=f"zero or more {unit}",
            remedy="Take the absolute value; a turned polarity is no negative level.",
        )
    return values


def _level_db(magnitude: ArrayLike, *, reference: float, unit: str) -> FloatArray:
    """``20 lg`` of a magnitude over its reference; silence is ``-inf``."""
    values = checked_magnitude(magnitude, unit=unit)
    with np.errstate(divide="ignore"):  # log10(0) is silence, not a mistake
        return np.asarray(20.0 * np.log10(values / reference))


def _magnitude(level_db: ArrayLike, *, reference: float) -> FloatArray:
    """Inverse of ``_level_db``."""
    return np.asarray(reference * 10.0 ** (np.asarray(level_db, dtype=np.float64) / 20.0))


def dbu_from_volts(voltage_v: ArrayLike) -> FloatArray:
    """Level of an rms voltage.

    Parameters
    ----------
    voltage_v : array_like, any shape
        Rms magnitude, zero or more. [V]

    Returns
    -------
    ndarray, same shape
        Level; silence is ``-inf``. [dBu]

    Raises
    ------
    QuantityError
        A value is negative or not a number.

    References
    ----------
    Definition of dBu: 0 dBu is the voltage of 1 mW in 600 ohm.

    Examples
    --------
    >>> round(float(dbu_from_volts(1.228)), 1)
    4.0
    """
    return _level_db(voltage_v, reference=DBU_REFERENCE_V, unit="V")


def volts_from_dbu(level_dbu: ArrayLike) -> FloatArray:
    """Rms voltage of a level in dBu. [V]

    >>> round(float(volts_from_dbu(4)), 3)
    1.228
    """
    return _magnitude(level_dbu, reference=DBU_REFERENCE_V)


def dbv_from_volts(voltage_v: ArrayLike) -> FloatArray:
    """Level of an rms voltage against 1 V; silence is ``-inf``. [dBV]"""
    return _level_db(voltage_v, reference=DBV_REFERENCE_V, unit="V")


def volts_from_dbv(level_dbv: ArrayLike) -> FloatArray:
    """Rms voltage of a level in dBV. [V]

    >>> round(float(volts_from_dbv(-10)), 3)
    0.316
    """
    return _magnitude(level_dbv, reference=DBV_REFERENCE_V)


def db_spl_from_pascals(pressure_pa: ArrayLike) -> FloatArray:
    """Level of an rms sound pressure against 20 uPa; silence is ``-inf``. [dB SPL]

    >>> round(float(db_spl_from_pascals(1.0)), 2)
    93.98
    """
    return _level_db(pressure_pa, reference=P_REFERENCE_PA, unit="Pa")


def pascals_from_db_spl(level_db_spl: ArrayLike) -> FloatArray:
    """Rms sound pressure of a level in dB SPL. [Pa]"""
    return _magnitude(level_db_spl, reference=P_REFERENCE_PA)


def dbw_from_watts(power_w: ArrayLike) -> FloatArray:
    """Level of a power against 1 W; nothing is ``-inf``. [dBW]

    >>> float(dbw_from_watts(100.0))
    20.0
    """
    values = checked_magnitude(power_w, unit="W")
    with np.errstate(divide="ignore"):  # no power is silence
        return np.asarray(10.0 * np.log10(values / DBW_REFERENCE_W))


def watts_from_dbw(level_dbw: ArrayLike) -> FloatArray:
    """Power of a level in dBW. [W]"""
    return np.asarray(DBW_REFERENCE_W * 10.0 ** (np.asarray(level_dbw, dtype=np.float64) / 10.0))


def power_sum_db(levels_db: ArrayLike, *, axis: int | tuple[int, ...] | None = None) -> FloatArray:
    """Level of several signals that have nothing to do with each other: powers add. [dB]

    Parameters
    ----------
    levels_db : array_like, any shape
        Levels against one reference; ``-inf`` is silence. [dB]
    axis : int or tuple of int, optional
        Axes to sum over; all by default.

    Returns
    -------
    ndarray
        Level of the sum; of nothing at all ``-inf``. [dB]

    Examples
    --------
    >>> round(float(power_sum_db([80, 85])), 1)
    86.2
    """
    levels = np.asarray(levels_db, dtype=np.float64)
    with np.errstate(divide="ignore"):  # nothing but silence
        return np.asarray(10.0 * np.log10(np.sum(10.0 ** (levels / 10.0), axis=axis)))


def coherent_sum_db(
    levels_db: ArrayLike, *, axis: int | tuple[int, ...] | None = None
) -> FloatArray:
    """Level of copies of one signal, all in step: voltages or pressures add. [dB]

    >>> round(float(coherent_sum_db([80, 80])), 2)
    86.02
    """
    levels = np.asarray(levels_db, dtype=np.float64)
    with np.errstate(divide="ignore"):  # nothing but silence
        return np.asarray(20.0 * np.log10(np.sum(10.0 ** (levels / 20.0), axis=axis)))
