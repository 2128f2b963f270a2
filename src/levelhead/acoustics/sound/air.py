"""Sound in open air: how fast it runs, what spreading takes, and what the air itself swallows.

References
----------
.. [1] ISO 9613-1:1993, "Acoustics: attenuation of sound during propagation outdoors", eq. (3) to
   (5) and Annex B. Its table holds at exact mid-band frequencies, as ``quantity.bands`` has them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from levelhead.errors import QuantityError
from levelhead.quantity.units import ZERO_CELSIUS_K

__all__ = [
    "DB_PER_NEPER_OF_POWER",
    "SPEED_AT_REFERENCE_M_PER_S",
    "USUAL_AIR",
    "Air",
    "absorption_db_per_m",
    "spherical_spreading_db",
]

REFERENCE_K: Final = 293.15  # [1]: 20 degrees C
REFERENCE_PA: Final = 101_325.0  # [1]: one standard atmosphere
TRIPLE_POINT_K: Final = 273.16  # [1], Annex B
SPEED_AT_REFERENCE_M_PER_S: Final = 343.2  # [1]: dry air at 20 degrees C
DB_PER_NEPER_OF_POWER: Final = 10 / math.log(10)  # a power that falls by e falls by 4.34 dB
RANGE_K: Final = (ZERO_CELSIUS_K - 50.0, ZERO_CELSIUS_K + 60.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Air:
    """The air between loudspeaker and ear.

    Parameters
    ----------
    temperature_k : float
        Temperature, from -50 to 60 degrees C. [K]
    humidity : float
        Relative humidity, from 0 to 1; half is 50 %.
    pressure_pa : float
        Static pressure. [Pa]

    Raises
    ------
    QuantityError
        A value lies outside what the formulas hold for.

    Examples
    --------
    >>> round(Air(temperature_k=273.15).speed_m_per_s, 2)
    331.29
    """

    temperature_k: float = REFERENCE_K
    humidity: float = 0.5
    pressure_pa: float = REFERENCE_PA

    def __post_init__(self) -> None:
        if not RANGE_K[0] <= self.temperature_k <= RANGE_K[1]:
            raise QuantityError(
                f"the air has {self.temperature_k - ZERO_CELSIUS_K:g} degrees C",
                where="temperature of the air",
                expected="-50 to 60 degrees C",
                remedy="Give the temperature in degrees Celsius, or 20 if nobody knows.",
            )
        if not (0 <= self.humidity <= 1 and self.pressure_pa > 0):
            raise QuantityError(
                f"relative humidity {self.humidity:g} at {self.pressure_pa:g} Pa",
                where="humidity and pressure of the air",
                expected="0 to 1 (100 %) and a pressure above zero",
                remedy="Leave them out if nobody knows: 50 % and 101325 Pa are usual.",
            )

    @classmethod
    def of_celsius(cls, celsius: float, humidity: float = 0.5) -> Air:
        """Air of a temperature as people say it. [degrees C]"""
        return cls(temperature_k=celsius + ZERO_CELSIUS_K, humidity=humidity)

    @property
    def speed_m_per_s(self) -> float:
        """Speed of sound in dry air; moist air is up to 0.4 % faster at 20 degrees C. [m/s]"""
        return SPEED_AT_REFERENCE_M_PER_S * math.sqrt(self.temperature_k / REFERENCE_K)


USUAL_AIR: Final = Air()


def _vapour_percent(air: Air) -> float:
    """Molar share of water vapour ([1], Annex B, eq. B.1 and B.3). [%]"""
    exponent = -6.8346 * (TRIPLE_POINT_K / air.temperature_k) ** 1.261 + 4.6151
    saturation_pa = REFERENCE_PA * 10.0**exponent
    return float(100.0 * air.humidity * saturation_pa / air.pressure_pa)


def absorption_db_per_m(frequency_hz: ArrayLike, air: Air = USUAL_AIR) -> NDArray[np.float64]:
    """What the air takes from a tone on each metre. [dB/m]

    Parameters
    ----------
    frequency_hz : array_like, any shape
        Frequencies; the table of the standard holds at *exact* mid-bands. [Hz]
    air : Air
        Temperature, humidity and pressure.

    Returns
    -------
    ndarray, same shape
        Attenuation coefficient of the pressure level. [dB/m]

    References
    ----------
    ISO 9613-1:1993, eq. (3), (4) and (5).

    Examples
    --------
    >>> round(1000 * float(absorption_db_per_m(1000, Air.of_celsius(20, 0.5))), 2)
    4.66
    """
    f2 = np.square(np.asarray(frequency_hz, dtype=np.float64))
    warmth, pressure = air.temperature_k / REFERENCE_K, air.pressure_pa / REFERENCE_PA
    h = _vapour_percent(air)
    oxygen_hz = pressure * (24.0 + 4.04e4 * h * (0.02 + h) / (0.391 + h))
    slowing = math.exp(-4.170 * (warmth ** (-1 / 3) - 1.0))
    nitrogen_hz = pressure * warmth**-0.5 * (9.0 + 280.0 * h * slowing)
    classical = 1.84e-11 / pressure * math.sqrt(warmth)
    oxygen = 0.01275 * math.exp(-2239.1 / air.temperature_k) / (oxygen_hz + f2 / oxygen_hz)
    nitrogen = 0.1068 * math.exp(-3352.0 / air.temperature_k) / (nitrogen_hz + f2 / nitrogen_hz)
    return np.asarray(8.686 * f2 * (classical + warmth**-2.5 * (oxygen + nitrogen)))


def spherical_spreading_db(
    distance_m: ArrayLike, *, from_m: ArrayLike = 1.0
) -> NDArray[np.float64]:
    """Level lost between two distances from a small source: ``20 lg (r / r0)``. [dB]

    >>> round(float(spherical_spreading_db(10)), 1)
    20.0
    """
    ratio = np.asarray(distance_m, dtype=np.float64) / np.asarray(from_m, dtype=np.float64)
    with np.errstate(divide="ignore"):  # at the source itself there is no end to the level
        return np.asarray(20.0 * np.log10(ratio))
