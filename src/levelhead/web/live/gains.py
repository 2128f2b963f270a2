"""The gain plan of an open show, as its page shows it: a task of the worker."""

from __future__ import annotations

from typing import Any

from levelhead.drawing.knobs import control_drawing
from levelhead.exchange.sheets.gains import gain_cells
from levelhead.gear.positions import Face
from levelhead.planning.gains.make import plan_solved
from levelhead.planning.gains.planned.plan import GainPlan, Position
from levelhead.planning.gains.planned.words import (
    GOAL_WORDS,
    caution_words,
    goal_state,
    held_words,
    strip_words,
)
from levelhead.planning.gains.wanted.ends import Loudness
from levelhead.rig.model import Rig
from levelhead.show.edit_json import edit_to_json
from levelhead.verdicts.read.gain_plan import PEAK_RESERVE_DB
from levelhead.web.live.pool import OvertakenError, unless_overtaken
from levelhead.web.live.worker import trial_of
from levelhead.web.views.pressed import in_the_app

__all__ = ["plan"]

Json = dict[str, Any]


def plan(key: str, is_as_set: bool, turn: int | None = None) -> Json | None:  # noqa: FBT001 -- a question's only word
    """Every control as it stands and as it goes, what holds it there, and the edits.

    Given up between two goals, with ``None``, once a step or a question has come after ``turn``.
    """
    trial = trial_of(key)
    loudness: Loudness = "as-set" if is_as_set else "full"
    try:
        made = plan_solved(
            trial.solution,
            trial.book,
            reserve_db=PEAK_RESERVE_DB,
            loudness=loudness,
            go_on=unless_overtaken(turn),
        ).plan
    except OvertakenError:
        return None
    return {
        "anchor": made.anchor,
        "caution": caution_words(made),
        "gap_db": round(made.gap_db, 2) + 0.0,
        "strips": _strips(made, trial.solution.rig),
        "goals": [
            {
                "goal": GOAL_WORDS[each.name],
                "state": goal_state(each, made),
                "reached": each.reached,
                "mends": list(each.mends),
            }
            for each in made.goals
        ],
        "balance": [in_the_app(each) for each in made.balance],
        "turns_on": [in_the_app(each) for each in made.turns_on],
        "edits": [edit_to_json(each) for each in made.edits],
    }


def _strips(made: GainPlan, rig: Rig) -> list[Json]:
    """Controls by strip, in signal order."""
    heads: dict[str, list[Json]] = {}
    for position in made.positions:
        heads.setdefault(strip_words(position), []).append(_row(position, rig))
    return [{"strip": head, "controls": rows} for head, rows in heads.items()]


def _row(position: Position, rig: Rig) -> Json:
    """A control with the words and the drawing of the gain sheet."""
    cells = gain_cells(rig.controls[position.control], position)
    face, label = cells.get("face"), cells["control"]
    words = f"{label}: now {position.now}, plan {position.planned}"
    drawing = "" if face is None else str(control_drawing(Face.from_text(face), label=words))
    return {
        "control": position.control,
        "label": label,
        "now": position.now,
        "planned": position.planned,
        "moved": position.is_moved,
        "locked": position.locked,
        "hand": cells["hand"],
        "drawing": drawing,
        "held": in_the_app(held_words(position)),
    }
