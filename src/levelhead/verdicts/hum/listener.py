"""The nearest listener in a quiet moment: the background of the room, and the way to a loudspeaker.

What the show says of its room and of where people listen counts; else what is usual.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray

from levelhead.gear.figures import Figure
from levelhead.quantity.parsing import parse_si
from levelhead.show.model import Show
from levelhead.show.rooms import Area
from levelhead.verdicts.read.reading import Reading

__all__ = ["LISTENER", "Listener", "Listening", "listening_in"]

Real: TypeAlias = NDArray[np.float64]

USUAL_EARS_M: Final = 1.2  # people on chairs
# further off hardly anything falls indoors: the critical distance of halls, common practice
_FALLS_TO_M: Final = 4.0
_NEAREST_M: Final = 1.0
_NOISE_SPREAD_DB: Final = 3.0  # of a background that somebody read or knows, common practice
_PLACE_SPREAD: Final = 1.25  # of a place that somebody wrote down


@dataclass(frozen=True, slots=True)
class Listener:
    """A-weighted background, and the way to the loudspeaker."""

    background_a: Figure
    distance: Figure

    @property
    def at_1_m_db(self) -> float:
        """The background, as if the listener stood at 1 m of the loudspeaker. [dB SPL]"""
        return self.background_a.value + 20 * math.log10(self.distance.value)


LISTENER: Final = Listener(
    Figure(35.0, 27.0, 43.0, "dB SPL", "common practice"),  # a hall with its audience in it
    Figure(4.0, 2.0, 8.0, "m", "common practice"),
)
Listening: TypeAlias = Callable[[str], Listener]
"""The nearest listener to each loudspeaker, by the address of its point."""


def listening_in(reading: Reading) -> Listening:
    """Who listens to each loudspeaker, as far as the show says; the usual listener else."""
    show = reading.rig.show
    background_a = _background(show)

    def nearest(loudspeaker: str) -> Listener:
        item = show.items[reading.solution.point(loudspeaker).item]
        ways_m = [] if item.at is None else list(_ways_m(show, np.array(item.at)))
        distance = _distance(show, min(ways_m)) if ways_m else LISTENER.distance
        return Listener(background_a, distance)

    return cache(nearest)


def _background(show: Show) -> Figure:
    """Noise of the room as it was typed: ``38 dB(A)``."""
    if show.room is None or show.room.noise is None:
        return LISTENER.background_a
    level_db = float(show.room.noise.split("dB", maxsplit=1)[0].replace("\u2212", "-"))
    low_db, high_db = level_db - _NOISE_SPREAD_DB, level_db + _NOISE_SPREAD_DB
    return Figure(level_db, low_db, high_db, "dB SPL", "measured")


def _distance(show: Show, way_m: float) -> Figure:
    """How far off a listener is, for what is heard there: indoors the room keeps it up."""
    is_outdoors = show.room is not None and show.room.where == "outdoors"
    heard_m = max(way_m if is_outdoors else min(way_m, _FALLS_TO_M), _NEAREST_M)
    return Figure(heard_m, heard_m / _PLACE_SPREAD, heard_m * _PLACE_SPREAD, "m", "measured")


def _ways_m(show: Show, box: Real) -> Iterator[float]:
    """From a loudspeaker to the nearest ears of every area."""
    floor_m = 0.0 if show.room is None else show.room.floor
    for area in show.areas.values():
        ears_m = floor_m + (USUAL_EARS_M if area.ears is None else parse_si(area.ears, "m"))
        if area.at is not None:
            yield math.dist(area.at, box)
        elif area.corners:
            yield math.hypot(_to_area_m(area, box[:2]), box[2] - ears_m)


def _to_area_m(area: Area, box: Real) -> float:
    """From a place on the plan to the nearest corner or edge of an area; 0 within it. [m]"""
    corners = np.array(area.corners, dtype=np.float64)
    after = np.roll(corners, -1, axis=0)
    edge = after - corners
    length2 = np.maximum((edge**2).sum(axis=1), 1e-12)
    along = np.clip(((box - corners) * edge).sum(axis=1) / length2, 0.0, 1.0)
    nearest = corners + along[:, None] * edge
    is_above = (corners[:, 1] > box[1]) != (after[:, 1] > box[1])
    rise = np.where(is_above, edge[:, 1], 1.0)
    crosses = is_above & (box[0] < corners[:, 0] + (box[1] - corners[:, 1]) / rise * edge[:, 0])
    is_inside = int(crosses.sum()) % 2 == 1
    return 0.0 if is_inside else float(np.linalg.norm(nearest - box, axis=1).min())
