"""Make a gain plan: read the rig, solve the goals, try the settings in the real rig, tell.

What the model says of the settings is compared with the rig solved with them; where a limiter, a
compander or ways that add as voltages make a difference, the model is corrected and solved again.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.gear.book import GearBook
from levelhead.planning.gains.goals.in_order import solve_goals
from levelhead.planning.gains.goals.worth import is_as_good
from levelhead.planning.gains.model.from_rig import (
    anchored_anew,
    corrected,
    model_of,
    off_by_db,
    softer,
)
from levelhead.planning.gains.model.values import Model, Reached
from levelhead.planning.gains.planned.plan import GainPlan
from levelhead.planning.gains.read.knobs import Knobs, knobs_of
from levelhead.planning.gains.read.measured import Measured
from levelhead.planning.gains.read.switches import switched_gains
from levelhead.planning.gains.read.terms import terms_of
from levelhead.planning.gains.ringing import rings_by_db
from levelhead.planning.gains.told.ends import end_levels, meter_marks
from levelhead.planning.gains.told.lineups import lineups_of
from levelhead.planning.gains.told.positions import positions_of, settings_edits
from levelhead.planning.gains.told.results import results_of
from levelhead.planning.gains.told.turns import drowned, turns_on
from levelhead.planning.gains.wanted.apart import apart_words, played_apart
from levelhead.planning.gains.wanted.areas import wanted_levels
from levelhead.planning.gains.wanted.ceilings import ceilings_of, leading_to
from levelhead.planning.gains.wanted.ends import (
    End,
    Loudness,
    anchor_words,
    driven_points,
    ends_of,
    targets_of,
)
from levelhead.planning.gains.wanted.marks import marks_of, meters_of
from levelhead.rig.build import Locator, build_rig
from levelhead.show.edits import apply
from levelhead.show.model import Show
from levelhead.verdicts.read.gain_plan import PEAK_RESERVE_DB

__all__ = ["Made", "make_plan", "plan_gains"]

Real = NDArray[np.float64]
Driven = Mapping[int, tuple[int, ...]]
Settled = tuple[tuple[Reached, Model], Real, Solution]

AGREES_DB: Final = 0.05  # model against the rig solved
_RINGS_DB: Final = 0.2  # less than that comes of setting tenths
_MOST_ROUNDS: Final = 8
_HALF: Final = 0.5  # of the way, where a limiter takes in one round and not in the next
_SLOWLY: Final = 0.5  # of what the round before was off
_NEAR_DB: Final = 0.3  # less than that nobody sets a knob anew, common practice


@dataclass(frozen=True, eq=False)
class Made:
    """A plan with what it was made from: the rig as it stands, and with the plan."""

    plan: GainPlan
    show: Show
    before: Solution
    after: Solution
    model: Model
    reached: Reached
    settings: Real
    off_by_db: float


def plan_gains(
    show: Show,
    book: GearBook,
    *,
    reserve_db: float = PEAK_RESERVE_DB,
    loudness: Loudness = "full",
    locator: Locator | None = None,
) -> GainPlan:
    """Where every control of a show goes.

    Parameters
    ----------
    reserve_db
        Headroom on peaks that is asked for. [dB]
    loudness
        ``full``: the loudest moment reaches the ceiling of the first loudspeaker or amplifier less
        the reserve. ``as-set``: loudspeakers stay as loud as they are.

    Raises
    ------
    LevelheadError
        The show cannot be built or solved.
    """
    return make_plan(show, book, reserve_db=reserve_db, loudness=loudness, locator=locator).plan


def make_plan(
    show: Show,
    book: GearBook,
    *,
    reserve_db: float = PEAK_RESERVE_DB,
    loudness: Loudness = "full",
    locator: Locator | None = None,
) -> Made:
    """``plan_gains`` with all that it rests on."""
    rig = build_rig(show, book, locator)
    solution = solve(rig)
    return plan_solved(solution, book, reserve_db=reserve_db, loudness=loudness)


def plan_solved(
    solution: Solution,
    book: GearBook,
    *,
    reserve_db: float,
    loudness: Loudness,
    go_on: Callable[[], None] = lambda: None,
) -> Made:
    """A plan for a rig that is solved; ``go_on`` raises where nobody waits for it any more."""
    ends, model = _model(solution, book, reserve_db, loudness)
    driven = driven_points(solution, ends) if loudness == "full" else {}
    found, lowered_db = _settled(model, solution, book, (driven, reserve_db), go_on), 0.0
    if loudness == "full":
        found, lowered_db = _without_ringing(found, solution, book, go_on)
    (reached, last), settings, after = found
    measured = Measured.of(after, solution)
    real = corrected(last, settings, measured)
    plan = GainPlan(
        reserve_db=reserve_db,
        anchor=anchor_words(
            ends,
            reserve_db=reserve_db,
            loudness=loudness,
            is_wanted=bool(wanted_levels(solution.rig.show)),
            lowered_db=lowered_db,
        ),
        positions=positions_of(solution.rig, real, settings),
        goals=results_of(real, reached, after, settings),
        meters=meter_marks(solution.rig, real, measured),
        ends=end_levels(ends, solution, after, loudness),
        lineups=lineups_of(real, settings, after, book),
        gap_db=_gap_db(reached),
        turns_on=(
            *turns_on(real, after, settings, reserve_db=reserve_db),
            *apart_words(after, played_apart(solution, ends_of(solution))),
        ),
        balance=tuple(drowned(real, after)),
    )
    off = _worst_db(last, settings, measured)
    return Made(plan, solution.rig.show, solution, after, real, reached, settings, off)


def _model(
    solution: Solution, book: GearBook, reserve_db: float, loudness: Loudness
) -> tuple[tuple[End, ...], Model]:
    rig = solution.rig
    every = ends_of(solution)
    alone = played_apart(solution, every)
    ends = tuple(each for each in every if each not in alone)
    leading = leading_to(solution, [*(end.point for end in ends), *meters_of(solution)])
    knobs = knobs_of(solution, switched_gains(rig, book, solution), leading)
    terms = terms_of(solution, knobs)
    return ends, model_of(
        terms,
        ends,
        targets_of(terms, ends, reserve_db=reserve_db, loudness=loudness),
        marks_of(terms),
        ceilings_of(terms, leading, reserve_db=reserve_db),
    )


def _without_ringing(
    found: Settled, solution: Solution, book: GearBook, go_on: Callable[[], None]
) -> tuple[Settled, float]:
    """Softer by what rings, and by how much; as far as it goes where locked controls hold it."""
    lowered_db = 0.0
    for _ in range(_MOST_ROUNDS):
        (_, model), _, after = found
        by_db = rings_by_db(after)
        if by_db <= _RINGS_DB:
            break
        lowered_db += by_db
        found = _settled(softer(model, by_db), solution, book, ({}, 0.0), go_on)
    return found, lowered_db


def _settled(
    model: Model,
    solution: Solution,
    book: GearBook,
    anchor: tuple[Driven, float],
    go_on: Callable[[], None],
) -> Settled:
    """Goals solved until the rig says the same as the model; settings as people can set them."""
    worst, rounds, share = np.inf, 0, 1.0
    while True:
        rounds += 1
        reached = solve_goals(model, go_on)
        settings = _settable(model, reached)
        after = _solved_with(model.knobs, settings, solution, book)
        measured = Measured.of(after, solution)
        before, worst = worst, _worst_db(model, settings, measured)
        driven, reserve_db = anchor
        anew = anchored_anew(model, settings, measured, driven, reserve_db=reserve_db)
        is_stuck = worst >= before and share < 1  # nor does half of the way lead there
        is_settled = anew is model and (worst <= AGREES_DB or is_stuck)
        if is_settled or rounds == _MOST_ROUNDS:
            return (reached, model), settings, after
        share = _HALF if worst > _SLOWLY * before else 1.0
        model = corrected(anew, settings, measured, share)


def _worst_db(model: Model, settings: Real, after: Measured) -> float:
    """How far the model is off where it is off most."""
    parts = off_by_db(model, settings, after).values()
    return max((abs(each) for part in parts for each in part.values()), default=0.0)


def _settable(model: Model, reached: Reached) -> Real:
    """Settings in tenths of a decibel; what stands well enough stays where it is."""
    if is_as_good(model, reached, model.settings):
        return model.settings
    rounded = np.round(reached.settings, 1) + 0.0
    near = np.abs(rounded - model.settings) <= _NEAR_DB
    stays = np.where(near, model.settings, rounded)
    return stays if is_as_good(model, reached, stays) else rounded


def _solved_with(knobs: Knobs, settings: Real, solution: Solution, book: GearBook) -> Solution:
    edits = settings_edits(solution.rig, knobs, settings)
    show, _ = apply(solution.rig.show, edits)
    return solve(build_rig(show, book, previous=solution.rig), solution)


def _gap_db(reached: Reached) -> float:
    """Of goals in dB: the count of changes has a gap of its own."""
    names = [name for name in reached.values if name != "changes"]
    return max((reached.values[each] - reached.bounds[each] for each in names), default=0.0)
