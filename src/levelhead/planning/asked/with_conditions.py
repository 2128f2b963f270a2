"""The show of a question with what its conditions add: figures, a box, more loudspeakers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import permutations
from typing import Final

from levelhead.gear.book import GearBook
from levelhead.gear.connectors import mates
from levelhead.gear.plan import CablePlan, ItemPlan, PortPlan
from levelhead.gear.plan.ways import block_of
from levelhead.gear.wiring import pins_reached
from levelhead.planning.asked.conditions_met import Box, Met
from levelhead.planning.asked.little_rig import QuestionRig
from levelhead.planning.typed.candidates import Candidate
from levelhead.rig.usual import usual_cable
from levelhead.show.addresses import item_of
from levelhead.show.model import Cable, Item, Link, Show

__all__ = ["right_of", "with_more"]

_BESIDE_M: Final = 3.0  # from an output to a box beside it, from one loudspeaker to the next
_JOINING_ENDS: Final = 3
_PAIR: Final = 2


Ends = tuple[Candidate, Candidate]


def with_more(book: GearBook, rig: QuestionRig, met: Met, ends: Ends) -> QuestionRig:
    """The rig of a question with what was met beside settings, length and level."""
    plans = _Plans(
        book, {item_of(rig.from_): ends[0].plan(book), item_of(rig.to): ends[1].plan(book)}
    )
    rig = _with_figures(rig, met)
    is_one_a_side = met.both_sides and met.count == _PAIR
    if met.both_sides and not is_one_a_side:
        rig = _with_both_sides(plans, rig)
    for box in met.boxes:
        rig = _with_box(plans, rig, box, met)
    for _ in range(met.count - 1):
        rig = _with_one_more(plans, rig, is_on_the_right=is_one_a_side)
    return rig


@dataclass(frozen=True, slots=True)
class _Plans:
    """Types as they stand in the question: the two ends with their switches as named."""

    book: GearBook
    own: Mapping[str, ItemPlan]

    def port(self, show: Show, address: str) -> PortPlan:
        """The port behind an address."""
        item, _, port = address.partition(".")
        return block_of(self.plan(show, item), port)[1]

    def plan(self, show: Show, item: str) -> ItemPlan:
        """The plan of an item."""
        return self.own.get(item) or self.book.plan(show.items[item].type, {}, {})

    def joined(self, show: Show, start: str, end: str, length_m: float | None) -> Link:
        """A link by the usual cable."""
        cable = usual_cable(self.book, self.port(show, start), self.port(show, end))
        via = () if cable is None else (Cable(cable.type_id, length_m),)
        return Link({"a": start, "b": end}, via)


def _with_figures(rig: QuestionRig, met: Met) -> QuestionRig:
    items = dict(rig.show.items)
    for side, address in (("from", rig.from_), ("to", rig.to)):
        name = item_of(address)
        figures = {**items[name].figures, **met.figures[side]}
        items[name] = replace(items[name], figures=figures)
    return replace(rig, show=replace(rig.show, items=items))


def _with_links(rig: QuestionRig, show: Show, asked: Link, *others: Link) -> QuestionRig:
    """The rig with another link in the place of the one that was asked about, and more beside."""
    links = tuple(asked if each == rig.link else each for each in rig.show.links)
    return replace(rig, show=replace(show, links=(*links, *others)), link=asked)


def _added(rig: QuestionRig, type_id: str, label: str) -> tuple[Show, str]:
    name = rig.show.next_id(type_id)
    items = {**rig.show.items, name: Item(name, type_id, label)}
    return replace(rig.show, items=items), name


def _with_box(plans: _Plans, rig: QuestionRig, box: Box, met: Met) -> QuestionRig:
    """The box before the last lead, which stays the one that was asked about."""
    words = plans.book.entry(box.type_id).words
    show, name = _added(rig, box.type_id, words[0] if words else "")
    start = next(end for end in rig.link.ends.values() if end != rig.to)
    into = plans.joined(show, start, f"{name}.{box.entry}", _BESIDE_M)
    out = plans.joined(show, f"{name}.{box.leaving}", rig.to, met.length_m)
    if met.cable is not None:
        out = replace(out, via=(Cable(met.cable, met.length_m),))
    rig = _with_links(rig, show, out, into)
    switches = {f"{name}.{address}": option for address, option in box.settings.items()}
    return replace(rig, show=replace(rig.show, settings={**rig.show.settings, **switches}))


def _with_one_more(plans: _Plans, rig: QuestionRig, *, is_on_the_right: bool) -> QuestionRig:
    """One more loudspeaker, from the parallel socket of the last one, or from the right output."""
    last = max(
        (name for name, item in rig.show.items.items() if item.type == _second(rig).type),
        key=list(rig.show.items).index,
    )
    port = rig.to.partition(".")[2]
    block, asked = block_of(plans.plan(rig.show, item_of(rig.to)), port)
    link = next(each.name for each in block.plan.ports.values() if each.joined == asked.name)
    show, name = _added(rig, _second(rig).type, _second(rig).label)
    show = replace(
        show,
        items={**show.items, name: replace(show.items[name], figures=_second(rig).figures)},
    )
    start = right_of(rig.from_) if is_on_the_right else f"{last}.{block.address(link)}"
    more = plans.joined(show, start, f"{name}.{port}", _BESIDE_M)
    return _with_links(rig, show, rig.link, more)


def _second(rig: QuestionRig) -> Item:
    return rig.show.items[item_of(rig.to)]


# --- left and right ---


def _with_both_sides(plans: _Plans, rig: QuestionRig) -> QuestionRig:
    """The right output as well: into the right input, or by a lead that joins both."""
    right = right_of(rig.from_)
    far = right_of(rig.to)
    sockets = _sockets(plans, rig.show)
    if right not in sockets or len(rig.link.ends) >= _JOINING_ENDS:
        return rig
    if far in sockets:
        other = plans.joined(rig.show, right, far, rig.link.length_m)
        return _with_links(rig, rig.show, rig.link, other)
    ports = [plans.port(rig.show, each) for each in (rig.from_, right, rig.to)]
    lead = next(_joining(plans.book, ports), None)
    if lead is None:
        return rig
    type_id, ends = lead
    sockets_of = dict(zip(ends, (rig.from_, right, rig.to), strict=True))
    joined = rig.link.another_lead(type_id, sockets_of)
    return _with_links(rig, rig.show, joined)


def right_of(address: str) -> str:
    """The socket on the other side: ``out-right`` of ``out-left``."""
    head, _, tail = address.rpartition("left")
    return f"{head}right{tail}" if head else ""


def _sockets(plans: _Plans, show: Show) -> frozenset[str]:
    return frozenset(
        f"{name}.{block.address(port)}"
        for name in show.items
        for block in plans.plan(show, name).blocks
        for port in block.plan.ports
    )


def _joining(book: GearBook, ports: list[PortPlan]) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Leads of three ends that join two outputs to one input, plain copper first."""
    found = []
    for place, type_id in enumerate(book.of_kind("cable")):
        sketch = book.sketch(type_id)
        if len(sketch.ends) != _JOINING_ENDS:
            continue
        cable = book.cable(type_id)
        for ends in permutations(sketch.ends):
            pairs = zip(ports, ends, strict=True)
            fits = all(mates(port.socket, cable.ends[end]) for port, end in pairs)
            if fits and not cable.sockets and _is_joined(cable, ports, ends):
                found.append((bool(cable.parts), place, type_id, ends))
                break
    yield from ((type_id, ends) for *_, type_id, ends in sorted(found))


def _is_joined(cable: CablePlan, ports: list[PortPlan], ends: tuple[str, ...]) -> bool:
    """Whether the signal pin of either output reaches that of the input."""
    pins = [_pin(port, cable.ends[end]) for port, end in zip(ports, ends, strict=True)]
    reached = {far for near, far in pins_reached(cable, ends[-1]) if near == pins[-1]}
    return {(end, pin) for end, pin in zip(ends[:-1], pins[:-1], strict=True)} <= reached


def _pin(port: PortPlan, plug: str) -> str:
    """The pin of a plug that meets the signal of a port."""
    own = port.pins_of(port.signals[0] if port.signals else None).plus
    return (mates(port.socket, plug) or {}).get(own, own)
