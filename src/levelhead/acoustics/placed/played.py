"""What a solved show plays into its place: loudspeakers as they are driven, where they stand."""

from __future__ import annotations

from collections.abc import Hashable, Iterable
from dataclasses import dataclass

import numpy as np

from levelhead.acoustics.placed.beyond_walls import beyond_walls
from levelhead.acoustics.placed.box_signals import hissing, playing
from levelhead.acoustics.placed.boxes import Box, boxes_of
from levelhead.acoustics.placed.of_room import Located, locate
from levelhead.acoustics.remarks import Remark
from levelhead.acoustics.sound.loudspeaker import Loudspeaker
from levelhead.chain.solution import Solution
from levelhead.show.model import Show

__all__ = ["Played", "played_by", "speaking"]

STEP_DB = 0.01  # levels that differ by less are one
STEP_S = 1e-5


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Played:
    """Loudspeakers of a show at their places: all that plays, and the voices alone."""

    show: Show
    located: Located
    boxes: tuple[Box, ...]
    loudspeakers: tuple[Loudspeaker, ...]
    speakers: tuple[Loudspeaker, ...]
    hiss: tuple[Loudspeaker, ...]
    remarks: tuple[Remark, ...]

    @property
    def content(self) -> Hashable:
        """Equal where all that listeners get is equal."""
        place = repr((self.show.room, dict(self.show.areas)))
        return place, *map(_content, (self.loudspeakers, self.speakers, self.hiss))


def _content(loudspeakers: Iterable[Loudspeaker]) -> Hashable:
    return tuple(
        (
            each.name,
            each.signal,
            each.inverted,
            round(each.delay_s / STEP_S),
            each.at_m.tobytes(),
            each.axis.tobytes(),
            (each.level_db / STEP_DB).round().tobytes(),
            each.directivity.q.tobytes(),
        )
        for each in loudspeakers
    )


def speaking(solution: Solution, *, spoken: bool = False) -> frozenset[str]:
    """Sources that are voices; of those the ``spoken`` ones, which are to be understood.

    Speech is loud enough further below the zero of a meter than music; so its type says.
    """
    book, show = solution.rig.book, solution.rig.show
    return frozenset(
        each.id
        for each in solution.rig.sources
        if book.entry(show.sources[each.id].type).kind == "voice"
        and (each.air.under_zero_db is not None or not spoken)
    )


def played_by(
    solution: Solution, *, spoken: bool = False, only: frozenset[str] | None = None
) -> Played:
    """What a solved show plays, everything at its loud passage.

    Parameters
    ----------
    spoken : bool
        Voices are those that are to be understood, no singers.
    only : frozenset of str, optional
        Sources whose sound counts, and nothing else.
    """
    located = locate(solution.rig.show)
    boxes, remarks = boxes_of(solution)
    loudspeakers = playing(solution, boxes, only=only)
    voices = speaking(solution, spoken=spoken)
    places = [(each.name, each.at_m) for each in boxes]
    places += [(area.name, np.array(at)) for area in located.areas for at in area.corners_m]
    return Played(
        show=solution.rig.show,
        located=located,
        boxes=tuple(boxes),
        loudspeakers=tuple(loudspeakers),
        speakers=tuple(playing(solution, boxes, only=voices)) if voices else (),
        hiss=tuple(hissing(solution, boxes)),
        remarks=(*located.remarks, *beyond_walls(solution.rig.show, places), *remarks),
    )
