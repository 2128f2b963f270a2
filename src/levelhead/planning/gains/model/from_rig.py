"""The model of a gain plan: read off a solved rig, and corrected by what a later one tells."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.planning.gains.model.values import Model
from levelhead.planning.gains.programme.log_sums import LogSum
from levelhead.planning.gains.read.knobs import Knobs
from levelhead.planning.gains.read.measured import Measured
from levelhead.planning.gains.read.terms import Terms
from levelhead.planning.gains.wanted.ceilings import Ceiling, crest_over_sine_db, level_db
from levelhead.planning.gains.wanted.ends import End, Target
from levelhead.planning.gains.wanted.marks import Mark

__all__ = ["anchored_anew", "corrected", "model_of", "off_by_db", "softer"]

Real = NDArray[np.float64]

_NO_NOISE_DB: Final = -400.0
_NEAR_DB: Final = 0.3  # of the reserve: there a ceiling or a crest decides
_GONE_DB: Final = -30.0  # ways that came to cancel


def model_of(
    terms: Terms,
    ends: tuple[End, ...],
    targets: tuple[Target, ...],
    marks: tuple[Mark, ...],
    ceilings: tuple[Ceiling, ...],
) -> Model:
    """The model of a rig as it stands."""
    knobs, settings = terms.knobs, _settings(terms.knobs)
    points = {
        *(each.point for each in marks),
        *(each.point for each in ceilings),
        *(each.point for each in ends),
    }
    return Model(
        knobs=knobs,
        settings=settings,
        levels={
            point: _sum(terms, [(t.monomial, t.now_db) for t in terms.signals[point]], settings)
            for point in points
        },
        crest_db={point: crest_over_sine_db(terms.solution, point) for point in points},
        ceilings=ceilings,
        option_ceilings=_option_ceilings(knobs),
        targets=[
            (each, _sum(terms, [(each.term.monomial, each.term.now_db)], settings))
            for each in targets
        ],
        marks=marks,
        ends=ends,
        noises=[_noise(terms, end.point, settings) for end in ends],
        addresses={point: terms.solution.graph.wiring.addresses[point] for point in points},
        units={point: terms.solution.graph.wiring.unit(point) for point in points},
        cancelling=terms.cancelling,
    )


def _settings(knobs: Knobs) -> Real:
    now = [each.now_db for each in knobs.knobs]
    return np.array(now + [0.0] * (len(knobs) - len(now)))


def _sum(terms: Terms, found: Iterable[tuple[int, float]], settings: Real) -> LogSum:
    """Terms with what each is now, as a function of settings; like terms together."""
    power: dict[int, float] = {}
    for monomial, now_db in found:
        power[monomial] = power.get(monomial, 0.0) + 10 ** (now_db / 10)
    slopes = terms.monomials.rows(list(power), len(settings))
    now = np.array([level_db(each) for each in power.values()])
    return LogSum(now - slopes @ settings, slopes)


def _noise(terms: Terms, point: int, settings: Real) -> LogSum:
    found = terms.noise(point)
    if not found:
        return LogSum(np.array([_NO_NOISE_DB]), np.zeros((1, len(settings))))
    return _sum(terms, found, settings)


def _option_ceilings(knobs: Knobs) -> dict[int, dict[int, float]]:
    found: dict[int, dict[int, float]] = {}
    for place, switch in enumerate(knobs.switches):
        for variable, option in enumerate(switch.others, knobs.first_option(place)):
            for point, by_db in option.ceilings.items():
                found.setdefault(point, {})[variable] = by_db
    return found


def off_by_db(model: Model, settings: Real, real: Measured) -> dict[str, dict[int, float]]:
    """Real levels less those of the model, by point: signals, and noise at the ends.

    Where ways of one source cancel, the model holds what they are without that, and is left so; so
    it is where next to nothing is left of what the model has.
    """
    signals = {
        point: 20 * math.log10(float(real.nominal[point])) - level.level_db(settings)
        for point, level in model.levels.items()
        if real.nominal[point] > 0 and point not in model.cancelling
    }
    signals = {point: by_db for point, by_db in signals.items() if by_db > _GONE_DB}
    noises = {
        end.point: 20 * math.log10(float(real.floor_a[end.point])) - noise.level_db(settings)
        for end, noise in zip(model.ends, model.noises, strict=True)
        if real.floor_a[end.point] > 0
    }
    return {"signals": signals, "noises": noises, "headrooms": _headrooms(model, settings, real)}


def _headrooms(model: Model, settings: Real, real: Measured) -> dict[int, float]:
    """Headroom that the model has and the rig has not, where it is nearly used up."""
    found = {}
    chosen = settings[len(model.knobs.knobs) :]
    for each, now in ((each, _ceiling(model, each, chosen, real)) for each in model.ceilings):
        if real.nominal[each.point] > 0 and each.point not in model.cancelling:
            peak = model.levels[each.point].level_db(settings) + model.crest_db[each.point]
            moved = crest_over_sine_db(real, each.point) - model.crest_db[each.point]
            by_db = now.ceiling_db - each.ceiling_db - moved
            if each.ceiling_db - peak - each.reserve_db < _NEAR_DB + abs(by_db):
                found[each.point] = by_db
    return found


def corrected(model: Model, settings: Real, real: Measured, share: float = 1.0) -> Model:
    """The model with its constants, crests and ceilings as a later solution has them.

    ``share`` is how much of the way constants go: less where they were beyond the mark before.
    """
    off = {
        what: {point: share * by_db for point, by_db in found.items()}
        for what, found in off_by_db(model, settings, real).items()
    }
    signals = off["signals"]
    chosen = settings[len(model.knobs.knobs) :]
    return replace(
        model,
        levels={
            point: _moved(level, signals.get(point, 0.0)) for point, level in model.levels.items()
        },
        crest_db={
            point: crest_over_sine_db(real, point) if real.nominal[point] > 0 else crest
            for point, crest in model.crest_db.items()
        },
        ceilings=[_ceiling(model, each, chosen, real) for each in model.ceilings],
        targets=[
            (target, _moved(level, signals.get(target.end.point, 0.0)))
            for target, level in model.targets
        ],
        noises=[
            _moved(noise, off["noises"].get(end.point, 0.0))
            for end, noise in zip(model.ends, model.noises, strict=True)
        ],
    )


def _moved(level: LogSum, by_db: float) -> LogSum:
    return LogSum(level.at_db + by_db, level.slopes)


def _ceiling(model: Model, ceiling: Ceiling, chosen: Real, real: Measured) -> Ceiling:
    """A ceiling as it is now, without what the chosen options add to it."""
    value = float(real.ceiling[ceiling.point])
    if not 0 < value < math.inf:
        return ceiling
    first = len(model.knobs.knobs)
    added: Mapping[int, float] = model.option_ceilings.get(ceiling.point, {})
    by_options = sum(by_db * float(chosen[each - first]) for each, by_db in added.items())
    return replace(ceiling, ceiling_db=20 * math.log10(value) - by_options)


def anchored_anew(
    model: Model,
    settings: Real,
    real: Measured,
    driven: Mapping[int, tuple[int, ...]],
    *,
    reserve_db: float,
) -> Model:
    """The model with its targets moved by the room that is left at the ends, where there is any.

    A limiter that took something as the rig stood made the room look less than it is. The room is
    that of the rig; where the model is off by now, its targets move by as much besides.
    """
    off_db = off_by_db(model, settings, real)["signals"]
    rooms: dict[int, float] = {}
    for group, points in driven.items():
        over_db = _over_db(model, settings, group)
        if over_db is not None:
            room_db = _room_db(real, off_db, points, reserve_db) + over_db
            rooms |= {group: room_db} if abs(room_db) > _NEAR_DB else {}
    if not rooms:
        return model
    targets = [
        (replace(each, wanted_db=each.wanted_db + rooms.get(each.end.group, 0.0)), level)
        for each, level in model.targets
    ]
    return replace(model, targets=targets)


def softer(model: Model, by_db: float) -> Model:
    """The model with everything in the hall and on the stage meant to be softer. [dB]"""
    targets = [
        (replace(each, wanted_db=each.wanted_db - by_db), level)
        if each.end.kind in {"audience", "performers"}
        else (each, level)
        for each, level in model.targets
    ]
    return replace(model, targets=targets)


def _room_db(
    real: Measured, off_db: Mapping[int, float], points: Iterable[int], reserve_db: float
) -> float:
    """Least room of the points, from what the model has there."""
    rooms = [
        20 * math.log10(real.ceiling[point] / real.nominal[point])
        - crest_over_sine_db(real, point)
        - reserve_db
        + off_db.get(point, 0.0)
        for point in points
        if real.nominal[point] > 0 and 0 < real.ceiling[point] < math.inf
    ]
    return min(rooms, default=0.0)


def _over_db(model: Model, settings: Real, group: int) -> float | None:
    """How much louder than meant all sources of a group are, at the least of their gains.

    Nothing where one is softer than it is meant to be: it has no more.
    """
    over = [
        level.level_db(settings) - each.wanted_db
        for each, level in model.targets
        if each.end.group == group
    ]
    least_db = min(over, default=-math.inf)
    if least_db < -2 * _NEAR_DB:
        return None
    return least_db if least_db > 2 * _NEAR_DB else 0.0
