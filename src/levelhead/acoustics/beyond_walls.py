"""Places that lie beyond the walls of a room: a digit too many, or walls typed too near."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.acoustics.remarks import Remark
from levelhead.acoustics.seats import are_inside
from levelhead.show import rooms
from levelhead.show.model import Show

__all__ = ["BEYOND", "beyond_walls"]

BEYOND: Final = "acoustics.beyond-walls"
NEAR_M: Final = 1.0  # walls are paced out, and things stand in niches and doors: common practice

Place = tuple[str, Iterable[float]]


def beyond_walls(show: Show, places: Iterable[Place]) -> tuple[Remark, ...]:
    """One remark that names every place farther than a metre outside the corners of the room.

    Parameters
    ----------
    places : iterable of (str, numbers)
        What stands there, and where: to the right, into the hall. [m]
    """
    told = show.room or rooms.Room()
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
