"""Numbers of the families of level: gain at hand, travel of a control, supply volts."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any, Final

import numpy as np

from levelhead.gear.scales import SCALES
from levelhead.planning.settle import settled
from levelhead.planning.trial import Trial
from levelhead.quantity.bands import mid_hz, nearest_band
from levelhead.quantity.decibels import DBU_REFERENCE_V
from levelhead.show.edits import Set
from levelhead.verdicts.read.strips import Strip
from tests.cases.readers.general import nominal

__all__ = ["READERS"]


def _strip(trial: Trial, port: str) -> Strip:
    return next(each for each in trial.judgement.reading.strips if each.port == port)


def _travel(trial: Trial, control: str, _: object) -> float:
    plan = trial.solution.rig.controls[control]
    setting = trial.solution.rig.setting_db(control)
    return 100 * SCALES[plan.scale].travel(setting, low_db=plan.low, high_db=plan.high)


def _lacking(trial: Trial, port: str, _: object) -> float:
    """Gain needed less gain at hand, before the fader."""
    strip = _strip(trial, port)
    return strip.needed_db - strip.high_db


def _spare_at_lowest_gain(trial: Trial, port: str, _: object) -> float:
    strip = _strip(trial, port)
    assert strip.lowest_ceiling is not None
    return strip.lowest_ceiling.at_lowest_dbu - strip.peak_dbu


def _signal_over_noise_lost(trial: Trial, ends: list[str], _: object) -> float:
    """Against the volume full, the gains put at their place again."""
    volume, end = ends
    full = trial.after([Set(volume, "0 dB")])
    assert full is not None
    whole = settled(full, frozenset(trial.show.settings)).solution.levels(end).signal_over_noise
    left = trial.solution.levels(end).signal_over_noise
    assert whole is not None
    assert left is not None
    return whole - left


def _needed(trial: Trial, port: str, _: object) -> float:
    return _strip(trial, port).needed_db


def _peak(trial: Trial, address: str, _: object) -> float:
    peak = trial.solution.levels(address).peak
    assert peak is not None
    return peak


def _hiss(trial: Trial, driver: str, metres: float) -> float:
    """Noise of a loudspeaker at a distance, unweighted, without the room."""
    floor = trial.solution.levels(driver).floor
    assert floor is not None
    return floor - 20 * math.log10(metres)


def _sound(trial: Trial, driver: str, metres: float) -> float:
    """Programme of a loudspeaker at a distance, without the room."""
    return nominal(trial, driver) - 20 * math.log10(metres)


def _core_headroom(trial: Trial, ends: list[str], sine: list[float]) -> float:
    """Of a sine (peak in dBu, frequency in Hz) before a transformer, by what its core bears."""
    before, behind = ends
    peak_dbu, frequency_hz = sine
    band = int(nearest_band(np.array([frequency_hz]))[0])
    for island in trial.solution.copper.passages:
        if behind in island.senses:
            rows = [island.senses.index(each) for each in ends]
            passed = abs(island.gain[rows[1], 0, band] / island.gain[rows[0], 0, band])
            core = trial.solution.cores[trial.solution.number(behind)]
            most_v = core.by_band[band] / passed
            most_v *= frequency_hz / mid_hz()[band]  # the core bears twice at an octave higher
            return float(20 * math.log10(most_v / DBU_REFERENCE_V) - peak_dbu)
    raise AssertionError(f"nothing is plugged at {before}")


READERS: Final[Mapping[str, Callable[[Trial, Any, Any], float]]] = {
    "travel": _travel,
    "lacking": _lacking,
    "needed": _needed,
    "peak": _peak,
    "hiss": _hiss,
    "sound": _sound,
    "core-headroom": _core_headroom,
    "spare-at-lowest-gain": _spare_at_lowest_gain,
    "signal-over-noise-lost": _signal_over_noise_lost,
}
