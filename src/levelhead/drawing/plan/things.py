"""What stands on a plan of a show, seen from above: gear with its place, and who is heard there."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from levelhead.drawing.plan.symbols import symbol_of
from levelhead.rig.model import Rig
from levelhead.show.model import Place

__all__ = ["PlanPerson", "PlanThing", "front_deg", "people_on", "things_on"]

BEHIND_M: Final = 0.4  # a head is drawn so far behind its microphone, or they would hide each other
FURTHEST_M: Final = 1.5
TO_THE_PLAYERS_DEG: Final = 180.0  # a microphone without an aim listens away from the hall


@dataclass(frozen=True, slots=True)
class PlanThing:
    """An item on the plan. ``coverage_deg`` is the full angle of a loudspeaker across."""

    id: str
    called: str
    symbol: str
    at: Place | None
    aim: Place | None
    coverage_deg: float | None = None


@dataclass(frozen=True, slots=True)
class PlanPerson:
    """A voice or instrument in front of a microphone: where, and where it faces. [m, degrees]"""

    id: str
    called: str
    heard_by: str
    at: tuple[float, float]
    faces_deg: float


def things_on(rig: Rig) -> list[PlanThing]:
    """Every item of the rig, with or without a place, in the order of the show."""
    return [
        PlanThing(
            id=item.id,
            called=item.called,
            symbol=symbol_of(rig, item.id),
            at=item.at,
            aim=item.aim,
            coverage_deg=_across(rig, item.id),
        )
        for item in rig.show.items.values()
    ]


def _across(rig: Rig, item: str) -> float | None:
    coverage = rig.items[item].plan.coverage_deg
    return None if coverage is None else coverage[0]


def front_deg(thing: PlanThing) -> float:
    """Where its front points, seen from above: 0 into the hall, 90 to the right. [degrees]

    Without an aim loudspeakers look into the hall and microphones to the players, as the acoustics
    take them.
    """
    if thing.at is None or thing.aim is None or thing.at[:2] == thing.aim[:2]:
        return TO_THE_PLAYERS_DEG if thing.symbol == "microphone" else 0.0
    return math.degrees(math.atan2(thing.aim[0] - thing.at[0], thing.aim[1] - thing.at[1]))


def people_on(rig: Rig) -> Iterator[PlanPerson]:
    """Voices in front of microphones that have a place, each on the side that it is turned to."""
    things = {each.id: each for each in things_on(rig)}
    for source in rig.sources:
        thing = things.get(source.at.partition(".")[0])
        told = rig.show.sources[source.id]
        if thing is None or thing.at is None or rig.book.entry(told.type).kind != "voice":
            continue
        away_m = min(max(source.distance_m, BEHIND_M), FURTHEST_M)
        towards = front_deg(thing)
        at = (
            thing.at[0] + away_m * math.sin(math.radians(towards)),
            thing.at[1] + away_m * math.cos(math.radians(towards)),
        )
        yield PlanPerson(source.id, source.label, thing.id, at, (towards + 180.0) % 360.0)
