"""Places that lie beyond the walls, floor or ceiling: a digit too many, walls typed too near."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.acoustics.listening.seats import are_inside
from levelhead.acoustics.remarks import Remark
from levelhead.quantity.parsing import parse_si
from levelhead.show import rooms
from levelhead.show.model import Show

__all__ = ["BEYOND", "beyond_walls"]

BEYOND: Final = "acoustics.beyond-walls"
BELOW_M: Final = 0.2  # floors are no drawing boards: common practice
NEAR_M: Final = 1.0  # walls are paced out, and things stand in niches and doors: common practice

Place = tuple[str, Iterable[float]]


def beyond_walls(show: Show, places: Iterable[Place]) -> tuple[Remark, ...]:
    """A remark that names every place farther than a metre outside the room, to a side or up.

    Parameters
    ----------
    places : iterable of (str, numbers)
        What stands there, and where: to the right, into the hall, and up if that is known. [m]
    """
    told, places = show.room or rooms.Room(), list(places)
    return (*_below_or_above(told, places), *_aside(told, places))


def _below_or_above(told: rooms.Room, places: Sequence[Place]) -> tuple[Remark, ...]:
    """What stands under the floor, of a room or of a lawn, or over the ceiling."""
    indoors = told.where != "outdoors" and told.height is not None
    top_m = told.floor + parse_si(told.height, "m") if indoors and told.height else math.inf
    beyond: dict[str, str] = {}
    for name, (_, _, *up) in places:
        if up and up[0] < told.floor - BELOW_M:
            beyond[name] = f"{name} {told.floor - up[0]:.3g} m below the floor"
        elif up and up[0] > top_m:
            beyond[name] = f"{name} {up[0] - top_m:.3g} m above the ceiling"
    if not beyond:
        return ()
    what = f"{', '.join(beyond.values())}; look at these heights and at the floor of the room"
    return (Remark(BEYOND, "care", "room.height", what),)


def _aside(told: rooms.Room, places: Sequence[Place]) -> tuple[Remark, ...]:
    """What stands beyond the walls."""
    if told.where == "outdoors" or len(told.corners) < 3:  # noqa: PLR2004 - a triangle
        return ()
    corners = np.array(told.corners, dtype=np.float64)
    beyond: dict[str, float] = {}
    for name, at in places:
        point = np.array([*at][:2], dtype=np.float64)
        if not are_inside(point[None, :], corners)[0]:
            away_m = _from_walls_m(point, corners)
            if away_m > NEAR_M:
                beyond[name] = max(away_m, beyond.get(name, 0.0))
    if not beyond:
        return ()
    named = ", ".join(f"{name} by {away_m:.3g} m" for name, away_m in beyond.items())
    what = f"beyond the walls: {named}; look at these places and at the corners of the room"
    return (Remark(BEYOND, "care", "room.corners", what),)


def _from_walls_m(point: NDArray[np.float64], corners: NDArray[np.float64]) -> float:
    """How far a point is from the nearest wall. [m]"""
    along = np.roll(corners, -1, axis=0) - corners
    lengths = np.maximum((along**2).sum(axis=1), np.finfo(np.float64).tiny)
    share = np.clip(((point - corners) * along).sum(axis=1) / lengths, 0.0, 1.0)
    nearest = corners + share[:, None] * along
    return float(np.linalg.norm(point - nearest, axis=1).min())
