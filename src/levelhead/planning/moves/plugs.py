"""Plugs that might mend a finding: other sockets of the rig, a box left out, other leads.

None is chosen by the name of an item; what counts is what the solved copy says
(``planning.remedy``).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Final

from levelhead.gear.book import GearBook
from levelhead.gear.circuits import INSERT
from levelhead.gear.plan import CablePlan, PortPlan
from levelhead.gear.plan.ways import leaving_port
from levelhead.planning.moves.candidate import (
    COST_OF_CABLE,
    COST_OF_SOCKET,
    COST_OF_SWITCH,
    Candidate,
    instead,
)
from levelhead.planning.moves.past import lead_past
from levelhead.planning.trial import Trial
from levelhead.rig.model import Rig, RigPort
from levelhead.rig.usual import fitting_cables, usual_cable
from levelhead.show.edits import Plug, Unplug
from levelhead.show.model import Link
from levelhead.verdicts.enough.clipping import CODE as CLIPS_AS_SET
from levelhead.verdicts.loading.joined import JOINED
from levelhead.verdicts.read.doubts import strongest_way
from levelhead.verdicts.told.finding import Finding
from levelhead.verdicts.told.severity import Severity

__all__ = [
    "LEAST_LINE_LOAD_OHM",
    "bypasses",
    "insert_leads",
    "is_too_bare",
    "leads_exchanged",
    "one_amplifier_off",
    "plugs_swapped",
    "recablings",
    "replugs",
    "upstream",
]

LEAST_LINE_LOAD_OHM: Final = 600.0  # a lower one wants power, not a line: common practice
_PAIR: Final = 2
_GIVING: Final = frozenset({"out", "through", "loudspeaker"})
_MISFIT: Final = "fit.plug"
_TOO_MUCH: Final = frozenset({"enough.too-high", CLIPS_AS_SET, "harm.level"})
_SIDES: Final = frozenset({"tip", "ring"})  # contacts of left and right


def _links_of(trial: Trial, finding: Finding) -> Iterator[Link]:
    """Links of two ends in the sockets of a finding."""
    ports = {*finding.ports, finding.where}
    for link in trial.show.links:
        if set(link.ends) == {"a", "b"} and ports & set(link.ends.values()):
            yield link


def plugs_swapped(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """The two small plugs of a lead of three ends in each other's sockets."""
    ports = {*finding.ports, finding.where}
    for link in trial.show.links:
        whole, *pair = link.ends
        if len(pair) == _PAIR and ports & set(link.ends.values()):
            one, other = pair
            ends = {whole: link.ends[whole], one: link.ends[other], other: link.ends[one]}
            yield instead(link, replace(link, ends=ends), COST_OF_SOCKET)


def one_amplifier_off(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """One of two amplifiers taken off what both drive; the copy says whether anybody is missed."""
    if finding.code == JOINED and finding.severity is Severity.HARM:
        yield from (
            Candidate((Unplug(each),), COST_OF_SOCKET) for each in _links_of(trial, finding)
        )


def _free_alternatives(rig: Rig, address: str, roles: frozenset[str]) -> Iterator[RigPort]:
    """Other free sockets of the item, one of each kind of strip: of its own strip, of its side."""
    own = rig.ports[address]
    taken = {
        rig.ports[port].sibling(rig.ports[port].plan.hole)
        for port in rig.ports
        if rig.plugged(port)
    }
    seen: set[tuple[str, str]] = set()
    ports = [port for port in rig.ports.values() if port.item.id == own.item.id]
    for port in sorted(
        ports, key=lambda each: (each.block.name != own.block.name, _side(each) != _side(own))
    ):
        kind = (port.block.block, port.plan.name)
        is_free = port.sibling(port.plan.hole) not in taken and port.address != address
        if port.plan.role in roles and is_free and kind not in seen:
            seen.add(kind)
            yield port


def _side(port: RigPort) -> str:
    """Which of several like it a strip is: ``-left``, ``3``."""
    return port.block.name[len(port.block.block) :]


def _replugged(trial: Trial, link: Link, ends: dict[str, str]) -> Candidate | None:
    """The usual lead between other sockets; none where no lead fits both."""
    rig = trial.solution.rig
    start, end = (rig.ports[ends[each]].plan for each in ("a", "b"))
    cable = usual_cable(trial.book, start, end)
    if cable is None:
        return None
    return instead(link, link.another_lead(cable.type_id, ends), COST_OF_SOCKET)


def replugs(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """The same lead's ends in other free sockets of the two items."""
    rig = trial.solution.rig
    for link in _links_of(trial, finding):
        for end, other in (("a", "b"), ("b", "a")):
            is_giving = rig.ports[link.ends[end]].plan.gives
            roles = _GIVING if is_giving else frozenset({"in"})
            beside = rig.ports[link.ends[other]]
            for port in _free_alternatives(rig, link.ends[end], roles):
                pair = (port, beside) if is_giving else (beside, port)
                candidate = _replugged(trial, link, {**link.ends, end: port.address})
                if candidate is not None and _can_drive(*pair):
                    yield candidate


def _can_drive(giving: RigPort, taking: RigPort) -> bool:
    """What wants power is not fed from a line that is handed on, nor a line from a power output."""
    load_ohm = taking.plan.figure("impedance")
    is_line = taking.plan.is_load and load_ohm is None  # a transformer on a line of 100 V
    if giving.plan.role == "out" or (load_ohm is None and not is_line):
        return True
    wants_power = load_ohm is None or load_ohm < LEAST_LINE_LOAD_OHM
    return wants_power if giving.plan.role == "loudspeaker" else not wants_power


def upstream(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """The signal from further up: free outputs of the items that it came through before."""
    if finding.severity is not Severity.HARM:
        return
    rig = trial.solution.rig
    for link in _links_of(trial, finding):
        giving = [end for end, port in link.ends.items() if rig.ports[port].plan.gives]
        for end in giving:
            for address in _items_before(trial, link.ends[end]):
                for port in _free_outputs(rig, address):
                    candidate = _replugged(trial, link, {**link.ends, end: port.address})
                    if candidate is not None:
                        yield candidate


def _items_before(trial: Trial, address: str) -> tuple[str, ...]:
    """Items on the way to an output, the nearest first, without its own."""
    solution = trial.solution
    own = address.partition(".")[0]
    if address not in solution.graph.index:
        return ()
    points = strongest_way(solution, solution.number(address)).edges
    items = dict.fromkeys(solution.graph.points[edge.source].item for edge in reversed(points))
    return tuple(item for item in items if item in solution.rig.items and item != own)


def _free_outputs(rig: Rig, item: str) -> Iterator[RigPort]:
    """Free outputs of an item, one of each kind."""
    first = next((port for port in rig.ports.values() if port.item.id == item), None)
    if first is not None:
        yield from _free_alternatives(rig, first.address, frozenset({"out"}))


def bypasses(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """A box on the way left out: what goes into it is plugged where it leads, both sides of it."""
    rig = trial.solution.rig
    item = finding.where.partition(".")[0]
    links = [link for link in trial.show.links if _touches(link, item)]
    into = {_own_end(link, item): link for link in links if _role(rig, link, item) == "in"}
    out = {_own_end(link, item): link for link in links if _role(rig, link, item) == "out"}
    if finding.severity is not Severity.FAILS or not into or len(into) + len(out) != len(links):
        return
    pairs = [(link, out.get(_leaves_by(rig, socket, out))) for socket, link in into.items()]
    past = [None if onward is None else _past(trial, one, onward, item) for one, onward in pairs]
    if len(into) == len(out) and None not in past:
        pulled = (Unplug(each) for pair in pairs for each in pair if each is not None)
        plugged = (Plug(each) for each in past if each is not None)
        yield Candidate((*pulled, *plugged), COST_OF_SOCKET)


def _role(rig: Rig, link: Link, item: str) -> str:
    return rig.ports[_own_end(link, item)].plan.role


def _leaves_by(rig: Rig, socket: str, out: Mapping[str, Link]) -> str:
    """The output to which an input of a box leads: the only one, else that of its side."""
    if len(out) == 1:
        return next(iter(out))
    port = rig.ports[socket]
    return f"{port.item.id}.{leaving_port(port.item.plan, port.block.address(port.plan.name))}"


def _past(trial: Trial, into: Link, out: Link, item: str) -> Link | None:
    """One lead past a box, of the usual kind."""
    ends = {"a": _other_end(into, item), "b": _other_end(out, item)}
    start, end = (trial.solution.rig.ports[ends[each]].plan for each in ("a", "b"))
    cable = usual_cable(trial.book, start, end)
    return None if cable is None else lead_past(into, out, cable, ends)


def _touches(link: Link, item: str) -> bool:
    owners = [port.partition(".")[0] for port in link.ends.values()]
    return set(link.ends) == {"a", "b"} and owners.count(item) == 1


def _own_end(link: Link, item: str) -> str:
    return next(port for port in link.ends.values() if port.partition(".")[0] == item)


def _other_end(link: Link, item: str) -> str:
    return next(port for port in link.ends.values() if port.partition(".")[0] != item)


def insert_leads(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """Leads for an insert between the same two sockets: there are some for nothing else."""
    rig = trial.solution.rig
    for link in _links_of(trial, finding):
        start, end = (rig.ports[link.ends[each]].plan for each in ("a", "b"))
        if INSERT in (start.circuit, end.circuit):
            usual = fitting_cables(trial.book, start, end)
            for cable in fitting_cables(trial.book, start, end, with_special=True):
                if cable not in usual:
                    yield instead(link, link.another_lead(cable.type_id), COST_OF_SOCKET)


def is_too_bare(cable: CablePlan, ports: tuple[PortPlan, PortPlan]) -> bool:
    """A loudspeaker lead, without a screen, where a signal goes."""
    is_bare = cable.core_ohm_per_m is not None and cable.screen_ohm_per_m is None
    return is_bare and not all(
        each.role == "loudspeaker" or each.circuit is None or each.is_load for each in ports
    )


def _is_too_thin(cable: CablePlan, ports: tuple[PortPlan, PortPlan]) -> bool:
    """A lead made for signals, with a screen, between an amplifier and a loudspeaker."""
    is_power = any(each.role == "loudspeaker" for each in ports)
    return is_power and cable.screen_ohm_per_m is not None


def _is_for_sides(cable: CablePlan, ports: tuple[PortPlan, PortPlan]) -> bool:
    """A lead that joins tip and ring, for both sides of stereo, where neither socket has sides."""
    met: dict[tuple[str, str], set[str]] = {}
    for (end, pin), (far, other) in (pair[::turn] for pair in cable.joins for turn in (1, -1)):
        if end != far and other in _SIDES:
            met.setdefault((end, pin), set()).add(other)
    return _SIDES in map(frozenset, met.values()) and not any(
        len(each.signals) > 1 for each in ports
    )


def leads_exchanged(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """A lead with a fault taken out for another one of its type: nothing else moves."""
    for link in _links_of(trial, finding):
        if link.pins and link.via:
            yield instead(link, replace(link, pins={}), COST_OF_SWITCH)


def recablings(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """Every other cable that is taken without being told and fits both sockets.

    Where too much comes, leads with resistors as well: they are made for nothing else. Where the
    lead that is there does not fit, another one is needed whatever is done.
    """
    is_too_much = finding.code in _TOO_MUCH
    cost = COST_OF_SWITCH if finding.code == _MISFIT else COST_OF_CABLE
    rig = trial.solution.rig
    for link in _links_of(trial, finding):
        yield from _pieces_changed(trial.book, link, with_special=is_too_much)
        used = {cable.type for cable in link.via}
        start, end = (rig.ports[link.ends[each]].plan for each in ("a", "b"))
        for cable in fitting_cables(trial.book, start, end, with_special=is_too_much):
            is_usual = not trial.book.sketch(cable.type_id).special
            is_fit = (is_usual or cable.parts) and not is_too_bare(cable, (start, end))
            is_fit = is_fit and not _is_for_sides(cable, (start, end))
            is_fit = is_fit and cable.carries == start.carries
            if cable.type_id not in used and is_fit and not _is_too_thin(cable, (start, end)):
                yield instead(link, link.another_lead(cable.type_id), cost)


def _pieces_changed(book: GearBook, link: Link, *, with_special: bool) -> Iterator[Candidate]:
    """Of a lead of several pieces one changed for another with the same plugs, the last first."""
    for place in reversed(range(len(link.via)) if len(link.via) > 1 else ()):
        here = link.via[place]
        for type_id in book.of_kind("cable", "adaptor"):
            sketch = book.sketch(type_id)
            is_like = sketch.ends == book.sketch(here.type).ends and type_id != here.type
            is_made = with_special and is_like and bool(book.cable(type_id).parts)
            if is_like and (is_made or not sketch.special):
                via = (*link.via[:place], replace(here, type=type_id), *link.via[place + 1 :])
                yield instead(link, replace(link, via=via), COST_OF_CABLE)
