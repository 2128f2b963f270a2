"""Seats as the last points of the chain: what the loudspeakers bring to each area, A-weighted.

The level follows the volts of the chain; the ceiling is as far above it as that of the loudspeaker
that counts most, the floor is the noise of the place and the hiss of the chain.
"""

from __future__ import annotations

import math
from collections.abc import Collection
from dataclasses import replace

import numpy as np

from levelhead.acoustics.heard.heard import AreaHeard, heard_of, thinned
from levelhead.acoustics.listening.seats import a_weighted_db
from levelhead.acoustics.placed.played import played_by
from levelhead.chain.levels import PointLevels
from levelhead.chain.solution import Solution

__all__ = ["SEATS", "UNIT", "seat_points"]

SEATS = "areas"  # before the id of an area, in the place of an item
UNIT = "dB(A)"


def seat_points(
    solution: Solution, only: Collection[str] | None = None, *, most_seats: int | None = None
) -> list[PointLevels]:
    """One point for each area that the show names, in its order; none without a place.

    Parameters
    ----------
    only : collection of str, optional
        Sources whose sound counts; without it everything that plays.
    most_seats : int, optional
        Of an area, spread over it; without it all.
    """
    show = solution.rig.show
    if not show.areas:
        return []
    played = played_by(solution, only=None if only is None else frozenset(only))
    if not played.loudspeakers:
        return []
    if most_seats is not None:
        played = replace(played, located=thinned(played.located, show, most_seats))
    heard = heard_of(replace(played, speakers=()))
    loudest = max(played.loudspeakers, key=lambda each: float(each.level_db.max()))
    number = {each.name: each.number for each in played.boxes}[loudest.name]
    box = solution.levels(solution.graph.points[number].address)
    return [_point(f"{SEATS}.{each.area.id}", each, box) for each in heard.areas]


def _point(at: str, area: AreaHeard, box: PointLevels) -> PointLevels:
    """Level of an area with peak and ceiling as far above it as at the loudspeaker."""
    level_db = area.level_db
    nominal = box.nominal if box.nominal is not None else level_db
    noise_db = a_weighted_db(area.seats.noise_db)
    hiss_db = a_weighted_db(area.hiss_db)
    both = np.where(np.isfinite(noise_db), noise_db, hiss_db)  # noise of a place holds the hiss
    floor_db = 10 * math.log10(max(float(np.mean(10 ** (both / 10))), 1e-30))
    floor = floor_db if np.isfinite(both).any() else None
    return PointLevels(
        at=at,
        unit=UNIT,
        nominal=level_db if math.isfinite(level_db) else None,
        peak=None if box.peak is None else level_db + box.peak - nominal,
        ceiling=None if box.ceiling is None else level_db + box.ceiling - nominal,
        floor=floor,
        floor_a=floor,
    )
