"""What mends a connection: the right lead of three ends, another box, a box in between.

Boxes in stock come first. None is chosen by its name: it has one way in and one way out, a lead
fits both of its sockets, and what counts is what the solved copy says (``planning.remedy``).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from levelhead.gear.book import GearBook
from levelhead.gear.connectors import mates
from levelhead.gear.plan import CablePlan, PortPlan
from levelhead.planning.moves.candidate import (
    COST_OF_CABLE,
    COST_OF_PURCHASE,
    COST_OF_STOCK,
    Candidate,
    instead,
)
from levelhead.planning.trial import Trial
from levelhead.rig.model import Rig, RigPort
from levelhead.rig.usual import BESIDE_M, is_taken_unasked, usual_cable
from levelhead.show.edits import AddItem, Edit, Plug, Retype, Unplug
from levelhead.show.model import Cable, Item, Link
from levelhead.verdicts.loading.levels import TONE
from levelhead.verdicts.told.finding import Finding
from levelhead.verdicts.wiring.cancelling import CANCELS
from levelhead.verdicts.wiring.lost import LOST

__all__ = [
    "CONNECTION_FAMILIES",
    "PlainBox",
    "between",
    "boxes_and_leads",
    "fans",
    "is_lead_for",
    "plain_boxes",
    "ways_of",
]

CONNECTION_FAMILIES: Final = frozenset({"loading", "wiring"})
_BOX_MENDS: Final = frozenset({CANCELS, LOST})
_BARE_ENDS: Final = frozenset({"terminals", "bare", "posts"})
_SIDES: Final = ("left", "right")


def boxes_and_leads(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """Leads from a stereo output to a pair of sockets, then boxes: from stock, then any."""
    links = [link for link in trial.show.links if _is_about(link, finding)]
    for link in links:
        yield from _stereo_leads(trial, link)
    if finding.code != TONE and finding.code not in _BOX_MENDS:
        return
    ways = [
        way
        for link in links
        for way in ways_of(trial.solution.rig, link)
        if way.start.plan.role != "loudspeaker"
    ]
    boxes = list(plain_boxes(trial.book))
    yield from _other_boxes(trial, links, boxes)
    for is_stock in (True, False):
        for box in boxes:
            if (trial.show.stock.get(box.type_id, 0) > 0) is is_stock:
                cost = COST_OF_STOCK if is_stock else COST_OF_PURCHASE
                for way in ways:
                    yield from between(trial, way, box, cost)


def _is_about(link: Link, finding: Finding) -> bool:
    return bool({*finding.ports, finding.where} & set(link.ends.values()))


def is_lead_for(trial: Trial, candidate: Candidate) -> bool:
    """Whether each lead of a move is made for what it is plugged to.

    Resistors in a plug sum two sides into a socket of one; on one signal they only hide a load, or
    lose it, and between two sockets of two sides they lose what is stereo.
    """
    for edit in candidate.edits:
        if isinstance(edit, Plug) and any(
            trial.book.cable(each.type).parts for each in edit.link.via
        ):
            ports = [trial.solution.rig.ports.get(each) for each in edit.link.ends.values()]
            sides = {len(port.plan.signals) > 1 for port in ports if port is not None}
            if sides != {True, False}:
                return False
    return True


def _has_parts(trial: Trial, link: Link) -> bool:
    return any(trial.book.cable(each.type).parts for each in link.via)


# --- boxes ---


@dataclass(frozen=True, slots=True)
class PlainBox:
    """A type with one way in and one way out."""

    type_id: str
    entry: PortPlan
    leaving: PortPlan


@dataclass(frozen=True, slots=True)
class Way:
    """A link from an output to an input, or to another free input of the same item."""

    link: Link
    start: RigPort
    end: RigPort


def plain_boxes(book: GearBook) -> Iterator[PlainBox]:
    """Boxes of the book with one way in and one way out."""
    for type_id in book.of_kind("box"):
        ports = book.plan(type_id, {}, {}).block("").plan.ports.values()
        entries = [port for port in ports if port.role == "in"]
        leaving = [port for port in ports if port.role == "out"]
        if len(entries) == len(leaving) == 1 and not _is_wired(entries[0], leaving[0]):
            yield PlainBox(type_id, entries[0], leaving[0])


def _is_wired(*ports: PortPlan) -> bool:
    """Whether it takes a screwdriver: such a box is built in, not put between two plugs."""
    return any(port.socket in _BARE_ENDS for port in ports)


def ways_of(rig: Rig, link: Link) -> Iterator[Way]:
    """From the output of a link to its input, then to other free inputs of that strip."""
    ports = [rig.ports[address] for address in link.ends.values()]
    starts = [port for port in ports if port.plan.role != "in"]
    ends = [port for port in ports if port.plan.role == "in"]
    if len(starts) != 1 or len(ends) != 1:
        return
    yield Way(link, starts[0], ends[0])
    for name, plan in ends[0].block.plan.ports.items():
        other = rig.ports[ends[0].sibling(name)]
        if plan.role == "in" and other.address != ends[0].address and other.link is None:
            yield Way(link, starts[0], other)


def between(trial: Trial, way: Way, box: PlainBox, cost: int) -> Iterator[Candidate]:
    """A box put into a link, with the leads that fit; nothing where none does."""
    first = usual_cable(trial.book, way.start.plan, box.entry)
    second = usual_cable(trial.book, box.leaving, way.end.plan)
    if first is None or second is None:
        return
    name = trial.show.next_id(box.type_id)
    links = (
        Link(
            {"a": way.start.address, "b": f"{name}.{box.entry.name}"},
            (Cable(first.type_id, BESIDE_M),),
        ),
        Link(
            {"a": f"{name}.{box.leaving.name}", "b": way.end.address},
            (Cable(second.type_id, way.link.length_m),),
        ),
    )
    added: tuple[Edit, ...] = (AddItem(Item(name, box.type_id)), Unplug(way.link))
    yield Candidate((*added, *(Plug(link) for link in links)), cost)


def _other_boxes(trial: Trial, links: list[Link], boxes: list[PlainBox]) -> Iterator[Candidate]:
    """Another box in the place of one that is there, if its sockets are called alike."""
    rig = trial.solution.rig
    items = {rig.ports[each].item.id for link in links for each in link.ends.values()}
    types = {box.type_id: box for box in boxes}
    for item in sorted(items):
        here = types.get(rig.items[item].plan.type_id)
        for box in boxes if here is not None else ():
            if here is not None and box.type_id != here.type_id and _is_like(box, here):
                is_stock = trial.show.stock.get(box.type_id, 0) > 0
                cost = COST_OF_STOCK if is_stock else COST_OF_PURCHASE
                yield Candidate((Retype(item, box.type_id),), cost)


def _is_like(one: PlainBox, other: PlainBox) -> bool:
    pairs = ((one.entry, other.entry), (one.leaving, other.leaving))
    return all((a.name, a.socket) == (b.name, b.socket) for a, b in pairs)


# --- leads of three ends ---


def _stereo_leads(trial: Trial, link: Link) -> Iterator[Candidate]:
    """From a stereo output to two sockets of the item that it goes into."""
    rig = trial.solution.rig
    ports = [rig.ports[address] for address in link.ends.values()]
    starts = [port for port in ports if len(port.plan.signals) > 1 and port.plan.role == "out"]
    others = [port for port in ports if port.plan.role == "in"]
    if len(starts) != 1 or not others:
        return
    for left, right in _pairs(rig, others[0]):
        for cable in fans(trial.book, starts[0].plan, left.plan, right.plan):
            ends = {"a": starts[0].address, "left": left.address, "right": right.address}
            yield instead(link, link.another_lead(cable.type_id, ends), COST_OF_CABLE)
            break


def _pairs(rig: Rig, near: RigPort) -> Iterator[tuple[RigPort, RigPort]]:
    """Free pairs of sockets of an item: sides of one strip, then two strips beside each other."""
    free = [
        port
        for port in rig.ports.values()
        if port.item.id == near.item.id
        and port.plan.role == "in"
        and (port.link is None or port.address == near.address)
    ]
    by_side = {port.address: port for port in free}
    for port in free:
        stem, side, _ = port.address.rpartition("-left")
        right = by_side.get(f"{stem}-right") if side else None
        if right is not None:
            yield port, right
    alike = [port for port in free if port.plan.name == near.plan.name]
    if len(alike) > 1:
        yield alike[0], alike[1]


def fans(book: GearBook, start: PortPlan, left: PortPlan, right: PortPlan) -> Iterator[CablePlan]:
    """Leads with one plug for the output and one for each side."""
    for type_id in book.ids:
        if is_taken_unasked(book, type_id) and set(book.sketch(type_id).ends) == {"a", *_SIDES}:
            cable = book.cable(type_id)
            places = zip((start, left, right), ("a", *_SIDES), strict=True)
            if all(mates(port.socket, cable.ends[end]) for port, end in places):
                yield cable
