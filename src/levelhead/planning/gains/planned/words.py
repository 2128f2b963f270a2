"""What a plan says of a control and of a goal, in words for screen, paper and terminal."""

from __future__ import annotations

import math
from typing import Final

from levelhead.planning.gains.planned.ends import EndLevel
from levelhead.planning.gains.planned.plan import GainPlan, GoalName, GoalResult, Position
from levelhead.planning.gains.thresholds import LEVEL_HEARD_DB
from levelhead.quantity.formatting import format_level
from levelhead.show.addresses import strip_of

__all__ = ["GOAL_WORDS", "caution_words", "goal_state", "held_words", "strip_words"]

GOAL_WORDS: Final[dict[GoalName, str]] = {
    "clipping": "no clipping",
    "loudness": "loudness",
    "meters": "meters",
    "noise": "noise",
    "faders": "faders",
    "changes": "changes",
}
_PLACES: Final = 2
_HURTS_DB: Final = 91.0  # 85 dB(A) of NIOSH 98-126, and peaks that stand 6 dB over it as a sine


def strip_words(position: Position) -> str:
    """Item and strip of a control, in people's words."""
    return position.label.rpartition(", ")[0] or position.control.partition(".")[0]


def held_words(position: Position) -> str:
    """Which goal holds a control there; within its own strip the strip is not named again."""
    bind = position.bind
    strip = strip_of(position.control)
    is_own = strip_of(bind.at) == strip
    place = bind.label.rpartition(", ")[2] if is_own else bind.label.replace(", ", " ")
    if bind.goal == "clipping":
        return f"headroom {_db(bind.value)} at {place}" if place else "headroom"
    if bind.goal == "meters":
        return f"meter {'' if is_own else f'of {place} '}at {_db(bind.value, signed=True)}"
    if bind.goal == "loudness":
        of = f" of {place}" if position.strip is not None else ""
        return f"loudness{of} at {bind.end or bind.at.partition('.')[0]}"
    words = {
        "range": "its upper end" if bind.label == "high" else "its lower end",
        "faders": "unity",
        "locked": "locked",
        "kept": "balance with the others" if position.is_moved else "nothing asks for more",
    }
    return words.get(bind.goal, bind.goal)


def goal_state(goal: GoalResult, plan: GainPlan) -> str:
    """How far a goal is met."""
    if goal.name == "noise":
        return "as low as it gets, within 1 dB"
    if goal.name == "faders":
        return f"together {_db(goal.value_db)} from unity"
    if goal.name == "changes":
        least = min(round(goal.bound_db), len(plan.edits))
        known = f"at least {least} have to" if least else "fewer may do: not searched to the end"
        return f"{len(plan.edits)} controls move, {known}" if plan.edits else "no control moves"
    if goal.reached:
        return "reached"
    more = len(goal.where) - _PLACES
    rest = f" and {more} more" if more > 0 else ""
    places = f"{', '.join(goal.places[:_PLACES])}{rest}"
    if goal.name == "clipping" and goal.gave_way_db <= plan.reserve_db:
        left = _db(plan.reserve_db - goal.gave_way_db)
        return f"reached, {left} of the reserve left at {places}"
    return f"gives way by {_db(goal.gave_way_db)}: {places}"


def _db(value: float | None, *, signed: bool = False) -> str:
    if value is None:
        return "-"
    text = format_level(round(value, 1) + 0.0, "dB")
    return f"+{text}" if signed and value > 0 else text


def _peak_db(end: EndLevel) -> float:
    return -math.inf if end.peak_planned is None else end.peak_planned


def caution_words(plan: GainPlan) -> str | None:
    """What people have to be told before somebody sets it: which loudspeaker gets louder."""
    louder = [
        (each.peak_planned - each.peak_now, each)
        for each in plan.ends
        if each.unit == "dB SPL" and each.peak_planned is not None and each.peak_now is not None
    ]
    told = [each for each in louder if each[0] >= LEVEL_HEARD_DB and _peak_db(each[1]) >= _HURTS_DB]
    if not told:
        return None
    by_db, end = max(told, key=lambda each: (round(each[0], 1), _peak_db(each[1])))
    place = end.label.replace(", ", " ")
    return (
        f"{place} gets {_db(by_db)} louder than it is set, peaks of {end.peak_planned:.0f} dB SPL "
        "at 1 m: enough to hurt hearing. Set it with the masters down, bring them up slowly from "
        "silence, with nobody close before a loudspeaker or with earphones in."
    )
