"""Whether what takes was typed before what gives: ``headphones``, ``mixer headphone out``."""

from __future__ import annotations

from typing import Final

from levelhead.gear.book import GearBook
from levelhead.gear.plan import PortPlan
from levelhead.gear.plan.ways import block_of
from levelhead.planning.asked.little_rig import Question
from levelhead.planning.typed.candidates import Candidate
from levelhead.planning.typed.conditions import Read
from levelhead.planning.typed.names import matched
from levelhead.planning.typed.words import tokens

__all__ = ["is_backwards", "names_an_output", "only_takes"]

_LINKS: Final = tokens("link thru through")
_GIVES: Final = tokens("out output send") | _LINKS


def names_an_output(book: GearBook, read: Read) -> bool:
    """Whether a text names something that gives, and not that into which it goes."""
    said = tokens(read.rest)
    if "input" in said:
        return False
    takes = matched(book, read.rest, "to", read.conditions)
    port = block_of(takes[0].plan(book), takes[0].port)[1] if takes else None
    is_out = port is not None and port.role in {"out", "insert"} and not port.channels
    return is_out or bool(said & _GIVES - _LINKS)


def only_takes(book: GearBook, first: Read, second: Read) -> bool:
    """Whether the first text is gear that gives nothing, and the second something that does.

    >>> from levelhead.gear.book import load_book
    >>> from levelhead.planning.typed.conditions import read_text
    >>> only_takes(load_book(), read_text("headphones"), read_text("desk"))
    True
    """
    if tokens(first.rest) & _GIVES or "input" in tokens(second.rest):
        return False
    takes = matched(book, first.rest, "to", first.conditions)
    gives = matched(book, second.rest, "from", second.conditions)
    own = matched(book, first.rest, "from", first.conditions)
    is_source = bool(own and takes) and own[0].score >= takes[0].score
    return bool(takes and gives) and not takes[0].unmet and not is_source


def is_backwards(
    book: GearBook, question: Question, reads: tuple[Read, Read], ends: tuple[Candidate, Candidate]
) -> bool:
    """Whether what takes was typed before what gives: ``headphones``, ``mixer headphone out``.

    The second text names an output, the first none, and that goes by its words as well as gear
    that takes: a laptop does not. An insert sends and takes back on one lead.
    """
    first, second = ends
    is_chosen = question.from_address or question.to_address
    if is_chosen or tokens(reads[0].rest) & _GIVES:
        return False
    gives = matched(book, reads[1].rest, "from", reads[1].conditions)
    if gives and _gives_nothing(book, first, gives[0]):
        return "input" not in tokens(reads[1].rest)  # two cabinets, guitar amp
    if not names_an_output(book, reads[1]):
        return False
    port = _port(book, second)
    takes = matched(book, reads[0].rest, "to", reads[0].conditions)
    if not gives or not takes or not takes[0].unmet <= first.unmet:
        return False
    is_as_well = port.role == "insert" and gives[0].address == second.address
    return takes[0].score >= first.score and (is_as_well or gives[0].score > second.score)


def _port(book: GearBook, candidate: Candidate) -> PortPlan:
    return block_of(candidate.plan(book), candidate.port)[1]


def _gives_nothing(book: GearBook, candidate: Candidate, other: Candidate) -> bool:
    """Whether it is a loudspeaker, which only hands on what it gets, before gear that feeds it."""
    plan = candidate.plan(book)
    block, port = block_of(plan, candidate.port)
    into = block.plan.ports.get(port.joined or "")
    kinds = plan.kind, other.plan(book).kind
    is_linked = kinds[0] == kinds[1]  # one loudspeaker to the next
    if kinds[0] != "loudspeaker" or is_linked or port.role != "through" or into is None:
        return False
    return _port(book, other).role in {"loudspeaker", "out"}
