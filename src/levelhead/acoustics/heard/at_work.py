"""What those get who work at a show: at the desk, at microphones, and at the ear by in-ears."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final, Literal

import numpy as np
from numpy.typing import NDArray

from levelhead.acoustics.listening.exposure import RULES, Evening, Stay, evening
from levelhead.acoustics.listening.seats import a_weighted_db, seats
from levelhead.acoustics.placed.crew import spots_of
from levelhead.acoustics.placed.played import Played
from levelhead.acoustics.sound.loudspeaker import Loudspeaker
from levelhead.chain.solution import Solution
from levelhead.quantity.decibels import P_REFERENCE_PA
from levelhead.quantity.exposure import USUAL_STAY_S

__all__ = ["AtWork", "at_work"]

NEAR_M: Final = 4.0  # a loudspeaker so near that is turned to somebody is their wedge
TURNED: Final = math.cos(math.radians(60.0))

Kind = Literal["desk", "performer", "in-ear"]
Real = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class AtWork:
    """One place of work; ``wedge_db`` is what comes from loudspeakers turned there. [dB(A)]"""

    kind: Kind
    name: str
    level_db: float
    wedge_db: float | None
    stay_s: float
    exposure: Evening

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        return {
            "kind": self.kind,
            "name": self.name,
            "level_dba": round(self.level_db, 1),
            "wedges_dba": None if self.wedge_db is None else round(self.wedge_db, 1),
            "stay_h": round(self.stay_s / 3600, 1),
            "daily_dba": round(self.exposure.daily_db, 1),
            "worst_quarter_dba": round(self.exposure.worst_quarter_db, 1),
            "doses_percent": {
                rule.name: round(dose)
                for rule, dose in zip(RULES, self.exposure.doses_percent, strict=True)
            },
        }


def at_work(solution: Solution, played: Played) -> tuple[AtWork, ...]:
    """Desks, performers whose place is known, and everybody with something in the ear."""
    stay_s = max(played.located.stays_s.values(), default=USUAL_STAY_S)
    return (*_in_the_air(solution, played, stay_s), *_in_the_ear(solution, stay_s))


def _in_the_air(solution: Solution, played: Played, stay_s: float) -> Iterator[AtWork]:
    spots = spots_of(solution)
    if not spots or not played.loudspeakers:
        return
    places_m = np.array([[*each.area.corners_m[0], each.area.ear_m] for each in spots])
    venue = played.located.venue
    levels = seats(places_m, played.loudspeakers, venue, is_speech=False).a_weighted_db
    for spot, place_m, level_db in zip(spots, places_m, levels.tolist(), strict=True):
        wedges = [each for each in played.loudspeakers if _is_turned_to(each, place_m)]
        wedge_db = None
        if spot.kind == "performer" and wedges:
            there = seats(place_m[None], wedges, venue, is_speech=False)
            wedge_db = float(there.a_weighted_db[0])
        yield _told(spot.kind, spot.area.name, level_db, wedge_db, stay_s)


def _is_turned_to(loudspeaker: Loudspeaker, place_m: Real) -> bool:
    """Whether a loudspeaker is near a place and looks at it."""
    away = place_m - loudspeaker.at_m
    far_m = float(np.linalg.norm(away))
    ahead = float(away @ loudspeaker.axis) / max(
        far_m * float(np.linalg.norm(loudspeaker.axis)), 1e-9
    )
    return far_m < NEAR_M and ahead > TURNED


def _in_the_ear(solution: Solution, stay_s: float) -> Iterator[AtWork]:
    """The louder side of whatever is worn at the ear."""
    found: dict[str, float] = {}
    for bank in solution.graph.wiring.banks:
        numbers = bank.numbers[:, -1].tolist() if bank.path.to_air else []
        for number in numbers:
            item = solution.graph.points[number].item
            if item in solution.rig.items and solution.rig.items[item].plan.is_worn:
                level_db = _ear_db(solution, number)
                if level_db is not None:
                    found[item] = max(found.get(item, -math.inf), level_db)
    for item, level_db in found.items():
        yield _told("in-ear", solution.rig.items[item].label, level_db, None, stay_s)


def _ear_db(solution: Solution, number: int) -> float | None:
    """A-weighted level of the programme at a point; nothing where none comes. [dB(A)]"""
    carried = solution.carried
    rows = (carried.point == number) & (carried.component < carried.first_noise)
    power = carried.power[rows].sum(0)
    if not power.any():
        return None
    with np.errstate(divide="ignore"):
        return float(a_weighted_db(10 * np.log10(power / P_REFERENCE_PA**2)))


def _told(kind: Kind, name: str, level_db: float, wedge_db: float | None, stay_s: float) -> AtWork:
    return AtWork(
        kind=kind,
        name=name,
        level_db=level_db,
        wedge_db=wedge_db,
        stay_s=stay_s,
        exposure=evening([Stay(level_db=level_db, duration_s=stay_s)]),
    )
