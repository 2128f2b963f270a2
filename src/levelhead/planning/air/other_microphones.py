"""Another microphone in the place of one: of the same use, with another pattern, as loud as before.

Out of the stock of the show first, else of the gear book. Its gain is set so that the voice comes
as loud as before: what is won is the pattern's alone.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Final

from levelhead.acoustics.placed.ears import Ear, electric_of
from levelhead.acoustics.rings.rings_of import Ringing
from levelhead.chain.solution import Solution
from levelhead.planning.stock import has_type
from levelhead.quantity.bands import ONE_KHZ_BAND
from levelhead.rig.settings import setting_text
from levelhead.show.edits import Edit, Retype, Set, SetFigure

__all__ = ["OtherMicrophone", "other_microphones"]

MOST_EARS: Final = 3  # of the loop, those with the largest share
ALIKE_DB: Final = 0.25
Solved = Callable[[Solution, tuple[Edit, ...]], Solution | None]


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherMicrophone:
    """What takes the place of a microphone: in words, as edits, and the show solved with them."""

    do: str
    edits: tuple[Edit, ...]
    after: Solution


def other_microphones(
    solution: Solution, ringing: Ringing, solved: Solved, *, only_stock: bool = False
) -> Iterator[OtherMicrophone]:
    """For each of the microphones that ring first, all that might stand there in its place."""
    for ear in _first_to_ring(ringing):
        for type_id in _like_it(solution, ear):
            if only_stock and not has_type(solution.rig.show, type_id):
                continue
            own = [SetFigure(ear.item.id, name, None) for name in ear.item.figures]
            swapped: tuple[Edit, ...] = (*own, Retype(ear.item.id, type_id))
            after = solved(solution, swapped)
            if after is None:
                continue
            evened = _evened(after, ear, _gain_db(solution, ringing, ear))
            if evened:
                swapped = (*swapped, *evened)
                after = solved(solution, swapped)
            if after is not None and evened is not None:
                yield OtherMicrophone(do=_words(solution, ear, type_id), edits=swapped, after=after)


def _first_to_ring(ringing: Ringing) -> list[Ear]:
    """Microphones by their share of the loop in the band that rings first."""
    if ringing.margin is None:
        return []
    shares = ringing.margin.microphones[:, ringing.margin.band].tolist()
    pairs = sorted(zip(shares, ringing.ears, strict=True), key=lambda each: -each[0])
    return [ear for share, ear in pairs if share > 0][:MOST_EARS]


def _like_it(solution: Solution, ear: Ear) -> list[str]:
    """Types for the same source with another pattern, what is in stock first."""
    book, show = solution.rig.book, solution.rig.show
    own = book.entry(ear.item.type)
    found = [
        type_id
        for type_id in book.ids
        if book.sketch(type_id).kind == own.kind
        and (entry := book.entry(type_id)).pattern not in (None, own.pattern)
        and (entry.usual.source, set(entry.ports)) == (own.usual.source, set(own.ports))
    ]
    return sorted(found, key=lambda each: not has_type(show, each))


def _words(solution: Solution, ear: Ear, type_id: str) -> str:
    entry, show = solution.rig.book.entry(type_id), solution.rig.show
    label, pattern = entry.label, str(entry.pattern)
    named = label if pattern in label else f"{label} ({pattern})"
    where = " out of the stock" if has_type(show, type_id) else ""
    return f"{ear.name}: {named}{where} in its place, as loud as before"


# ---------------------------------------------------------------- as loud as before


def _gain_db(solution: Solution, ringing: Ringing, ear: Ear) -> float:
    """Gain from pressure at a microphone to all loudspeakers, at 1 kHz. [dB]"""
    gains, _ = electric_of(solution, [ear], list(ringing.boxes))
    power = float((gains[:, 0, ONE_KHZ_BAND] ** 2).sum())
    return 10.0 * math.log10(power) if power > 0 else -math.inf


def _evened(after: Solution, ear: Ear, wanted_db: float) -> tuple[Edit, ...] | None:
    """The first free gain behind it by what it is louder or softer; ``None`` if none does that."""
    from levelhead.acoustics.rings.rings_of import ringing_of

    ringing = ringing_of(after)
    off_db = _gain_now_db(after, ringing, ear) - wanted_db
    if not math.isfinite(off_db):
        return None
    if abs(off_db) < ALIKE_DB:
        return ()
    rig = after.rig
    for control in _controls_behind(after, ringing, ear):
        plan = rig.controls[control]
        value = rig.setting_db(control) - off_db
        if (
            plan.kind == "range"
            and control not in rig.show.locks
            and plan.low <= value <= plan.high
        ):
            return (Set(control, setting_text(value, plan)),)
    return None


def _gain_now_db(after: Solution, ringing: Ringing, ear: Ear) -> float:
    """The same of what stands in its place now."""
    found = [each for each in ringing.ears if each.item.id == ear.item.id]
    return _gain_db(after, ringing, found[0]) if found else -math.inf


def _controls_behind(solution: Solution, ringing: Ringing, ear: Ear) -> list[str]:
    """Controls that a microphone passes on all its ways to loudspeakers, in signal order.

    What stands on the way to headphones alone makes nothing in the air as loud as before.
    """
    sources = {each.id for each in solution.rig.sources if each.at == ear.item.id}
    ends = {solution.graph.points[box.number].address for box in ringing.boxes}
    ways = [way for way in solution.paths if way and way[0] in sources and ends & set(way)]
    if not ways:
        return []
    common = set.intersection(*(set(way) for way in ways))
    controls = (solution.point(each).control for each in ways[0][1:] if each in common)
    return [each for each in dict.fromkeys(controls) if each is not None]
