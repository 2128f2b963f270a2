"""Figures of the mains: potentials of its earths, leakages of supplies, fields, and their lines.

They are ranges of what is met at small events, not properties of one hall; a reading replaces them.
Limits that standards print are anchors for their upper ends.

References
----------
.. [1] IEC 60950-1:2005, Table 5A, and IEC 62368-1: touch current 0.25 mA without protective earth,
   3.5 mA into it for movable class I equipment.
.. [2] IEC 60990: measuring network of touch current, 2 kohm of body at mains frequency.
.. [3] EN 50160:2010, Table 1: harmonics of the supply voltage, limits for 95 % of a week.
.. [4] EN 62684:2010 and EN 301 489-34: common-mode noise of chargers, at most 2 V peak to peak.
.. [5] B. Whitlock, "Grounding and Interfacing", in Ballou (ed.), Handbook for Sound Engineers.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum
from functools import cached_property
from types import MappingProxyType
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.gear.figures import Figure

__all__ = [
    "BODY_OHM",
    "CLASS_1_LIMIT_A",
    "CLASS_2_LIMIT_A",
    "FELT_A",
    "LEAKAGES",
    "MAINS_120",
    "MAINS_230",
    "Cause",
    "Mains",
]

Real = NDArray[np.float64]

CLASS_1_LIMIT_A: Final = 3.5e-3  # [1]
CLASS_2_LIMIT_A: Final = 0.25e-3  # [1]
BODY_OHM: Final = 2000.0  # [2]: 1.5 kohm of skin and 500 ohm of body
FELT_A: Final = 0.5e-3  # IEC TS 60479-1: threshold of perception, alternating current

HARMONICS: Final = 20  # counted from the fundamental, which is the first
WHINE_HZ: Final = (1000.0, 2000.0, 4000.0, 8000.0, 16000.0)  # octaves that stand for a charger's


class Cause(StrEnum):
    """What drives hum."""

    STRIP = "earths on one strip"
    OUTLETS = "earths of two outlets"
    CIRCUITS = "earths of two circuits"
    CLASS_1 = "leakage into protective earth"
    CLASS_2 = "leakage through the two-pin supply"
    CHARGER = "switching noise from the two-pin supply"
    FIELD = "fields round the cables"


LEAKAGES: Final = frozenset({Cause.CLASS_1, Cause.CLASS_2})  # at mains frequency


def _between(low: float, high: float, unit: str, source: str) -> Figure:
    """A figure of which only the range is known: its typical value is the geometric middle."""
    return Figure(math.sqrt(low * high), low, high, unit, source)


_STRIP: Final = _between(1e-3, 10e-3, "V", "common practice")
_OUTLETS: Final = _between(10e-3, 0.1, "V", "common practice")
_CIRCUITS: Final = _between(0.1, 2.0, "V", "common practice")
# 2 m of 0.75 mm2 at 26 mohm/m (IEC 60228) with its contacts; 3 m of 1 mm2; 15 m of 2.5 mm2
_CORD: Final = Figure(0.07, 0.04, 0.15, "ohm", "typical")
_STRIP_LEAD: Final = Figure(0.08, 0.04, 0.2, "ohm", "typical")
_CIRCUIT_WIRE: Final = Figure(0.12, 0.05, 0.4, "ohm", "typical")
_CLASS_1: Final = Figure(0.5e-3, 0.1e-3, CLASS_1_LIMIT_A, "A", "from memory")
# 54 to 150 uA are what people measure on supplies of laptops and phones
_CLASS_2: Final = Figure(80e-6, 25e-6, CLASS_2_LIMIT_A, "A", "typical")
_CHARGER: Final = Figure(0.1, 0.02, 0.5, "V", "from memory")  # [4] is 0.7 V as a sine
_DENSITY: Final = Figure(0.1e-6, 0.02e-6, 1e-6, "T", "from memory")
_SCREENED: Final = Figure(2e-15, 0.3e-15, 10e-15, "F/m", "from memory")
_BARE: Final = Figure(2e-12, 0.3e-12, 10e-12, "F/m", "from memory")


@dataclass(frozen=True, kw_only=True)
class Mains:
    """A mains supply, and what its earths and loads do to audio.

    Attributes
    ----------
    volts, hz
        Between line and neutral, and its frequency. [V, Hz]
    strip, outlets, circuits
        Rms between the earths of two items on one strip, of two outlets of one circuit, of two
        circuits. [V]
    cord, strip_lead, circuit_wire
        Earth conductor of an item's mains cord, of a strip and its outlet, of a circuit back to
        the main earth. [ohm]
    class_1, class_2
        Rms leakage of an item into its protective earth, and of one with a two-pin supply into
        whatever earths it. [A]
    charger
        Rms common-mode noise from 0.7 to 22 kHz of a two-pin supply, open circuit. [V]
    density
        Flux density of stray fields along cables. [T]
    screened_f_per_m, bare_f_per_m
        Mains wiring to a core, through a braid and without one. [F/m]
    leakages
        Leakage that is known of an item, by its id. [A]
    """

    volts: float
    hz: float
    strip: Figure = _STRIP
    outlets: Figure = _OUTLETS
    circuits: Figure = _CIRCUITS
    cord: Figure = _CORD
    strip_lead: Figure = _STRIP_LEAD
    circuit_wire: Figure = _CIRCUIT_WIRE
    class_1: Figure = _CLASS_1
    class_2: Figure = _CLASS_2
    charger: Figure = _CHARGER
    density: Figure = _DENSITY
    screened_f_per_m: Figure = _SCREENED
    bare_f_per_m: Figure = _BARE
    leakages: Mapping[str, Figure] = field(default_factory=lambda: MappingProxyType({}))

    def knowing(self, leakages: Mapping[str, float]) -> Mains:
        """The same with leakages that were measured, by item. [A]"""
        known = {
            item: Figure(ampere, ampere, ampere, "A", "measured")
            for item, ampere in leakages.items()
        }
        return replace(self, leakages=MappingProxyType({**self.leakages, **known}))

    @property
    def unstated(self) -> Figure:
        """Between the earths of two outlets of which nobody said where they hang. [V]

        One strip and two outlets of one circuit are as likely; two circuits can be.
        """
        middle = math.sqrt(self.strip.value * self.outlets.value)
        return Figure(middle, self.strip.low, self.circuits.high, "V", "common practice")

    @cached_property
    def lines_hz(self) -> Real:
        """Frequencies at which hum is solved: harmonics of the mains, then charger noise. [Hz]"""
        return np.concatenate([np.arange(1, HARMONICS + 1) * self.hz, WHINE_HZ])

    @cached_property
    def earth_spectrum(self) -> Real:
        """Rms of each line of an earth potential, their power sum 1.

        Odd harmonics fall with ``n**-1.5``, even ones lie 20 dB under that law (from memory: the
        currents of rectifiers fall faster, their induction into loops slower).
        """
        n = np.arange(1.0, HARMONICS + 1)
        return _normal(n**-1.5 * np.where(n % 2, 1.0, 0.1))

    @cached_property
    def class_1_spectrum(self) -> Real:
        """Rms of each line of the mains voltage itself, the fundamental 1.

        A third of what [3] allows is usual (from memory).
        """
        return _padded([1.0, *(_ALLOWED.get(n, 0.0) / 3 for n in range(2, HARMONICS + 1))])

    @cached_property
    def class_2_spectrum(self) -> Real:
        """Rms of each line between a two-pin supply's open output and earth, the fundamental 1.

        The rectified bus follows the neutral for half of each cycle: a half-wave rectified sine,
        whose fundamental is half the mains and whose even harmonics are
        ``4 / (pi (n**2 - 1))`` of it (Fourier); odd ones are those of the mains.
        """
        even = {n: 4 / (math.pi * (n**2 - 1)) for n in range(2, HARMONICS + 1, 2)}
        odd = {n: _ALLOWED.get(n, 0.0) / 3 for n in range(3, HARMONICS + 1, 2)}
        return _padded([1.0, *((even | odd)[n] for n in range(2, HARMONICS + 1))])

    @cached_property
    def charger_spectrum(self) -> Real:
        """Rms of each line of charger noise, their power sum 1: alike in each octave."""
        return np.concatenate([np.zeros(HARMONICS), np.full(len(WHINE_HZ), len(WHINE_HZ) ** -0.5)])

    def leakage_farad(self, ampere: float, spectrum: Real, open_v: float) -> float:
        """Capacitance through which an open voltage drives this rms of leakage, all lines. [F]"""
        omega = 2 * np.pi * self.lines_hz
        return ampere / (open_v * float(np.linalg.norm(omega * spectrum)))


_ALLOWED: Final[Mapping[int, float]] = MappingProxyType(  # [3], of the fundamental
    {2: 0.02, 3: 0.05, 4: 0.01, 5: 0.06, 7: 0.05, 9: 0.015, 11: 0.035, 13: 0.03, 15: 0.005}
    | {17: 0.02, 19: 0.015}
    | dict.fromkeys(range(6, HARMONICS + 1, 2), 0.005)
)


def _padded(harmonics: list[float]) -> Real:
    """Harmonics, and nothing on the lines of charger noise."""
    return np.concatenate([harmonics, np.zeros(len(WHINE_HZ))])


def _normal(harmonics: Real) -> Real:
    """Harmonics whose power sum is 1."""
    return _padded((harmonics / np.linalg.norm(harmonics)).tolist())


MAINS_230: Final = Mains(volts=230.0, hz=50.0)
MAINS_120: Final = Mains(volts=120.0, hz=60.0)
