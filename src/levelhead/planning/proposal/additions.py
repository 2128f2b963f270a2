"""What may be added to a show: a voice with what hears it, or gear with what joins it to a desk."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice
from typing import Final

from levelhead.errors import AskError
from levelhead.gear.book import GearBook
from levelhead.gear.connectors import CONNECTORS
from levelhead.gear.plan import PortPlan
from levelhead.planning.asked.heard_by import usual_distance_m
from levelhead.planning.moves.boxes import PlainBox, plain_boxes
from levelhead.planning.stock import has_type, taken
from levelhead.planning.typed.candidates import Candidate
from levelhead.planning.typed.names import find_candidates, find_sources
from levelhead.rig.usual import BESIDE_M, usual_cable
from levelhead.show.addresses import is_id
from levelhead.show.edits import AddItem, AddSource, Edit, Plug
from levelhead.show.model import Item, Link, Show, Source

__all__ = ["Chain", "Output", "chains_for", "meanings"]

_ADDED: Final = frozenset({"microphone", "instrument", "player", "feed"})  # what makes a signal
_MOST_MICROPHONES: Final = 4  # of the book for one voice, besides the first for others
_MOST_BOXES: Final = 3
_MOST_OUTPUTS: Final = 2
_ALIKE: Final = 1e-6


@dataclass(frozen=True, slots=True)
class Output:
    """An output of what is added, by its address in the show."""

    address: str
    plan: PortPlan


@dataclass(frozen=True, slots=True)
class Chain:
    """What is added up to the plug that goes into the desk.

    ``outputs`` has two for a left and a right one. ``kind`` is that of the first item, by which
    the length of the cable is guessed; ``what`` says it in the trade's words. ``brought`` is what
    comes along with who plays it, and needs no stock.
    """

    what: str
    types: tuple[str, ...]
    kind: str
    edits: tuple[Edit, ...]
    outputs: tuple[Output, ...]
    brought: tuple[Edit, ...] = ()


def meanings(book: GearBook, text: str) -> tuple[Candidate, ...]:
    """What the text means: a type's id, or the voice, instrument or gear that fits best.

    An instrument that is in the book both in the air and with a socket is both.

    Raises
    ------
    AskError
        Nothing that makes a sound fits.
    """
    heard = find_sources(book, text)
    joined = [each for each in find_candidates(book, text, "from") if _makes_a_signal(book, each)]
    if text in book.ids:
        heard = [Candidate(text, "", book.entry(text).label, 1)] if book.entry(text).air else []
        joined = [each for each in _outputs_of(book, text) if _makes_a_signal(book, each)]
    best = sorted([*heard[:1], *joined[:1]], key=lambda each: -each.score)
    if not best:
        raise AskError(
            f"nothing that makes a sound fits '{text}'",
            where="ask",
            expected="a voice, an instrument, a player or a microphone",
            remedy="Look through them with: levelhead gear --search WORD",
        )
    return tuple(each for each in best if each.score > best[0].score - _ALIKE)


def _outputs_of(book: GearBook, type_id: str) -> Iterator[Candidate]:
    plan = book.plan(type_id, {}, {}) if book.entry(type_id).ends is None else None
    for block in plan.blocks if plan is not None else ():
        for name, port in block.plan.ports.items():
            if port.role == "out":
                yield Candidate(type_id, block.address(name), book.entry(type_id).label, 1)


def _makes_a_signal(book: GearBook, candidate: Candidate) -> bool:
    return book.entry(candidate.type_id).kind in _ADDED


def chains_for(show: Show, book: GearBook, meant: Candidate) -> Iterator[Chain]:
    """Chains for one meaning: gear in stock first, then what is common."""
    if not meant.port:
        for type_id in _microphones(show, book, meant.type_id):
            yield from _heard(show, book, type_id, meant.type_id)
    elif book.entry(meant.type_id).kind == "microphone":
        yield from _heard(show, book, meant.type_id, book.entry(meant.type_id).usual.source)
    else:
        yield from _joined(show, book, meant)


# --- what is in the air ---


def _microphones(show: Show, book: GearBook, source: str) -> Iterator[str]:
    """Those in stock, then of those that usually hear such a thing the first of the book."""
    kind = book.entry(source).kind
    all_ = book.of_kind("microphone")
    stocked = [each for each in all_ if has_type(show, each)]
    usual = {each: book.entry(each).usual.source for each in all_}
    own = [each for each in all_ if usual[each] == source]
    own += [each for each in all_ if source in book.entry(each).usual.also]
    alike = [each for each in all_ if usual[each] and book.entry(str(usual[each])).kind == kind]
    others = [each for each in alike if each not in own]
    common = [*own[:_MOST_MICROPHONES], *others[: 1 + max(_MOST_MICROPHONES - len(own), 0)]]
    yield from dict.fromkeys([*stocked, *common])


def _heard(show: Show, book: GearBook, type_id: str, source: str | None) -> Iterator[Chain]:
    """A microphone in front of a source: a chain for each of its outputs."""
    entry = book.entry(type_id)
    item = Item(show.next_id(type_id), type_id)
    edits: list[Edit] = [AddItem(item)]
    what = entry.label
    if source is not None:
        distance_m = usual_distance_m(book, type_id, source)
        edits.append(AddSource(Source(_source_id(show, book, source), source, item.id, distance_m)))
    for output in islice(_plain_outputs(book, item), _MOST_OUTPUTS):
        yield Chain(what, (type_id,), entry.kind, tuple(edits), (output,))


def _source_id(show: Show, book: GearBook, source: str) -> str:
    words = book.entry(source).words
    name = words[0].replace(" ", "-") if words else source
    stem = name if is_id(name) else source
    return _first_free(stem, {*show.sources, *show.items})


# --- what has a socket ---


def _joined(show: Show, book: GearBook, meant: Candidate) -> Iterator[Chain]:
    """Gear plugged in as it is, left and right, or through boxes."""
    entry = book.entry(meant.type_id)
    item = Item(show.next_id(meant.type_id), meant.type_id, supply=_supply(show, book, meant))
    outputs = {each.address: each for each in _plain_outputs(book, item)}
    first = outputs.get(f"{item.id}.{meant.port}") or next(iter(outputs.values()), None)
    if first is None:
        return
    pair = _pair(outputs, first)
    added = (AddItem(item),)
    if len(pair) > 1:
        yield Chain(
            f"{entry.label}, left and right", (meant.type_id,), entry.kind, added, pair, added
        )
    what = f"{entry.label}, left alone" if len(pair) > 1 else entry.label
    yield Chain(what, (meant.type_id,), entry.kind, added, (first,), added)
    for box in _boxes(show, book):
        for outs in (pair, (first,)) if len(pair) > 1 else ((first,),):
            chain = _through(
                show, book, Chain(what, (meant.type_id,), "box", added, outs, added), box
            )
            if chain is not None:
                yield chain


def _boxes(show: Show, book: GearBook) -> list[PlainBox]:
    """Boxes in stock, then the first of those that make a plain jack balanced."""
    boxes = list(plain_boxes(book))
    stocked = [box for box in boxes if has_type(show, box.type_id)]
    common = [box for box in boxes if box not in stocked and _makes_balanced(box)]
    return [*stocked, *common[:_MOST_BOXES]]


def _makes_balanced(box: PlainBox) -> bool:
    entry, leaving = (CONNECTORS[port.socket] for port in (box.entry, box.leaving))
    return leaving.is_balanced and not entry.is_balanced


def _through(show: Show, book: GearBook, chain: Chain, box: PlainBox) -> Chain | None:
    """A chain on through a box for each of its outputs; ``None`` when no lead fits."""
    edits, outputs = list(chain.edits), []
    used = set(show.items)
    for output in chain.outputs:
        cable = usual_cable(book, output.plan, box.entry)
        if cable is None:
            return None
        name = _first_free(f"{box.type_id}-1", used)
        used.add(name)
        ends = {"a": output.address, "b": f"{name}.{box.entry.name}"}
        lead = taken(show, cable.type_id, BESIDE_M)
        edits += [AddItem(Item(name, box.type_id)), Plug(Link(ends, (lead,)))]
        outputs.append(Output(f"{name}.{box.leaving.name}", box.leaving))
    label = book.entry(box.type_id).label
    count = f"{len(outputs)} x " if len(outputs) > 1 else ""
    what = f"{book.entry(chain.types[0]).label} through {count}{label}"
    return Chain(
        what, (*chain.types, box.type_id), "box", tuple(edits), tuple(outputs), chain.brought
    )


def _plain_outputs(book: GearBook, item: Item) -> Iterator[Output]:
    for block in book.plan(item.type, {}, {}).blocks:
        for name, port in block.plan.ports.items():
            if port.role == "out":
                yield Output(f"{item.id}.{block.address(name)}", port)


def _pair(outputs: dict[str, Output], first: Output) -> tuple[Output, ...]:
    """A left output with its right one; else the output alone."""
    stem, side, _ = first.address.rpartition("-left")
    right = outputs.get(f"{stem}-right") if side else None
    return (first,) if right is None else (first, right)


def _supply(show: Show, book: GearBook, meant: Candidate) -> str | None:
    """Where gear of its kind is plugged in already."""
    kind = book.entry(meant.type_id).kind
    known = (item for item in show.items.values() if item.supply is not None)
    return next((each.supply for each in known if book.entry(each.type).kind == kind), None)


def _first_free(name: str, used: set[str]) -> str:
    """The name itself, else with the next number that is free."""
    stem, dash, last = name.rpartition("-")
    stem = stem if dash and last.isdigit() else name
    number = 1
    while name in used:
        number += 1
        name = f"{stem}-{number}"
    return name
