"""Whether a sound that was named comes by a microphone, by which, and from how far."""

from __future__ import annotations

from collections.abc import Sequence

from levelhead.gear.book import GearBook
from levelhead.gear.plan.ways import block_of
from levelhead.planning.typed.candidates import Candidate
from levelhead.planning.typed.conditions import Read
from levelhead.planning.typed.names import matched
from levelhead.quantity.parsing import parse_si

__all__ = ["is_miked", "microphones_for", "takes_only_a_jack", "usual_distance_m"]


def takes_only_a_jack(book: GearBook, takes: Sequence[Candidate]) -> bool:
    """Whether the gear that was asked into has a jack there, and no socket for a microphone."""
    if not takes:
        return False
    own = [each for each in takes if each.type_id == takes[0].type_id]
    sockets = {block_of(each.plan(book), each.port)[1].socket for each in own}
    return all(each.startswith("jack") for each in sockets)


def microphones_for(book: GearBook, source: Candidate, *, is_fed: bool) -> tuple[Candidate, ...]:
    """Those that usually hear it, else the first that hears something of its kind.

    Of those of its kind the ones that need phantom power go first, where that is said to be on.
    """
    kind = book.entry(source.type_id).kind
    usual = {each: book.entry(each).usual for each in book.of_kind("microphone")}
    heard = {each: usual[each].source for each in usual}
    own = [each for each, sound in heard.items() if sound == source.type_id]
    own += [each for each in usual if source.type_id in usual[each].also]
    other = [each for each, sound in heard.items() if sound and book.entry(sound).kind == kind]
    own += sorted(other, key=lambda each: is_fed and not _is_fed(book, each))
    if kind == "voice":
        own += [each for each, sound in heard.items() if sound is None]
    found = (matched(book, each, "from") for each in dict.fromkeys(own))
    return tuple(each[0] for each in found if each)


def _is_fed(book: GearBook, type_id: str) -> bool:
    """Whether it runs on phantom power."""
    return any(each.phantom is not None for each in book.entry(type_id).powered_by)


def is_miked(book: GearBook, gear: Sequence[Candidate], into: Read) -> bool:
    """Whether the gear is a loudspeaker, and what it is to go into nothing that drives one."""
    if not gear or book.entry(gear[0].type_id).kind != "loudspeaker":
        return False
    gives = matched(book, into.rest, "from", into.conditions)
    ports = [block_of(each.plan(book), each.port)[1] for each in gives[:1]]
    return not any(port.role == "loudspeaker" for port in ports)


def usual_distance_m(book: GearBook, type_id: str, source: str) -> float | None:
    """The usual distance of the microphone, if it usually hears that, or another voice. [m]"""
    usual = book.entry(type_id).usual
    is_voice = book.entry(source).kind == "voice"
    is_usual = usual.source == source or (
        is_voice and usual.source is not None and book.entry(usual.source).kind == "voice"
    )
    return parse_si(usual.distance, "m") if is_usual and isinstance(usual.distance, str) else None
