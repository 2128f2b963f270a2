"""The tables of an open show from which its page draws the plan; they go out with every patch."""

from __future__ import annotations

from typing import Any, Final

from levelhead.drawing.plan.symbols import SYMBOLS
from levelhead.drawing.plan.things import PlanThing, front_deg, people_on, things_on
from levelhead.rig.model import Rig
from levelhead.show.model import Show

__all__ = ["PLAN_TABLES", "plan_tables"]

PLAN_TABLES: Final = ("plan", "people", "ground")
Json = dict[str, Any]


def plan_tables(show: Show, rig: Rig | None) -> dict[str, dict[str, Json]]:
    """What stands where: things by item, people by source, room and areas as they were told."""
    room = {} if show.room is None else {"room": {"corners": show.room.corners, "label": ""}}
    areas = {
        f"area {name}": {"corners": each.corners, "at": each.at, "label": each.label or name}
        for name, each in show.areas.items()
    }
    people = () if rig is None else people_on(rig)
    return {
        "plan": {} if rig is None else {each.id: _thing(each) for each in things_on(rig)},
        "people": {
            each.id: {
                "called": each.called,
                "heard_by": each.heard_by,
                "at": each.at,
                "by": show.items[each.heard_by].at,
                "faces": each.faces_deg,
            }
            for each in people
        },
        "ground": {**room, **areas},
    }


def _thing(thing: PlanThing) -> Json:
    symbol = SYMBOLS[thing.symbol]
    return {
        "called": thing.called,
        "symbol": thing.symbol,
        "word": symbol.word,
        "at": thing.at,
        "aim": thing.aim,
        "front": front_deg(thing) if symbol.turns else None,
        "coverage": thing.coverage_deg if symbol.turns else None,
    }
