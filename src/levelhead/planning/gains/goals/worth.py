"""Whether settings serve the goals as well as the best ones: nobody turns a knob for less."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.planning.gains.model.values import Model, Reached
from levelhead.planning.gains.thresholds import NOISE_HEARD_DB

__all__ = ["ALIKE_DB", "excess_db", "is_as_good", "missed_db", "off_mark_db"]

Real = NDArray[np.float64]

ALIKE_DB: Final = 0.35  # of loudness and meters: what nobody hears or reads
_RESERVE_DB: Final = 0.25
_FADERS_DB: Final = 0.3  # of each fader's distance from unity, in the mean


def excess_db(model: Model, settings: Real) -> dict[int, float]:
    """By point: how far peaks use up the reserve; 0 where they do not."""
    found = {}
    for each in model.ceilings:
        added = model.option_ceilings.get(each.point, {})
        ceiling = each.ceiling_db + sum(by * float(settings[n]) for n, by in added.items())
        peak = model.levels[each.point].level_db(settings) + model.crest_db[each.point]
        found[each.point] = max(peak + each.reserve_db - ceiling, 0.0)
    return found


def missed_db(model: Model, settings: Real) -> dict[int, float]:
    """By target: how far off it is, negative where too quiet; free ends have their own middle."""
    off = {
        number: level.level_db(settings) - target.wanted_db
        for number, (target, level) in enumerate(model.targets)
    }
    free: dict[int, list[float]] = {}
    for number, (target, _) in enumerate(model.targets):
        if target.is_free:
            free.setdefault(target.end.group, []).append(off[number])
    middle = {group: float(np.median(each)) for group, each in free.items()}
    return {
        number: float(each - middle.get(model.targets[number][0].end.group, 0.0))
        for number, each in off.items()
    }


def off_mark_db(model: Model, settings: Real) -> dict[int, float]:
    """By mark: how far outside its range, negative below."""
    found = {}
    for number, mark in enumerate(model.marks):
        level = model.levels[mark.point].level_db(settings)
        found[number] = max(level - mark.high_db, 0.0) - max(mark.low_db - level, 0.0)
    return found


def is_as_good(model: Model, reached: Reached, settings: Real) -> bool:
    """Whether no goal is worse than with the best settings by anything that matters."""
    best = reached.settings
    return (
        _is_within(excess_db(model, settings), excess_db(model, best), _RESERVE_DB)
        and _is_within(missed_db(model, settings), missed_db(model, best), ALIKE_DB)
        and _is_within(off_mark_db(model, settings), off_mark_db(model, best), ALIKE_DB)
        and _is_as_quiet(model, reached, settings)
        and _from_unity_db(model, settings) <= _from_unity_db(model, best) + _FADERS_DB
        and _options_db(model, settings) <= _options_db(model, best)
        and all(knob.is_known for knob in model.knobs.knobs)
    )


def _is_within(ours: Mapping[int, float], best: Mapping[int, float], within_db: float) -> bool:
    return all(abs(each) <= abs(best[number]) + within_db for number, each in ours.items())


def _is_as_quiet(model: Model, reached: Reached, settings: Real) -> bool:
    """Noise as low; of recorders, against what they get."""
    lows = zip(model.ends, model.noises, reached.noise_db, strict=True)
    for end, noise, low in lows:
        more = 0.0
        if end.kind == "recorder":
            level = model.levels[end.point]
            more = level.level_db(settings) - level.level_db(reached.settings)
        if noise.level_db(settings) > low + NOISE_HEARD_DB + more + ALIKE_DB:
            return False
    return True


def _from_unity_db(model: Model, settings: Real) -> float:
    away = [
        abs(float(settings[number]))
        for number, knob in enumerate(model.knobs.knobs)
        if knob.has_unity and not knob.is_locked
    ]
    return float(np.mean(away)) if away else 0.0


def _options_db(model: Model, settings: Real) -> float:
    return float(settings[len(model.knobs.knobs) :].round().sum())
