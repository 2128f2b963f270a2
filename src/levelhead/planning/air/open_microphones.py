"""Microphones closed while nobody speaks into them: each that is open brings its part of the loop.

Twice as many open microphones are 3 dB less before feedback, ``10 lg`` of their number (D. Davis
and E. Patronis, "Sound System Engineering"; `from memory`).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from levelhead.acoustics.placed.ears import Ear
from levelhead.acoustics.placed.played import speaking
from levelhead.acoustics.rings.rings_of import Ringing
from levelhead.chain.solution import Solution
from levelhead.planning.air.low_cuts import strips_of
from levelhead.planning.desks import Desk
from levelhead.show.edits import Edit, Set, Unplug

__all__ = ["closed_edits", "closings"]

OF_ONE_M: Final = 1.0  # farther away a microphone hears more people than one: common practice
SEVERAL: Final = 3  # of two, all but one are one


def closings(solution: Solution, ringing: Ringing) -> Iterator[tuple[str, tuple[Edit, ...]]]:
    """All voices' microphones but one closed; of the rest those of one source together.

    Nobody closes one of two that hear a choir, and while it sings none of them: what the move buys
    holds in its pauses, and the words say so.
    """
    kept, others = _one_in_use(solution, ringing)
    together = closed_edits(solution, others) if kept is not None else ()
    if kept is not None and together:
        yield _alone_words(kept, others), together
    rest = [each for each in ringing.ears if each is not kept and each not in others]
    for who, ears in _by_source(solution, rest):
        edits = closed_edits(solution, ears)
        if edits and len(ears) < len(ringing.ears):
            yield _paused_words(who, ears), edits


def _by_source(solution: Solution, ears: Sequence[Ear]) -> list[tuple[str | None, list[Ear]]]:
    """Microphones that hear one and the same, with what people call it; others one by one."""
    heard = {each.at: each for each in solution.rig.sources}
    found: dict[str, tuple[str | None, list[Ear]]] = {}
    for ear in ears:
        source = heard.get(ear.item.id)
        key, who = (ear.item.id, None) if source is None else (f"~{source.id}", source.label)
        found.setdefault(key, (who, []))[1].append(ear)
    return list(found.values())


def _paused_words(who: str | None, ears: Sequence[Ear]) -> str:
    names = " and ".join(each.name for each in ears)
    if who is None:
        return f"{names} closed while nobody uses it"
    return f"{names} closed while {who} has a pause"


def _alone_words(kept: Ear, others: Sequence[Ear]) -> str:
    return f"{kept.name} open alone, the {len(others)} others closed while nobody uses them"


def _one_in_use(solution: Solution, ringing: Ringing) -> tuple[Ear | None, list[Ear]]:
    """Of microphones that one person each uses the one that rings first, and the others.

    That one of all stays open is the least that closing the others buys.
    """
    voices = speaking(solution)
    told = {each.at: each.id for each in solution.rig.sources if each.distance_m <= OF_ONE_M}
    shares = dict(ringing.shares()[0])
    used = [
        each
        for each in ringing.ears
        if told.get(each.item.id) in voices and shares.get(each.name, 0.0) > 0
    ]
    if len(used) < SEVERAL or len({told[each.item.id] for each in used}) < len(used):
        return None, []
    kept = max(used, key=lambda each: shares[each.name])
    return kept, [each for each in used if each is not kept]


def closed_edits(solution: Solution, ears: Sequence[Ear]) -> tuple[Edit, ...]:
    """Microphones closed: muted where their strip can be, or else unplugged."""
    return tuple(edit for ear in ears for edit in _closed(solution, ear))


def _closed(solution: Solution, ear: Ear) -> tuple[Edit, ...]:
    rig = solution.rig
    item, strip = next(strips_of(solution, ear), (None, None))
    if item is not None and strip is not None:
        mute = Desk(rig, item).muting(strip)
        if mute is not None and mute[0] not in rig.show.locks and mute[0] not in rig.facts:
            return (Set(*mute),)
    links = [link for link in rig.show.links if ear.item.id in link.items]
    return (Unplug(links[0]),) if links else ()
