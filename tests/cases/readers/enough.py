"""Numbers of the families of level: gain at hand, travel of a control, supply volts."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Final

from levelhead.gear.scales import SCALES
from levelhead.planning.settle import settled
from levelhead.planning.trial import Trial
from levelhead.show.edits import Set
from levelhead.verdicts.strips import Strip

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


READERS: Final[Mapping[str, Callable[[Trial, Any, Any], float]]] = {
    "travel": _travel,
    "lacking": _lacking,
    "spare-at-lowest-gain": _spare_at_lowest_gain,
    "signal-over-noise-lost": _signal_over_noise_lost,
}
