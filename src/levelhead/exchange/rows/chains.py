"""From a few words to what stands before a strip: gear, boxes, and the usual leads between them."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from typing import Final

from levelhead.errors import AskError, EditError
from levelhead.exchange.rows.needs_gear import NeedsGearError
from levelhead.gear.book import GearBook
from levelhead.gear.connectors import CONNECTORS
from levelhead.planning.moves.boxes import fans, plain_boxes
from levelhead.planning.proposal.additions import Chain, Output, chains_for, meanings
from levelhead.planning.stock import taken
from levelhead.planning.typed.candidates import Candidate
from levelhead.planning.typed.words import tokens
from levelhead.rig.model import RigPort
from levelhead.rig.usual import usual_cable
from levelhead.show.edits import AddItem, AddSource, Edit, Plug
from levelhead.show.model import Item, Link, Show

__all__ = ["Standing", "standing"]

_THROUGH: Final = re.compile(r"\s*(?:\bthrough\b|\bvia\b|>|\+)\s*", re.IGNORECASE)
_PAIR: Final = 2
_SIDES: Final = ("-left", "-right")


@dataclass(frozen=True, slots=True)
class Standing:
    """What comes to stand before a strip: edits that add it, and its plugs into the strip."""

    head: Item
    edits: tuple[Edit, ...]
    plugs: tuple[Plug, ...]

    def called(self, label: str) -> Standing:
        """The same with what makes the sound called something: the voice, else the item."""
        if any(isinstance(edit, AddSource) for edit in self.edits):
            named: list[Edit] = [
                AddSource(replace(edit.source, label=label))
                if isinstance(edit, AddSource)
                else edit
                for edit in self.edits
            ]
            return replace(self, edits=tuple(named))
        return self.with_head(replace(self.head, label=label))

    def with_head(self, head: Item) -> Standing:
        """The same with more said about its first item."""
        edits = tuple(
            AddItem(head) if isinstance(edit, AddItem) and edit.item.id == head.id else edit
            for edit in self.edits
        )
        return replace(self, head=head, edits=edits)


def standing(
    show: Show, book: GearBook, strip: Sequence[RigPort], text: str, *, is_gear: bool, where: str
) -> Standing:
    """What the words mean, with the usual leads into the first sockets of the strip that fit.

    Parameters
    ----------
    show, book
        Ids that are taken, stock, and gear.
    strip : sequence of RigPort
        Sockets of the strip.
    text : str
        A type's id, or words: ``vocal mic``, ``keyboard through DI``. Words for a source
        (``is_gear`` false) may be anybody's name, and then mean nothing.
    where : str
        The row, for messages.

    Raises
    ------
    EditError
        The words mean no gear, or nothing goes from it into the strip by one lead.
    """
    head, *boxes = _THROUGH.split(text) if is_gear else [text]
    for meant in _meant(book, head, is_gear=is_gear, where=where):
        for chain in chains_for(show, book, meant):
            if _goes_through(book, chain, boxes):
                plugs = _plugs(show, book, chain, strip)
                if plugs:
                    return Standing(_head(chain), chain.edits, plugs)
    raise EditError(
        f"nothing goes from '{text}' into this strip by one lead",
        where=where,
        expected="gear whose plug fits, maybe through a box: keyboard through DI",
        remedy="Try it with a DI box, or in another strip.",
    )


def _meant(book: GearBook, text: str, *, is_gear: bool, where: str) -> tuple[Candidate, ...]:
    words = text.split()
    try:
        for said in (text, words[-1], words[0]) if words and not is_gear else ():
            with suppress(AskError):  # "lead singer", "keys Ben": one word may tell
                return meanings(book, said)
        return meanings(book, text)
    except AskError as error:
        if not is_gear:
            raise NeedsGearError.of(where) from error
        raise EditError(
            f"no gear of the book fits '{text}'",
            where=where,
            expected="a microphone, an instrument or a player, by what people call it",
            remedy="Type a few letters and pick from the list.",
        ) from error


def _head(chain: Chain) -> Item:
    return next(edit.item for edit in chain.edits if isinstance(edit, AddItem))


def _goes_through(book: GearBook, chain: Chain, boxes: Sequence[str]) -> bool:
    """Whether the chain has the boxes that were named, and no other."""
    own = chain.types[1:]
    return len(own) == len(boxes) and all(
        type_id in set(_boxes_called(book, words))
        for type_id, words in zip(own, boxes, strict=True)
    )


def _boxes_called(book: GearBook, words: str) -> Iterator[str]:
    """Boxes whose names hold all the words."""
    asked = tokens(words)
    for box in plain_boxes(book):
        entry = book.entry(box.type_id)
        names = (box.type_id.replace("-", " "), entry.label, *entry.words)
        if words == box.type_id or asked <= frozenset().union(*map(tokens, names)):
            yield box.type_id


def _plugs(show: Show, book: GearBook, chain: Chain, strip: Sequence[RigPort]) -> tuple[Plug, ...]:
    """Left and right into left and right, a stereo socket by a lead of three ends, or one plug."""
    sides = [port for port in strip if port.plan.name.endswith(_SIDES)]
    if len(chain.outputs) == _PAIR:
        pairs = zip(chain.outputs, sides, strict=False)
        found = [_plug(show, book, output, port) for output, port in pairs]
        plugs = tuple(each for each in found if each is not None)
        return plugs if len(plugs) == _PAIR else ()
    output = chain.outputs[0]
    if len(output.plan.signals) == _PAIR and len(sides) == _PAIR:
        lead = next(fans(book, output.plan, sides[0].plan, sides[1].plan), None)
        if lead is not None:
            ends = {"a": output.address, "left": sides[0].address, "right": sides[1].address}
            return (Plug(Link(ends, (taken(show, lead.type_id, lead.usual_length_m),))),)
    likely = sorted(strip, key=lambda port: _strangeness(output, port))
    plugs_in_order = (_plug(show, book, output, port) for port in likely)
    return tuple(each for each in plugs_in_order if each is not None)[:1]


def _strangeness(output: Output, port: RigPort) -> tuple[bool, bool]:
    """Like plugs first; what is not balanced rather into a jack than into a microphone input."""
    start, end = output.plan.socket, port.plan.socket
    is_balanced = CONNECTORS[start].is_balanced
    return start.partition("-")[0] != end.partition("-")[0], not is_balanced and "xlr" in end


def _plug(show: Show, book: GearBook, output: Output, port: RigPort) -> Plug | None:
    cable = usual_cable(book, output.plan, port.plan)
    if cable is None:
        return None
    via = taken(show, cable.type_id, cable.usual_length_m)
    return Plug(Link({"a": output.address, "b": port.address}, (via,)))
