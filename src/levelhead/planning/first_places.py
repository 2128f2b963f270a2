"""A layout to begin with, for things of a show that have no place yet.

Loudspeakers for the audience stand left and right at the stage's edge, the desk opposite at the
back, voices along the front of the stage, each wedge before one of them. Distances are common
practice; nothing that has a place is moved, and nothing is taken over by itself.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from levelhead.acoustics.sound.directivity import ALL_AROUND_DEG
from levelhead.rig.model import Rig
from levelhead.show.edits import Aim, Edit, Move
from levelhead.show.model import Place
from levelhead.verdicts.read.reach import is_for_the_stage

__all__ = ["first_place", "first_places"]

HALF_STAGE_M: Final = 4.0  # where no room is told: a small stage
TO_THE_WALL_M: Final = 1.5  # loudspeakers stand so far inside the walls
TOP_M: Final = 2.2  # over heads that stand
AIM_M: Final = 1.2  # ears of people who sit
BACK_M: Final = 12.0  # the desk, where no room is told
BACK_SHARE: Final = 0.8  # of the hall's depth
APART_M: Final = 1.2  # voices side by side
VOICE: Final = (-1.0, 1.5)  # into the hall, up
ROW_M: Final = 1.0  # from one row of voices to the next: a choir on risers, common practice
WEDGE_BEFORE_M: Final = 1.0
BACKLINE: Final = (-2.5, 0.9)
_GROUPS: Final = {
    "microphone": "microphone",
    "instrument": "backline",
    "mixer": "desk",
    "player": "desk",
}


@dataclass(frozen=True, slots=True)
class _Hall:
    """How far to the sides loudspeakers go, and how far down the hall its middle and desk are."""

    half_m: float
    middle_m: float
    desk_m: float


def first_places(rig: Rig) -> list[Edit]:
    """Moves and aims for everything without a place; none where all have one."""
    hall = _hall(rig)
    groups: dict[str, list[str]] = {}
    for item in rig.show.items.values():
        if item.at is None:
            groups.setdefault(_group(rig, item.id), []).append(item.id)
    singers = _fronts(rig, groups.get("microphone", []), hall)
    back_m = min((at[1] for at, _ in singers.values()), default=0.0) - ROW_M
    found: dict[str, tuple[Place, Place | None]] = {
        **_pairs(groups.get("loudspeaker", []), hall),
        **_row(groups.get("subwoofer", []), into_m=0.5, up_m=0.0, apart_m=APART_M),
        **singers,
        **_before(groups.get("wedge", []), _mouths(rig, singers)),
        **_row(
            groups.get("backline", []),
            into_m=min(BACKLINE[0], back_m),
            up_m=BACKLINE[1],
            apart_m=1.5,
        ),
        **_row(groups.get("desk", []), into_m=hall.desk_m, up_m=1.0, apart_m=1.5),
        **_side(groups.get("side", []), hall),
    }
    return [edit for name in rig.show.items if name in found for edit in _edits(name, found[name])]


def first_place(rig: Rig, item: str) -> list[Edit]:
    """The same for one item that has no place; none where it has one."""
    return [
        each for each in first_places(rig) if isinstance(each, (Move, Aim)) and each.item == item
    ]


def _edits(name: str, place: tuple[Place, Place | None]) -> Iterator[Edit]:
    at, aim = place
    yield Move(name, _rounded(at))
    if aim is not None:
        yield Aim(name, _rounded(aim))


def _rounded(place: Place) -> Place:
    right, into, up = (round(each, 2) + 0.0 for each in place)
    return right, into, up


def _hall(rig: Rig) -> _Hall:
    """What the room's corners leave, else a small stage."""
    corners = () if rig.show.room is None else rig.show.room.corners
    if not corners:
        return _Hall(HALF_STAGE_M, BACK_M / 2, BACK_M)
    rights = [right for right, _ in corners]
    half_m = min(max(rights) - TO_THE_WALL_M, -min(rights) - TO_THE_WALL_M, 2 * HALF_STAGE_M)
    back_m = max(1.0, *(into for _, into in corners))
    return _Hall(max(half_m, 1.0), back_m / 2, BACK_SHARE * back_m)


def _group(rig: Rig, name: str) -> str:
    """Where things of its kind go."""
    plan = rig.items[name].plan
    if plan.kind == "loudspeaker" and not plan.is_worn:
        if plan.coverage_deg is not None and min(plan.coverage_deg) >= ALL_AROUND_DEG:
            return "subwoofer"
        return "wedge" if is_for_the_stage(rig, name) else "loudspeaker"
    kinds = {
        "microphone": "microphone",
        "instrument": "backline",
        "mixer": "desk",
        "player": "desk",
    }
    return kinds.get(plan.kind, "side")


def _pairs(names: Sequence[str], hall: _Hall) -> dict[str, tuple[Place, Place | None]]:
    """Left and right at the stage's edge, further pairs down the sides, a single one between."""
    found: dict[str, tuple[Place, Place | None]] = {}
    for number, name in enumerate(names):
        side = 0.0 if number == len(names) - 1 and number % 2 == 0 else (-1.0, 1.0)[number % 2]
        into_m = (number // 2) * hall.middle_m
        at = (side * hall.half_m, into_m, TOP_M)
        found[name] = at, (side * hall.half_m / 4, into_m + hall.middle_m, AIM_M)
    return found


def _row(
    names: Sequence[str], *, into_m: float, up_m: float, apart_m: float
) -> dict[str, tuple[Place, Place | None]]:
    """Side by side, around the middle."""
    first = -(len(names) - 1) / 2
    return {
        name: (((first + number) * apart_m, into_m, up_m), None)
        for number, name in enumerate(names)
    }


def _fronts(rig: Rig, names: Sequence[str], hall: _Hall) -> dict[str, tuple[Place, Place | None]]:
    """Microphones along the front, in rows as wide as the stage; those of instruments behind."""
    voices = [name for name in names if _is_voice(rig, name)]
    others = [name for name in names if name not in voices]
    found = _rows(voices, hall, into_m=VOICE[0], up_m=VOICE[1])
    back_m = min((at[1] for at, _ in found.values()), default=0.0) - ROW_M
    return {**found, **_rows(others, hall, into_m=min(BACKLINE[0] - 1.0, back_m), up_m=1.0)}


def _rows(
    names: Sequence[str], hall: _Hall, *, into_m: float, up_m: float
) -> dict[str, tuple[Place, Place | None]]:
    """Side by side as far as the stage goes, then a row behind."""
    each = 1 + int(2 * hall.half_m / APART_M)
    found: dict[str, tuple[Place, Place | None]] = {}
    for number in range(0, len(names), each):
        behind_m = ROW_M * (number // each)
        row = names[number : number + each]
        found |= _row(row, into_m=into_m - behind_m, up_m=up_m, apart_m=APART_M)
    return found


def _is_voice(rig: Rig, name: str) -> bool:
    kinds = [
        rig.book.entry(each.type).kind
        for each in rig.show.sources.values()
        if each.at.partition(".")[0] == name
    ]
    return not kinds or "voice" in kinds


def _mouths(rig: Rig, placed: Mapping[str, tuple[Place, Place | None]]) -> list[Place]:
    """Where voices stand, those placed now and those that had a place."""
    had = [
        item.at
        for item in rig.show.items.values()
        if item.at is not None and rig.items[item.id].plan.kind == "microphone"
    ]
    return [at for at, _ in placed.values()] + had


def _before(names: Sequence[str], mouths: Sequence[Place]) -> dict[str, tuple[Place, Place | None]]:
    """Each wedge on the floor before a voice, turned up to it."""
    found: dict[str, tuple[Place, Place | None]] = {}
    for number, name in enumerate(names):
        right, into, _ = mouths[number % len(mouths)] if mouths else (number * APART_M, -1.0, 0.0)
        found[name] = (right, into + WEDGE_BEFORE_M, 0.0), (right, into - 0.3, 1.6)
    return found


def _side(names: Sequence[str], hall: _Hall) -> dict[str, tuple[Place, Place | None]]:
    """Boxes and racks at the side of the stage, one behind another."""
    return {
        name: ((-hall.half_m, -1.0 - 0.5 * number, 0.3), None) for number, name in enumerate(names)
    }
