"""What buys most before feedback: single moves, each made on a copy, solved, and ranked."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

from levelhead.acoustics.placed.boxes import boxes_of
from levelhead.acoustics.placed.ears import CLOSE_M
from levelhead.acoustics.rings.rings_of import Ringing, ringing_of
from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.errors import LevelheadError
from levelhead.planning.air.low_cuts import low_cut_edits, voice_cut_edits
from levelhead.planning.air.open_microphones import closings
from levelhead.planning.air.other_microphones import other_microphones
from levelhead.rig.build import build_rig
from levelhead.rig.model import Rig, RigSource
from levelhead.rig.settings import setting_text
from levelhead.show.edit_json import edit_to_json
from levelhead.show.edits import Aim, ChangeSource, Edit, Move, Set, apply

__all__ = ["FORWARD_M", "HALF_DB", "RingMove", "nearer_edits", "ring_moves", "solved"]

NEAREST_M: Final = 0.02  # lips at the grille
HALF_DB: Final = 6.0  # louder at half the distance: inverse square
FORWARD_M: Final = 1.0
LEAST_DB: Final = 0.3  # less than that nobody hears
MOST: Final = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class RingMove:
    """One move: in words, as edits, and by how much the margin grows. [dB]"""

    do: str
    edits: tuple[Edit, ...]
    buys_db: float

    def to_json(self) -> dict[str, Any]:
        """As docs/acoustics.md prints it."""
        edits = [edit_to_json(each) for each in self.edits]
        return {"do": self.do, "edits": edits, "buys_db": round(self.buys_db, 1)}


def ring_moves(
    solution: Solution, ringing: Ringing, go_on: Callable[[], None] = lambda: None
) -> list[RingMove]:
    """Moves that help, the best first; none where nothing can ring.

    ``go_on`` is called before each is tried, and raises where nobody waits for them any more.
    """
    if ringing.margin is None:
        return []
    now_db = ringing.margin.median_db
    moves = []
    for do, edits, after in _tried(solution, ringing):
        go_on()
        if after.margin is not None:
            moves.append(RingMove(do=do, edits=edits, buys_db=after.margin.median_db - now_db))
    helping = [each for each in moves if each.buys_db >= LEAST_DB]
    return sorted(helping, key=lambda each: -each.buys_db)[:MOST]


Made = tuple[str, tuple[Edit, ...], Ringing]


def _tried(solution: Solution, ringing: Ringing) -> Iterator[Made]:
    yield from _nearer(solution, ringing)
    yield from _fewer(solution, ringing)
    yield from _forward(solution)
    yield from _low_cuts(solution, ringing)
    yield from _aimed(solution, ringing)
    yield from _other_pattern(solution, ringing)


def solved(solution: Solution, edits: tuple[Edit, ...]) -> Solution | None:
    """The show after edits, solved; nothing where they do not fit."""
    try:
        show, _ = apply(solution.rig.show, edits)
        return solve(build_rig(show, solution.rig.book), solution)
    except LevelheadError:
        return None


def _nearer(solution: Solution, ringing: Ringing) -> Iterator[Made]:
    """A voice half as far from its microphone, whose gain then comes down by what it won.

    Its equaliser stands as it stood: what is won is the gain.
    """
    voiced_m = {each.item.id: each.mouth_m for each in ringing.ears}
    for each in solution.rig.sources:
        edits = nearer_edits(solution, each)
        after = solved(solution, edits) if edits else None
        if after is not None:
            source = solution.rig.show.sources[each.id]
            do = f"{source.called} half as far from the microphone, its gain {HALF_DB:.0f} dB down"
            yield do, edits, ringing_of(after, voiced_m=voiced_m)


def nearer_edits(solution: Solution, source: RigSource) -> tuple[Edit, ...]:
    """A voice half as far from its microphone, and the first free gain behind it 6 dB down.

    There are none where it is as near as can be, too far for that to count, or no gain is free.
    """
    show, half_m = solution.rig.show, source.distance_m / 2
    typed = show.sources.get(source.id)
    control = _first_gain(solution, source)
    if typed is None or source.at != typed.at or control is None:
        return ()
    if half_m < NEAREST_M or source.distance_m > CLOSE_M * 10:
        return ()
    plan = solution.rig.controls[control]
    lower = setting_text(solution.rig.setting_db(control) - HALF_DB, plan)
    return ChangeSource(replace(typed, distance_m=half_m)), Set(control, lower)


def _first_gain(solution: Solution, source: RigSource) -> str | None:
    """The first range on the way of a source that goes down by 6 dB and is not locked."""
    rig = solution.rig
    ways = (way for way in solution.paths if way and way[0] == source.id)
    for address in dict.fromkeys(point for way in ways for point in way[1:]):
        control = solution.point(address).control
        plan = None if control is None else rig.controls[control]
        if control is None or plan is None or plan.kind != "range":
            continue
        if control not in rig.show.locks and rig.setting_db(control) - HALF_DB >= plan.low:
            return control
    return None


def _fewer(solution: Solution, ringing: Ringing) -> Iterator[Made]:
    """Fewer open microphones."""
    for do, edits in closings(solution, ringing):
        after = solved(solution, edits)
        if after is not None:
            yield do, edits, ringing_of(after)


def _forward(solution: Solution) -> Iterator[Made]:
    """A loudspeaker for the audience one metre further into the hall."""
    for box in {each.item.id: each for each in boxes_of(solution)[0]}.values():
        if box.axis[1] <= 0 or box.item.at is None:
            continue
        right, into, up = box.item.at
        edits: tuple[Edit, ...] = (Move(box.item.id, (right, into + FORWARD_M, up)),)
        after = solved(solution, edits)
        if after is not None:
            yield f"{box.name} {FORWARD_M:g} m further into the hall", edits, ringing_of(after)


def _low_cuts(solution: Solution, ringing: Ringing) -> Iterator[Made]:
    """The low cuts of all microphones at once: what rings low rings in each of them."""
    switched = low_cut_edits(solution, ringing.ears)
    after = solved(solution, switched) if switched else None
    if after is not None:
        yield f"low cut in at {_strips(solution.rig, switched)}", switched, ringing_of(after)
    raised = voice_cut_edits(solution, ringing.ears)
    after = solved(solution, raised) if raised else None
    if after is not None:
        yield _raised_words(solution.rig, raised), raised, ringing_of(after)


def _raised_words(rig: Rig, edits: Sequence[Set]) -> str:
    """``low cut at 150 Hz: Desk ch1, ch2``, once for each frequency."""
    dials = [each for each in edits if rig.controls[each.address].kind == "dial"]
    told = (
        f"{value} at {_strips(rig, [each for each in dials if each.value == value])}"
        for value in dict.fromkeys(each.value for each in dials)
    )
    return f"low cut in and up to {', '.join(told)}"


def _strips(rig: Rig, edits: Sequence[Set]) -> str:
    """Strips of some switches, the mixer's name once: ``Desk ch2, ch3``."""
    strips: dict[str, list[str]] = {}
    for each in edits:
        item_id, _, local = each.address.partition(".")
        strips.setdefault(rig.items[item_id].label, []).append(local.rpartition(".")[0])
    return ", ".join(f"{label} {', '.join(names)}" for label, names in strips.items())


def _aimed(solution: Solution, ringing: Ringing) -> Iterator[Made]:
    """A loudspeaker for the audience turned to the far end of the first area."""
    if not solution.rig.show.areas:
        return
    place = ringing.located.areas[0]
    right_m = sum(corner[0] for corner in place.corners_m) / len(place.corners_m)
    into_m = max(corner[1] for corner in place.corners_m)
    aim = (round(right_m, 1), round(into_m, 1), round(place.ear_m, 1))
    for box in {each.item.id: each for each in ringing.boxes}.values():
        if box.axis[1] > 0 and box.item.aim != aim:
            edits: tuple[Edit, ...] = (Aim(box.item.id, aim),)
            after = solved(solution, edits)
            if after is not None:
                yield f"{box.name} turned to the far end of {place.name}", edits, ringing_of(after)


def _other_pattern(solution: Solution, ringing: Ringing) -> Iterator[Made]:
    """Another microphone in the place of one that rings first."""
    for each in other_microphones(solution, ringing, solved):
        yield each.do, each.edits, ringing_of(each.after)
