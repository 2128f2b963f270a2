"""What the air makes of the plan of an open show: looks that come at once, and single moves."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

import numpy as np

from levelhead.acoustics.heard.heard import OCTAVES, AreaHeard, Heard, heard_of
from levelhead.acoustics.placed.played import played_by
from levelhead.acoustics.rings.rings_of import Ringing, ringing_of
from levelhead.chain.solution import Solution
from levelhead.drawing.seats.steps import Steps, steps_over
from levelhead.errors import EditError
from levelhead.exchange.air_words import Said, area_words, feedback_words
from levelhead.planning.air.ring_moves import ring_moves
from levelhead.planning.first_places import first_place, first_places
from levelhead.quantity.bands import MIDDLE_BANDS, octave_levels_db
from levelhead.show.edit_json import edit_to_json
from levelhead.web.live.looks import Look
from levelhead.web.live.pool import OvertakenError, unless_overtaken
from levelhead.web.live.worker import trial_of

__all__ = ["first", "moves", "seats"]

Json = dict[str, Any]
_HEARD: Final = "heard"  # by its name in what looks keep


def first(look: Look, item: str) -> Json:
    """Places to begin with: of one item, or of all that have none."""
    rig = look.solution.rig
    edits = first_place(rig, item) if item else first_places(rig)
    return {"edits": [edit_to_json(each) for each in edits]}


def moves(key: str, turn: int | None = None) -> list[Json] | None:
    """Single moves that buy most before feedback, each solved on a copy: a task of the worker.

    Given up between two of them, with ``None``, once a step or a question has come after ``turn``.
    """
    solution = trial_of(key).solution
    try:
        found = ring_moves(solution, ringing_of(solution), unless_overtaken(turn))
    except OvertakenError:
        return None
    return [each.to_json() for each in found]


def seats(look: Look, shown: str) -> Json:
    """The map of one quantity, and a line each on areas and feedback.

    ``shown`` is ``level``, ``speech`` or an octave from 63 to 8000 Hz.

    Raises
    ------
    EditError
        There is no such quantity.
    """
    heard, ringing = _heard(look)
    values = [_values(each, shown) for each in heard.areas]
    scale = steps_over(values, is_speech=shown == "speech")
    lines = [area_words(each) for each in heard.areas]
    ring = feedback_words(ringing)
    remarks = {each.what: each for each in (*heard.remarks, *ringing.remarks)}
    return {
        "shown": shown,
        "limits": list(scale.limits),
        "areas": [
            _area(each, own, scale, shown) for each, own in zip(heard.areas, values, strict=True)
        ],
        "lines": [_said(each) for each in lines],
        "feedback": None if ring is None else _said(ring),
        "remarks": [{"severity": each.severity, "what": each.what} for each in remarks.values()],
    }


def _heard(look: Look) -> tuple[Heard, Ringing]:
    """Worked out once for a state of a show, whatever is shown of it."""
    known: tuple[Solution, Heard, Ringing] | None = look.kept.get(_HEARD)
    if known is None or known[0] is not look.solution:
        known = look.solution, heard_of(played_by(look.solution)), ringing_of(look.solution)
        look.kept[_HEARD] = known
    return known[1], known[2]


def _said(said: Said) -> Json:
    return {"what": said.what, "next": said.next}


def _values(area: AreaHeard, shown: str) -> np.ndarray[Any, np.dtype[np.float64]]:
    """What a seat's cell tells: a level, or the index."""
    if shown == "level":
        return area.seats.a_weighted_db
    if shown == "speech":
        return np.empty(0) if area.speech is None else area.speech.sti
    octave = _OCTAVES.get(shown)
    if octave is None:
        raise EditError(
            f"no map of {shown[:40]!r}",
            where="page",
            expected=f"level, speech, {', '.join(_OCTAVES)}",
            remedy="Load the page again.",
        )
    return np.asarray(octave_levels_db(area.seats.level_db)[:, octave])


_OCTAVES: Final[Mapping[str, int]] = {
    str(hz): number
    for number, hz in enumerate((63, 125, 250, 500, 1000, 2000, 4000, 8000), OCTAVES.start)
}


def _area(
    area: AreaHeard, values: np.ndarray[Any, np.dtype[np.float64]], scale: Steps, shown: str
) -> Json:
    """Seats of an area as columns of numbers; what a page has to write is rounded."""
    places_m = area.seats.places_m
    ratio = np.median(area.seats.direct_to_reverberant_db[:, MIDDLE_BANDS], axis=1)
    digits = 2 if shown == "speech" else 0
    return {
        "name": area.area.name,
        "size": _cell_m(area),
        "right": places_m[:, 0].round(3).tolist(),
        "into": places_m[:, 1].round(3).tolist(),
        "figures": [f"{value:.{digits}f}" for value in values.tolist()],
        "steps": [scale.of(value) for value in values.tolist()],
        "level": area.seats.a_weighted_db.round(1).tolist(),
        "direct": ratio.round(1).tolist() if np.isfinite(ratio).all() else None,
        "sti": None if area.speech is None else area.speech.sti.round(2).tolist(),
    }


def _cell_m(area: AreaHeard) -> list[float] | None:
    """Width and depth of a seat's cell; nothing for a single place. [m]"""
    if len(area.area.corners_m) == 1:
        return None
    corners = np.array(area.area.corners_m)
    whole = corners.max(0) - corners.min(0)
    sizes = []
    for axis in (0, 1):
        middles = np.unique(area.seats.places_m[:, axis].round(6))
        sizes.append(float(np.diff(middles).min()) if middles.size > 1 else float(whole[axis]))
    return [round(each, 4) for each in sizes]
