"""Levels and gains where people type and read: what may be added to what.

A level knows its reference; array functions for the solvers are in ``quantity.decibels``.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum
from typing import Final, overload

from levelhead.errors import QuantityError
from levelhead.quantity.decibels import (
    DBM_REFERENCE_W,
    DBU_REFERENCE_V,
    DBV_REFERENCE_V,
    DBW_REFERENCE_W,
    P_REFERENCE_PA,
    dbv_from_volts,
)


class Reference(Enum):
    """What a level is measured against; the value is the way it is written.

    The weighted ones are references of their own, so that nobody compares an A-weighted level with
    a flat one.
    """

    DBU = "dBu"
    DBV = "dBV"
    DBFS = "dBFS"
    DB_SPL = "dB SPL"
    DBM = "dBm"
    DBW = "dBW"
    DBU_A = "dBu(A)"
    DBV_A = "dBV(A)"
    DBFS_A = "dBFS(A)"
    DB_SPL_A = "dB(A)"
    DB_SPL_C = "dB(C)"


_VOLTAGE_V: Final = {Reference.DBU: DBU_REFERENCE_V, Reference.DBV: DBV_REFERENCE_V}
_VOLTAGE_A_V: Final = {Reference.DBU_A: DBU_REFERENCE_V, Reference.DBV_A: DBV_REFERENCE_V}
_POWER_W: Final = {Reference.DBM: DBM_REFERENCE_W, Reference.DBW: DBW_REFERENCE_W}


@dataclass(frozen=True, slots=True)
class Gain:
    """A ratio in decibels, without reference: what a stage does to a level. ``-inf`` is closed.

    >>> Gain(20) + Gain(-6)
    Gain(db=14.0)
    """

    db: float

    def __post_init__(self) -> None:
        object.__setattr__(self, "db", _checked_db(self.db, "a gain"))

    def __add__(self, other: Gain) -> Gain:
        if not isinstance(other, Gain):
            return NotImplemented
        return Gain(self.db + other.db)

    def __sub__(self, other: Gain) -> Gain:
        if not isinstance(other, Gain):
            return NotImplemented
        return Gain(self.db - other.db)

    def __neg__(self) -> Gain:
        return Gain(-self.db)

    @property
    def ratio(self) -> float:
        """The gain as a ratio of voltages or pressures."""
        return float(10.0 ** (self.db / 20.0))


@dataclass(frozen=True, slots=True)
class Level:
    """A level with its reference. Levels take gains; two levels of one reference differ by a gain.

    Parameters
    ----------
    value_db : float
        Decibels above the reference; ``-inf`` is silence.
    reference : Reference
        What 0 dB is.
    impedance_ohm : float, optional
        Only for levels of power: the load that makes them a voltage. dBm always needs one. [ohm]

    Raises
    ------
    QuantityError
        The value is not a level, or dBm comes without its load.
    TypeError
        Levels were added, or levels of different references were compared.

    Examples
    --------
    >>> Level(-40, Reference.DBU) + Gain(44)
    Level(value_db=4.0, reference=<Reference.DBU: 'dBu'>, impedance_ohm=None)
    >>> Level(4, Reference.DBU) - Level(-40, Reference.DBU)
    Gain(db=44.0)
    """

    value_db: float
    reference: Reference
    impedance_ohm: float | None = None

    def __post_init__(self) -> None:
        object.__setattr__(self, "value_db", _checked_db(self.value_db, "a level"))
        self._check_impedance()

    def _check_impedance(self) -> None:
        """Hold dBm to a stated load, and keep loads away from levels that have none."""
        place = f"level in {self.reference.value}"
        if self.reference is Reference.DBM and self.impedance_ohm is None:
            raise QuantityError(
                "dBm is a power and says nothing of a voltage by itself",
                where=place,
                expected="dBm with a stated impedance",
                remedy="Write '0 dBm in 600 ohm', or give the level in dBu.",
            )
        if self.impedance_ohm is None:
            return
        if self.reference not in _POWER_W or not 0 < self.impedance_ohm < math.inf:
            raise QuantityError(
                f"an impedance of {self.impedance_ohm:g} ohm",
                where=place,
                expected="a positive impedance, and only with dBm or dBW",
                remedy="Leave the impedance out, or correct it.",
            )

    def __add__(self, other: Gain) -> Level:
        if not isinstance(other, Gain):
            return NotImplemented
        return Level(self.value_db + other.db, self.reference, self.impedance_ohm)

    __radd__ = __add__

    @overload
    def __sub__(self, other: Gain) -> Level: ...
    @overload
    def __sub__(self, other: Level) -> Gain: ...
    def __sub__(self, other: Gain | Level) -> Level | Gain:
        if isinstance(other, Gain):
            return Level(self.value_db - other.db, self.reference, self.impedance_ohm)
        if not isinstance(other, Level):
            return NotImplemented
        if (other.reference, other.impedance_ohm) != (self.reference, self.impedance_ohm):
            raise TypeError(
                f"a level in {self.reference.value} minus one in {other.reference.value} "
                "is no gain; bring both to one reference first"
            )
        return Gain(self.value_db - other.value_db)

    def to(self, reference: Reference) -> Level:
        """Return the same voltage, pressure or power against another reference.

        >>> round(Level(-10, Reference.DBV).to(Reference.DBU).value_db, 2)
        -7.78
        """
        if reference is self.reference:
            return self
        for family in (_VOLTAGE_V, _VOLTAGE_A_V):
            if self.reference in family and reference in family:
                shift_db = 20 * math.log10(family[self.reference] / family[reference])
                return Level(self.value_db + shift_db, reference)
        if self.reference in _POWER_W and reference in _POWER_W:
            shift_db = 10 * math.log10(_POWER_W[self.reference] / _POWER_W[reference])
            return Level(self.value_db + shift_db, reference, self.impedance_ohm)
        if self.impedance_ohm is not None and reference in _VOLTAGE_V:
            return Level(float(dbv_from_volts(self.volts())), Reference.DBV).to(reference)
        raise _no_common_ground(self.reference, reference.value)

    def volts(self) -> float:
        """Rms voltage of a level in dBu or dBV, or of a level of power in its stated impedance. [V]

        >>> round(Level(0, Reference.DBM, impedance_ohm=50).volts(), 4)
        0.2236
        """
        if self.reference in _VOLTAGE_V:
            return float(_VOLTAGE_V[self.reference] * 10.0 ** (self.value_db / 20.0))
        if self.reference in _POWER_W and self.impedance_ohm is not None:
            return math.sqrt(self.watts() * self.impedance_ohm)
        raise _no_common_ground(self.reference, "volts")

    def watts(self) -> float:
        """Power of a level in dBm or dBW. [W]"""
        if self.reference not in _POWER_W:
            raise _no_common_ground(self.reference, "watts")
        return float(_POWER_W[self.reference] * 10.0 ** (self.value_db / 10.0))

    def pascals(self) -> float:
        """Rms sound pressure of a level in dB SPL. [Pa]"""
        if self.reference is not Reference.DB_SPL:
            raise _no_common_ground(self.reference, "pascals")
        return float(P_REFERENCE_PA * 10.0 ** (self.value_db / 20.0))


def _checked_db(value_db: float, what: str) -> float:
    """Return decibels as a float; refuse what is no number and what is infinitely loud."""
    value = float(value_db)
    if math.isnan(value) or value == math.inf:
        raise QuantityError(
            f"{what} of {value} dB",
            where=what,
            expected="a number of decibels, or -inf for silence",
            remedy="Look at what it comes from: a division by zero, or silence minus silence.",
        )
    return value


def _no_common_ground(reference: Reference, wanted: str) -> QuantityError:
    """Say that a conversion needs more than the level itself."""
    return QuantityError(
        f"a level in {reference.value} alone does not give {wanted}",
        where=f"level in {reference.value}",
        expected="two measures of one thing: volts with volts, pressure with pressure",
        remedy="Between dBFS, volts, watts and sound pressure stands a piece of gear: state its "
        "alignment, impedance or sensitivity.",
    )
