"""Numbers of amplifiers and loudspeakers: watts, sound pressure, what a filter takes."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any, Final

from levelhead.planning.trial import Trial
from levelhead.quantity.bands import nearest_band
from levelhead.quantity.decibels import P_REFERENCE_PA
from tests.cases.readers.general import nominal

__all__ = ["READERS"]


def _over_watts(trial: Trial, named: list[str], _: object) -> float:
    """An impedance below its limit, as the watts that it takes beyond them at one voltage."""
    code, name = named
    finding = next(each for each in trial.judgement.findings if each.code == code)
    compared = next(each for each in finding.why if each.name == name)
    assert compared.value is not None
    assert compared.limit is not None
    return 10 * math.log10(compared.limit / compared.value)


def _programme_watts(trial: Trial, address: str, _: object) -> float:
    """Nominal volts at a loudspeaker over its rated impedance."""
    volts = math.sqrt(0.6) * 10 ** (nominal(trial, address) / 20)
    return volts**2 / trial.solution.rig.ports[address].plan.figures["impedance"].value


def _pressure_at_1_khz(trial: Trial, ends: list[str], _: object) -> float:
    """Level at 1 m as if all that leaves an output stood at 1 kHz, where 8 ohm are 8 ohm."""
    band = int(nearest_band(1000.0))
    power = [trial.solution.power_at(each) for each in ends]
    share = power[1][band] / power[0][band]
    return 10 * math.log10(float(power[0].sum() * share) / P_REFERENCE_PA**2)


def _band_lost(trial: Trial, named: list[Any], _: object) -> float:
    """What is lost between two points at a frequency."""
    before, behind, hz = named
    band = int(nearest_band(hz))
    power = [trial.solution.power_at(each)[band] for each in (before, behind)]
    return 10 * math.log10(power[0] / power[1])


READERS: Final[Mapping[str, Callable[[Trial, Any, Any], float]]] = {
    "over-watts": _over_watts,
    "programme-watts": _programme_watts,
    "pressure-at-1-khz": _pressure_at_1_khz,
    "band-lost": _band_lost,
}
