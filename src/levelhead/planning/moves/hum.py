"""Cures of hum, as edits to be tried on a copy: none of them touches a protective earth.

What a practitioner tries: another lead for one with a fault, distance to what the show tells
beside a lead, a switch that opens an audio screen (a ground lift of a box), a balanced lead, the
screen of a balanced line open at one end, both items on one strip, a transformer in the line. What
counts is what the solved copy says (``planning.remedy``).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

from levelhead.gear.book import GearBook
from levelhead.gear.connectors import CONNECTORS, mates
from levelhead.gear.plan import ItemPlan, PortPlan
from levelhead.planning.moves.candidate import (
    COST_OF_CABLE,
    COST_OF_SOCKET,
    COST_OF_STOCK,
    COST_OF_STRIP,
    Candidate,
)
from levelhead.planning.moves.controls import switches
from levelhead.planning.moves.plugs import is_too_bare, leads_exchanged
from levelhead.planning.trial import Trial
from levelhead.rig.model import Rig
from levelhead.rig.usual import fitting_cables, usual_cable
from levelhead.show.edits import AddItem, Lay, Plug, Power, Recable, SetPins, StandNear, Unplug
from levelhead.show.model import Cable, Item, Link
from levelhead.verdicts.told.finding import Finding

__all__ = ["hum_cures", "on_one_strip"]

_LINE_RATIO: Final = (0.5, 2.0)  # turns of an isolating transformer for lines, common practice
_APART_M: Final = 0.5  # from leads that buzz, common practice
_AWAY_M: Final = 5.0  # from what fills the air with a field, common practice
_OPEN: Final = "open"


def hum_cures(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """Every cure that might help a hum finding, cheapest kind first."""
    yield from _farther(trial, finding)
    yield from switches(trial, finding)
    yield from leads_exchanged(trial, finding)
    for link in _links_of(trial, finding):
        yield from _laid_apart(link)
        yield from _other_leads(trial, link)
        yield from _open_screen(trial, link)
        yield from _same_strip(trial.solution.rig, link)
    for link in _links_of(trial, finding):
        yield from _transformers(trial, link)


def on_one_strip(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """Items at both ends of the lead that hums on the strip of one of them."""
    for link in _links_of(trial, finding):
        yield from _same_strip(trial.solution.rig, link)


def _farther(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """An item that hears a field in the air, some metres away from where that comes from."""
    item = trial.show.items.get(finding.where)
    near = () if item is None else item.near
    if item is not None and any(each.apart_m < _AWAY_M for each in near):
        away = tuple(replace(each, apart_m=max(each.apart_m, _AWAY_M)) for each in near)
        yield Candidate((StandNear(item.id, away),), COST_OF_SOCKET)


def _links_of(trial: Trial, finding: Finding) -> list[Link]:
    """Links of the input that hums."""
    ports = {*finding.ports, finding.where}
    return [link for link in trial.show.links if ports & set(link.ends.values())]


def _laid_apart(link: Link) -> Iterator[Candidate]:
    """The lead away from all that it lies along; a crossing stays one."""
    near = [each for each in link.beside if each.along_m is not None]
    if any(each.apart_m is None or each.apart_m < _APART_M for each in near):
        apart = tuple(
            replace(each, apart_m=max(each.apart_m or 0.0, _APART_M)) if each in near else each
            for each in link.beside
        )
        yield Candidate((Lay(next(iter(link.ends.values())), apart),), COST_OF_CABLE)


def _two_ends(rig: Rig, link: Link) -> tuple[PortPlan, PortPlan] | None:
    if set(link.ends) != {"a", "b"}:
        return None
    return rig.ports[link.ends["a"]].plan, rig.ports[link.ends["b"]].plan


def _other_leads(trial: Trial, link: Link) -> Iterator[Candidate]:
    """Every other lead made for such a signal that fits; a balanced one helps between balanced.

    Resistors that make two sides one are soldered in for something else.
    """
    plans = _two_ends(trial.solution.rig, link)
    if plans is None:
        return
    used = {cable.type for cable in link.via}
    for cable in fitting_cables(trial.book, *plans):
        is_plain = not cable.parts and cable.carries == plans[0].carries
        if cable.type_id not in used and is_plain:
            edit = Recable(link.ends["b"], (Cable(cable.type_id, link.length_m),))
            yield Candidate((edit,), COST_OF_CABLE)


def _open_screen(trial: Trial, link: Link) -> Iterator[Candidate]:
    """Ground pin of the lead open at the sending end, if the input can do without it."""
    rig = trial.solution.rig
    plans = _two_ends(rig, link)
    if plans is None or not all(CONNECTORS[plan.socket].is_balanced for plan in plans):
        return
    start, end = plans
    ground = CONNECTORS[start.socket].ground
    if "cmrr" in end.figures and link.pins.get(ground) != _OPEN:
        edit = SetPins(link.ends["b"], {**link.pins, ground: _OPEN})
        yield Candidate((edit,), COST_OF_CABLE)


def _same_strip(rig: Rig, link: Link) -> Iterator[Candidate]:
    """Each earthed item of a link on the strip of another."""
    items = list(dict.fromkeys(rig.ports[port].item.id for port in link.ends.values()))
    earthed = [rig.items[item] for item in items if rig.items[item].plan.earth == "mains"]
    for item in earthed:
        for other in earthed:
            if other.supply not in {None, item.supply}:
                yield Candidate((Power(item.id, other.supply),), COST_OF_STRIP)


# --- transformers ---


@dataclass(frozen=True, slots=True)
class _Isolator:
    """A box with a line transformer between one input and one output."""

    type_id: str
    entry: PortPlan
    leaving: PortPlan


def _transformers(trial: Trial, link: Link) -> Iterator[Candidate]:
    """A box at the sending end; the lead that was there goes on from it."""
    rig = trial.solution.rig
    end = "a" if "a" in link.ends else next(iter(link.ends))
    sender = rig.ports[link.ends[end]]
    if sender.plan.role == "insert":
        return  # send and return would meet in one winding
    lead = trial.book.cable(link.via[0].type) if link.via else None
    for box in _isolators(trial.book):
        cable = usual_cable(trial.book, sender.plan, box.entry)
        plugs = [] if lead is None else list(lead.ends.values())
        takes_lead = lead is None or any(mates(box.leaving.socket, plug) for plug in plugs)
        if cable is None or not takes_lead or is_too_bare(cable, (sender.plan, box.entry)):
            continue
        name = trial.show.next_id(box.type_id)
        first = Link(
            {"a": sender.address, "b": f"{name}.{box.entry.name}"}, (Cable(cable.type_id, 1.0),)
        )
        onward = {**link.ends, end: f"{name}.{box.leaving.name}"}
        second = Link(onward, link.via, link.pins, beside=link.beside)
        edits = (AddItem(Item(name, box.type_id)), Unplug(link), Plug(first), Plug(second))
        yield Candidate(edits, COST_OF_STOCK)


def _isolators(book: GearBook) -> Iterator[_Isolator]:
    """Boxes of the book whose transformer is made for lines, those nearest to 1:1 first."""
    for type_id in book.of_kind("box"):
        box = _as_isolator(type_id, book.plan(type_id, {}, {}))
        if box is not None:
            yield box


def _as_isolator(type_id: str, plan: ItemPlan) -> _Isolator | None:
    whole = plan.block("").plan
    ratios = [part.figures["ratio"].value for part in whole.parts if part.kind == "transformer"]
    low, high = _LINE_RATIO
    entries = [port for port in whole.ports.values() if port.role == "in"]
    leaving = [port for port in whole.ports.values() if port.role == "out"]
    is_for_lines = bool(ratios) and all(low <= ratio <= high for ratio in ratios)
    if not is_for_lines or len(entries) != 1 or len(leaving) != 1:
        return None
    return _Isolator(type_id, entries[0], leaving[0])
