"""Of sockets that words fit alike, the two that are made for one another."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product
from typing import Final

from levelhead.gear.book import GearBook
from levelhead.gear.plan import PortPlan
from levelhead.gear.plan.ways import block_of, hears
from levelhead.planning.typed.candidates import Candidate
from levelhead.planning.typed.conditions import Condition
from levelhead.planning.typed.fitting import switch_settings

__all__ = ["ALIKE", "is_other_signal", "paired", "strangeness"]

ALIKE: Final = 0.05  # scores nearer than this are one
_OTHER_SIGNAL: Final = 4  # a jack before a network
_NO_POWER: Final = 2  # a line output before a loudspeaker, or the other way round
_OTHER_CONNECTOR: Final = 1
_ONE_SIDE: Final = 2  # of what is worn on both ears
_MAKESHIFT: Final = 1  # a link of an input, a loudspeaker-level input: where nothing else is there

_UNFED: Final = 2  # what lives on phantom power, where no switch feeds it
_NAMED_ALIKE: Final = (
    0.2  # scores nearer than this differ by a word that was not typed: PA, PA head
)

_CHOSEN_BY_FIT: Final = frozenset({"loudspeaker", "box"})

Candidates = tuple[Candidate, ...]


def paired(book: GearBook, first: Candidates, second: Candidates) -> tuple[Candidates, Candidates]:
    """Both lists with the pair in front that goes together best; else their order stays.

    Only loudspeakers and boxes of several types change places, of desks and others the sockets of
    the one that stands first; of what gives only those towards a socket that drives loudspeakers,
    or headphones, where one of those is asked into: who says no more than "amp" means that,
    whatever it is plugged into. What lives on phantom power goes into what feeds it, where such
    gear goes by the words that were typed.
    """
    is_hungry = _is_hungry(book, first[0])
    ends = _alike(second, _NAMED_ALIKE if is_hungry else ALIKE)
    if book.entry(second[0].type_id).kind not in _CHOSEN_BY_FIT:
        ends = _of_one_type(ends)
    are_worn = any(_is_worn(book, each) for each in ends) and _port(book, first[0]).role == "out"
    starts = _alike(first) if are_worn else _of_one_type(_alike(first))
    if book.entry(first[0].type_id).kind == "microphone":  # one that has the plug for it
        starts = list({each.type_id: each for each in reversed(_alike(first))}.values())[::-1]
    elif not are_worn and not any(_takes_power(_port(book, each)) for each in ends):
        starts = starts[:1]
    pairs = product(enumerate(starts), enumerate(ends))
    ports = {each.address: _port(book, each) for each in (*starts, *ends)}

    def by_fit(pair: tuple[tuple[int, Candidate], tuple[int, Candidate]]) -> tuple[int, int]:
        (place, start), (other, end) = pair
        cost = strangeness(ports[start.address], ports[end.address])
        one_side = len(ports[start.address].signals) < len(ports[end.address].signals)
        cost += _ONE_SIDE * (one_side and _is_worn(book, end))
        cost += _UNFED * (is_hungry and not _feeds(book, end))
        return cost, place + other

    (_, start), (_, end) = min(pairs, key=by_fit)
    return _in_front(first, start), _in_front(second, end)


def _alike(found: Candidates, within: float = ALIKE) -> Sequence[Candidate]:
    return [each for each in found if each.score > found[0].score - within]


def _of_one_type(found: Sequence[Candidate]) -> Sequence[Candidate]:
    return [each for each in found if each.type_id == found[0].type_id]


def _in_front(found: Candidates, chosen: Candidate) -> Candidates:
    return chosen, *(each for each in found if each is not chosen)


def _port(book: GearBook, candidate: Candidate) -> PortPlan:
    return block_of(candidate.plan(book), candidate.port)[1]


def _is_hungry(book: GearBook, candidate: Candidate) -> bool:
    """Whether it is a microphone that runs on phantom power, and on nothing else."""
    plan = candidate.plan(book)
    return hears(plan) and {way.kind for way in plan.powered_by} == {"phantom"}


def _feeds(book: GearBook, candidate: Candidate) -> bool:
    """Whether gear has a switch for phantom power at a socket."""
    plan = candidate.plan(book)
    block, port = block_of(plan, candidate.port)
    on = Condition("phantom", "", text="on")
    return port.figure("phantom") is not None or bool(switch_settings(book, plan, block, on))


def _is_worn(book: GearBook, candidate: Candidate) -> bool:
    """Whether it is headphones, which take both sides of a headphone output on one plug."""
    return candidate.plan(book).is_worn and len(_port(book, candidate).signals) > 1


def is_other_signal(start: PortPlan, end: PortPlan) -> bool:
    """Whether two sockets carry different things: music and numbers, loudspeaker power and line."""
    return start.carries != end.carries or _gives_power(start) != _takes_power(end)


def strangeness(start: PortPlan, end: PortPlan) -> int:
    """How far two sockets are from being made for one another; 0 where they are."""
    is_other = not _connectors(start) & _connectors(end)
    power = _NO_POWER * (_gives_power(start) != _takes_power(end))
    is_makeshift = start.role == "through" or (end.is_for_loudspeakers and not end.is_load)
    cost = power + _OTHER_CONNECTOR * is_other + _MAKESHIFT * is_makeshift
    return cost + _OTHER_SIGNAL * (start.carries != end.carries)


def _gives_power(port: PortPlan) -> bool:
    """Whether it drives loudspeakers, or hands on what drives them."""
    return port.role == "loudspeaker" or (port.role == "through" and port.is_for_loudspeakers)


def _takes_power(port: PortPlan) -> bool:
    return port.is_load or port.is_for_loudspeakers


def _connectors(port: PortPlan) -> frozenset[str]:
    family = port.socket.partition("-")[0]
    return frozenset({"xlr", "jack"} if family == "combo" else {family})
