"""Cables that lie beside ours: how strong their fields are there, and which lines they have.

A pair of conductors a spacing ``s`` apart that carries a current and brings it back has a field of
``mu0 I s / (2 pi r^2)`` at a distance ``r`` that is large against ``s`` (Biot and Savart); the lay
of its cores takes a part of that. Strengths are ranges of what is met, from memory; a distance
counts by its square.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from types import MappingProxyType
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.circuit.ground.mains import HARMONICS, WHINE_HZ, Mains
from levelhead.gear.figures import Figure
from levelhead.show.model import Beside, Near, Neighbour, Radiator

__all__ = [
    "NEIGHBOURS",
    "RADIATORS",
    "TOUCHING_M",
    "Neighbouring",
    "dimmer_harmonics",
    "field_in_air",
    "line_rates",
]

Real = NDArray[np.float64]

TOUCHING_M: Final = 0.01  # from core to core of two jackets that touch
_INSIDE_M: Final = 0.2  # nearer than that nothing is a dipole any more
_CROSSING_M: Final = 0.02  # as long as a crossing at a right angle shares, from memory
_STEP_HZ: Final = 3200.0  # 1 / (pi 100 us): a choke of a dimmer rounds the step, from memory
_OCTAVE: Final = math.sqrt(2.0)
_FEWEST_HZ: Final = 50.0  # of programme in loudspeaker leads


@dataclass(frozen=True, slots=True)
class _Kind:
    """Field at 1 cm [T], volts to earth, and capacitance to a core behind a braid, or a bare one.

    ``density`` is rms of the whole current as if it were a full sine.
    """

    density: Figure
    volts: float
    through_braid_f_per_m: float = 2e-14  # [F/m], touching; from memory
    bare_f_per_m: float = 2e-11


NEIGHBOURS: Final[Mapping[str, _Kind]] = MappingProxyType(
    {
        # 6 kW are 26 A; cores 5 mm apart that lie flat make 260 uT, laid up a third of that
        "dimmer-leads": _Kind(Figure(80e-6, 15e-6, 300e-6, "T", "from memory"), 230.0),
        # 5 A in a round flex
        "mains-leads": _Kind(Figure(10e-6, 2e-6, 40e-6, "T", "from memory"), 230.0),
        # 2 A of programme in two cores 3 mm apart, twisted
        "loudspeaker-leads": _Kind(Figure(5e-6, 1e-6, 15e-6, "T", "from memory"), 20.0),
    }
)


RADIATORS: Final[Mapping[str, Figure]] = MappingProxyType(
    {
        # 26 A round 0.1 m2 of bars and chokes: mu0 I A / (2 pi r^3) is 0.5 uT on its axis
        "dimmer-rack": Figure(0.5e-6, 0.1e-6, 2.5e-6, "T", "from memory"),
        "mains-transformer": Figure(0.1e-6, 0.02e-6, 0.5e-6, "T", "from memory"),
    }
)
"""Field 1 m away, rms of the whole current as if it were a full sine. [T]"""


def dimmer_harmonics(count: int) -> Real:
    """Rms of harmonics 1 to ``count`` of a sine cut at its crest, the whole sine 1.

    Half-way is where a dimmer has the largest step. Fourier: from ``pi/2`` to ``pi`` of each half
    cycle; even harmonics are none.
    """
    n = np.arange(1.0, count + 1)
    with np.errstate(divide="ignore", invalid="ignore"):
        sines = 0.5 * (_swing(n - 1, np.sin) - _swing(n + 1, np.sin))
        cosines = 0.5 * (_swing(n - 1, np.cos) - _swing(n + 1, np.cos))
    sines[0], cosines[0] = math.pi / 4, -0.5
    both: Real = np.hypot(sines, cosines) * 2 / math.pi
    return np.where(n % 2, both, 0.0)


def _swing(order: Real, wave: np.ufunc) -> Real:
    """``wave(order x) / order`` between ``pi/2`` and ``pi``."""
    ends: Real = wave(order * math.pi) - wave(order * math.pi / 2)
    return np.asarray(ends / order)


@dataclass(frozen=True)
class Neighbouring:
    """What a neighbour does along our cable, on a mains."""

    beside: Beside
    mains: Mains

    @property
    def kind(self) -> _Kind:
        """What it is."""
        return NEIGHBOURS[self.beside.what]

    @property
    def along_m(self) -> float:
        """How far along it lies. [m]"""
        return _CROSSING_M if self.beside.along_m is None else self.beside.along_m

    @property
    def _nearness(self) -> float:
        """A touching neighbour is 1, one twice as far a half."""
        apart_m = TOUCHING_M if self.beside.apart_m is None else self.beside.apart_m
        return min(TOUCHING_M / apart_m, 1.0)

    @cached_property
    def density(self) -> Figure:
        """Field at our cable. [T]"""
        near, far = self.kind.density, self._nearness**2
        return Figure(near.value * far, near.low * far, near.high * far, "T", near.source)

    @cached_property
    def emf_v_per_m2(self) -> Real:
        """Round an open area, by line: ``2 pi f B``. [V/m^2]"""
        return self.density.value * self._rate

    def core_a(self, length_m: float, *, is_screened: bool) -> Real:
        """Into each core of a cable, by line: ``2 pi f C U``. [A]"""
        kind = self.kind
        per_m = kind.through_braid_f_per_m if is_screened else kind.bare_f_per_m
        return np.asarray(per_m * self._nearness * length_m * kind.volts * self._rate)

    @cached_property
    def _rate(self) -> Real:
        return line_rates(self.beside.what, self.mains)


def line_rates(what: Neighbour | Radiator, mains: Mains) -> Real:
    """Angular frequency times rms of each line of a neighbour, the whole current 1. [rad/s]

    Lines that stand for an octave hold all that lies in it.
    """
    if what in {"dimmer-leads", "dimmer-rack"}:
        return _of_dimmers(mains)
    if what == "loudspeaker-leads":
        return _of_programme(mains)
    return np.asarray(2 * np.pi * mains.lines_hz * mains.earth_spectrum)


def _of_dimmers(mains: Mains) -> Real:
    count = int(WHINE_HZ[-1] * _OCTAVE / mains.hz)
    hz = mains.hz * np.arange(1, count + 1)
    rate = 2 * np.pi * hz * dimmer_harmonics(count) / np.hypot(1.0, hz / _STEP_HZ)
    above, at_hz = rate[HARMONICS:], hz[HARMONICS:]
    octaves = [
        float(np.linalg.norm(above[(at_hz >= mid / _OCTAVE) & (at_hz < mid * _OCTAVE)]))
        for mid in WHINE_HZ
    ]
    return np.concatenate([rate[:HARMONICS], octaves])


def _of_programme(mains: Mains) -> Real:
    """Alike in every octave from 50 Hz on, falling above 5 kHz: pink, common practice."""
    hz = mains.lines_hz
    width = np.concatenate([np.full(HARMONICS, mains.hz), np.array(WHINE_HZ) / _OCTAVE])
    power = np.where(hz >= _FEWEST_HZ, width / hz, 0.0) / (1 + (hz / 5000.0) ** 2)
    return np.asarray(2 * np.pi * hz * np.sqrt(power / power.sum()))


def field_in_air(near: Near) -> Figure:
    """Flux density of a radiator at a distance, which counts by its cube (a dipole). [T]"""
    at_1_m, far = RADIATORS[near.what], max(near.apart_m, _INSIDE_M) ** -3
    return Figure(at_1_m.value * far, at_1_m.low * far, at_1_m.high * far, "T", at_1_m.source)
