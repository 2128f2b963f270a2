"""Numbers of hum: against the signal at an input, and at a listener."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any, Final

import numpy as np

from levelhead.planning.trial import Trial
from levelhead.quantity.decibels import P_REFERENCE_PA
from levelhead.show.addresses import item_of
from tests.cases.readers.general import nominal

__all__ = ["READERS"]


def _under(trial: Trial, address: str, _: object) -> float:
    """Hum at an input against the nominal signal there, without the ear's weighting."""
    hum_dbu = trial.judgement.reading.hum.inputs[address].power.rms().value
    return 20 * math.log10(hum_dbu / math.sqrt(0.6)) - nominal(trial, address)


def _spl(trial: Trial, address: str, distance_m: float) -> float:
    """Hum of an input at a distance from its loudspeaker, without the ear's weighting."""
    hum = trial.judgement.reading.hum
    loudspeaker = hum.loudest(address)
    assert loudspeaker is not None
    pressure = hum.brought_to(loudspeaker, address).rms().value
    return 20 * math.log10(pressure / P_REFERENCE_PA / distance_m)


def _rejection(trial: Trial, address: str, sender: str) -> float:
    """What stands between the 0 V of two items, over what of it comes between the pins. [dB]"""
    hum = trial.judgement.reading.hum
    ground = hum.ground
    rows = [ground.row_of[item] for item in (sender, item_of(address))]
    drop_v = ground.zero_v[rows[0]] - ground.zero_v[rows[1]]
    return float(20 * np.log10(np.linalg.norm(drop_v) / np.linalg.norm(hum.inputs[address].volts)))


READERS: Final[Mapping[str, Callable[[Trial, Any, Any], float]]] = {
    "hum-under": _under,
    "hum-spl": _spl,
    "rejection": _rejection,
}
