"""Moves that might mend a finding, in the order in which a practitioner would try them.

Turn a control, move a switch, another socket of the rig, another cable. None is chosen by the name
of an item; what counts is what the solved copy says (``planning.remedies``).
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass, replace
from typing import Final

from levelhead.chain.lanes import lanes
from levelhead.gear.circuits import INSERT
from levelhead.gear.plan import CablePlan, PortPlan
from levelhead.planning.cabinet_moves import cabinets_moved
from levelhead.planning.trial import Trial
from levelhead.planning.ways_opened import ways_opened
from levelhead.rig.model import Rig, RigPort
from levelhead.rig.settings import setting_text
from levelhead.rig.usual import fitting_cables, usual_cable
from levelhead.show.edits import Edit, Plug, Set, Unplug
from levelhead.show.model import Cable, Link
from levelhead.verdicts.amplifiers.system import PAIR
from levelhead.verdicts.doubts import controls_with_room, strongest_way
from levelhead.verdicts.enough.clipping import CODE as CLIPS_AS_SET
from levelhead.verdicts.enough.gain import SET_TOO_LOW, TOO_LOW
from levelhead.verdicts.enough.noise import HISS, HISS_PLENTY_DB
from levelhead.verdicts.finding import Finding
from levelhead.verdicts.gain_plan import LOWEST_USEFUL_DB, PEAK_RESERVE_DB, planned_setting
from levelhead.verdicts.loading.joined import JOINED
from levelhead.verdicts.severity import Severity
from levelhead.verdicts.transmitters import controls_set_by_ceiling, planned_by_ceiling

__all__ = [
    "COST_OF_SOCKET",
    "COST_OF_TURN",
    "LEAST_LINE_LOAD_OHM",
    "Candidate",
    "candidates",
    "switches",
    "turns",
]

COST_OF_TURN: Final = 0
COST_OF_SOCKET: Final = 2
_PAIR: Final = 2
LEAST_LINE_LOAD_OHM: Final = 600.0  # a lower one wants power, not a line: common practice
_GIVING: Final = frozenset({"out", "through", "loudspeaker"})
_TOO_MUCH: Final = frozenset({"enough.too-high", CLIPS_AS_SET, "harm.level"})


@dataclass(frozen=True, slots=True)
class Candidate:
    """Edits that might help, and what they cost.

    0 turn, 1 switch, 2 socket, 3 cable, 4 item from stock, 6 buy.
    """

    edits: tuple[Edit, ...]
    cost: int


def candidates(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """Every move that might mend a finding, cheapest kind first."""
    yield from turns(trial, finding)
    yield from (Candidate(edits, COST_OF_TURN) for edits in ways_opened(trial, finding))
    if finding.code == SET_TOO_LOW:  # a knob is mended by hand: nobody moves a plug for it
        yield from _gain_up_fader_down(trial, finding)
        return
    yield from switches(trial, finding)
    yield from _plugs_swapped(trial, finding)
    yield from _parted(trial, finding)
    yield from _insert_leads(trial, finding)
    yield from (Candidate(edits, COST_OF_SOCKET) for edits in cabinets_moved(trial, finding))
    yield from _replugs(trial, finding)
    yield from _upstream(trial, finding)
    yield from _bypasses(trial, finding)
    yield from _recablings(trial, finding)


# --- controls ---


def _set(trial: Trial, control: str, value: float | str) -> Candidate:
    plan = trial.solution.rig.controls[control]
    if isinstance(value, float):
        value = min(max(float(round(value)), plan.low), plan.high)
    return Candidate((Set(control, setting_text(value, plan)),), 0 if plan.kind == "range" else 1)


def turns(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """Ranges: the planned gain, what stands before too little turned up, before too much down.

    Harm is judged with every control up, so no turn helps there.
    """
    yield from _own_turns(trial, finding)
    if finding.margin is None or finding.where not in trial.solution.graph.index:
        return
    if finding.code == TOO_LOW:
        yield from _turned_up(trial, finding)
    elif finding.code == HISS:
        yield from _level_moved_up(trial, finding, finding.margin)
    elif finding.code == PAIR:
        yield from _turned_by(trial, finding, finding.why[0].value or 0.0)
    elif finding.severity is not Severity.HARM:
        yield from _turned_down(trial, finding, finding.margin)


def _own_turns(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """The control that a finding names: a gain where it is planned, any other fully up."""
    control = trial.solution.rig.controls.get(finding.where)
    if control is None or finding.where in trial.show.locks:
        return
    planned = [
        planned_setting(strip)
        for strip in trial.reading.strips
        if strip.gain_control == finding.where
    ]
    for setting in planned or ([control.high] if control.kind == "range" else []):
        yield _set(trial, finding.where, setting)


def _gain_up_fader_down(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """A gain to its place, and the fader behind it down by as much: as loud as before.

    Two hands, so it costs more than the gain alone and is tried where that makes others clip.
    """
    rig = trial.solution.rig
    fader = _fader_behind(trial, finding.where)
    for up in _own_turns(trial, finding):
        raised = trial.after(up.edits)
        if fader is None or raised is None:
            return
        raised_db = raised.solution.rig.setting_db(finding.where) - rig.setting_db(finding.where)
        setting = rig.setting_db(fader) - raised_db
        if setting >= LOWEST_USEFUL_DB:
            yield Candidate((*up.edits, *_set(trial, fader, setting).edits), COST_OF_SOCKET)


def _fader_behind(trial: Trial, gain: str) -> str | None:
    """The next control of a range behind a gain on its way through the strip, if it is free."""
    rig = trial.solution.rig
    for lane in lanes(rig):
        controls = [lane.control_of(stage) for stage in lane.path.stages]
        if gain in controls:
            behind = [each for each in controls[controls.index(gain) + 1 :] if each is not None]
            ranges = [each for each in behind if rig.controls[each].kind == "range"]
            return next((each for each in ranges if each not in rig.show.locks), None)
    return None


def _turned_up(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """Controls before a point, each fully up."""
    point = trial.solution.number(finding.where)
    by_ceiling = planned_by_ceiling(trial.solution)
    for control, room in controls_with_room(trial.solution, point).items():
        if room > 0:
            highest = trial.solution.rig.controls[control].high
            yield _set(trial, control, by_ceiling.get(control, highest))


def _level_moved_up(trial: Trial, finding: Finding, margin_db: float) -> Iterator[Candidate]:
    """The last control before a loudspeaker down, an earlier one up by as much as it has room."""
    rig = trial.solution.rig
    free = controls_with_room(trial.solution, trial.solution.number(finding.where))
    *earlier, last = free or [""]
    lower_db = HISS_PLENTY_DB - margin_db + 1
    for control in reversed(earlier):
        if free[control] >= lower_db:
            down = _set(trial, last, float(rig.setting_db(last) - lower_db))
            up = _set(trial, control, float(rig.setting_db(control) + lower_db))
            yield Candidate((*down.edits, *up.edits), 0)


def _turned_down(trial: Trial, finding: Finding, margin_db: float) -> Iterator[Candidate]:
    """Controls before a point, the nearest first, down by the excess, with and without reserve."""
    way = strongest_way(trial.solution, trial.solution.number(finding.where))
    rig = trial.solution.rig
    held = {each.control for each in controls_set_by_ceiling(rig) if each.point != finding.where}
    for control in reversed(way.controls):
        if rig.controls[control].kind != "range" or control in rig.show.locks | held:
            continue
        for lower_by in (PEAK_RESERVE_DB - margin_db, 1 - margin_db):
            setting = rig.setting_db(control) - lower_by
            if setting >= LOWEST_USEFUL_DB:
                yield _set(trial, control, setting)


def _turned_by(trial: Trial, finding: Finding, lower_by_db: float) -> Iterator[Candidate]:
    """Controls between the common output and the louder one of a pair, down to the other."""
    way = strongest_way(trial.solution, trial.solution.number(finding.where))
    for edge in reversed(way.edges):
        control = None if edge.control is None else trial.solution.rig.controls[edge.control]
        if control is not None and edge.control not in trial.show.locks:
            setting = trial.solution.rig.setting_db(str(edge.control)) - lower_by_db
            if control.kind == "range" and setting >= LOWEST_USEFUL_DB:
                yield _set(trial, str(edge.control), setting)
        if edge.through is not None and edge.through.port in finding.ports:
            return


def _near_ports(rig: Rig, finding: Finding) -> set[str]:
    """Ports of a finding, and those plugged to them."""
    ports = {port for port in (*finding.ports, finding.where) if port in rig.ports}
    plugged = (set(link.ports) for link in rig.links if ports & set(link.ports))
    return ports.union(*plugged) & set(rig.ports)


def _on_one_copper(trial: Trial, near: Collection[str]) -> set[str]:
    """Sockets in the networks of those named, however many leads and passive boxes away."""
    direct_at = trial.solution.copper.direct_at
    reached = (direct_at[port].island.pins for port in sorted(near) if port in direct_at)
    return {address for pins in reached for address in pins if address in trial.solution.rig.ports}


def switches(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """Every other position of the switches of the items concerned, of the strips concerned only."""
    rig = trial.solution.rig
    names = _near_ports(rig, finding)
    if finding.family == "phantom":  # its supply may stand behind a multicore or a splitter
        names |= _on_one_copper(trial, names)
    near = [rig.ports[port] for port in names]
    strips = {(port.item.id, port.block.name) for port in near}
    items = {port.item.id for port in near} | {finding.where.partition(".")[0]} & set(rig.items)
    for item_id in sorted(items):
        for address, control in rig.controls.items():
            owner, _, local = address.partition(".")
            block = local.partition(".")[0] if "." in local else ""
            is_near = owner == item_id and (block == "" or (item_id, block) in strips)
            is_fixed = address in rig.show.locks or address in rig.facts
            if not is_near or control.kind != "switch" or is_fixed:
                continue
            for option in control.options:
                if option != rig.setting(address):
                    yield _set(trial, address, option)


# --- plugs ---


def _links_of(trial: Trial, finding: Finding) -> Iterator[Link]:
    ports = {*finding.ports, finding.where}
    for link in trial.show.links:
        if set(link.ends) == {"a", "b"} and ports & set(link.ends.values()):
            yield link


def _plugs_swapped(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """The two small plugs of a lead of three ends in each other's sockets."""
    ports = {*finding.ports, finding.where}
    for link in trial.show.links:
        whole, *pair = link.ends
        if len(pair) == _PAIR and ports & set(link.ends.values()):
            one, other = pair
            ends = {whole: link.ends[whole], one: link.ends[other], other: link.ends[one]}
            yield Candidate((Unplug(link), Plug(replace(link, ends=ends))), COST_OF_SOCKET)


def _parted(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """One of two amplifiers taken off what both drive; the copy says whether anybody is missed."""
    if finding.code == JOINED and finding.severity is Severity.HARM:
        yield from (
            Candidate((Unplug(each),), COST_OF_SOCKET) for each in _links_of(trial, finding)
        )


def _free_alternatives(rig: Rig, address: str, roles: frozenset[str]) -> Iterator[RigPort]:
    """Other free sockets of the item, one of each kind of strip, those of its own strip first."""
    own = rig.ports[address]
    taken = {
        rig.ports[port].sibling(rig.ports[port].plan.hole)
        for port in rig.ports
        if rig.plugged(port)
    }
    seen: set[tuple[str, str]] = set()
    ports = [port for port in rig.ports.values() if port.item.id == own.item.id]
    for port in sorted(ports, key=lambda each: each.block.name != own.block.name):
        kind = (port.block.block, port.plan.name)
        is_free = port.sibling(port.plan.hole) not in taken and port.address != address
        if port.plan.role in roles and is_free and kind not in seen:
            seen.add(kind)
            yield port


def _replugged(trial: Trial, link: Link, ends: dict[str, str]) -> Candidate | None:
    rig = trial.solution.rig
    start, end = (rig.ports[ends[each]].plan for each in ("a", "b"))
    cable = usual_cable(trial.book, start, end)
    if cable is None:
        return None
    length_m = link.via[0].length_m if link.via else None
    new = Link(ends, (Cable(cable.type_id, length_m),))
    return Candidate((Unplug(link), Plug(new)), 2)


def _replugs(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """The same lead's ends in other free sockets of the two items."""
    rig = trial.solution.rig
    for link in _links_of(trial, finding):
        for end, other in (("a", "b"), ("b", "a")):
            is_giving = rig.ports[link.ends[end]].plan.role in _GIVING
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
    if load_ohm is None or giving.plan.role == "out":
        return True
    wants_power = load_ohm < LEAST_LINE_LOAD_OHM
    return wants_power if giving.plan.role == "loudspeaker" else not wants_power


def _upstream(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """The signal from further up: free outputs of the items that it came through before."""
    if finding.severity is not Severity.HARM:
        return
    rig = trial.solution.rig
    for link in _links_of(trial, finding):
        giving = [end for end, port in link.ends.items() if rig.ports[port].plan.role in _GIVING]
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


def _bypasses(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """A box on the way left out: what goes into it is plugged where it leads."""
    rig = trial.solution.rig
    item = finding.where.partition(".")[0]
    links = [link for link in trial.show.links if _touches(link, item)]
    into = [link for link in links if rig.ports[_own_end(link, item)].plan.role == "in"]
    out = [link for link in links if rig.ports[_own_end(link, item)].plan.role == "out"]
    if len(into) == len(out) == 1 and len(links) == len(into) + len(out):
        ends = {"a": _other_end(into[0], item), "b": _other_end(out[0], item)}
        start, end = (rig.ports[ends[each]].plan for each in ("a", "b"))
        cable = usual_cable(trial.book, start, end)
        if cable is not None and finding.severity is Severity.FAILS:
            length_m = out[0].via[0].length_m if out[0].via else None
            direct = Plug(Link(ends, (Cable(cable.type_id, length_m),)))
            yield Candidate((Unplug(into[0]), Unplug(out[0]), direct), COST_OF_SOCKET)


def _touches(link: Link, item: str) -> bool:
    owners = [port.partition(".")[0] for port in link.ends.values()]
    return set(link.ends) == {"a", "b"} and owners.count(item) == 1


def _own_end(link: Link, item: str) -> str:
    return next(port for port in link.ends.values() if port.partition(".")[0] == item)


def _other_end(link: Link, item: str) -> str:
    return next(port for port in link.ends.values() if port.partition(".")[0] != item)


def _insert_leads(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """Leads for an insert between the same two sockets: there are some for nothing else."""
    rig = trial.solution.rig
    for link in _links_of(trial, finding):
        start, end = (rig.ports[link.ends[each]].plan for each in ("a", "b"))
        if INSERT in (start.circuit, end.circuit):
            usual = fitting_cables(trial.book, start, end)
            length_m = link.via[0].length_m if link.via else None
            for cable in fitting_cables(trial.book, start, end, with_special=True):
                if cable not in usual:
                    new = Link(dict(link.ends), (Cable(cable.type_id, length_m),))
                    yield Candidate((Unplug(link), Plug(new)), COST_OF_SOCKET)


def _is_too_bare(cable: CablePlan, ports: tuple[PortPlan, PortPlan]) -> bool:
    """A loudspeaker lead, without a screen, where a signal goes."""
    is_bare = cable.core_ohm_per_m is not None and cable.screen_ohm_per_m is None
    power = {None, "loudspeaker-load"}
    return is_bare and not all(
        each.role == "loudspeaker" or each.circuit in power for each in ports
    )


def _recablings(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """Every other cable that is taken without being told and fits both sockets.

    Where too much comes, leads with resistors as well: they are made for nothing else.
    """
    is_too_much = finding.code in _TOO_MUCH
    rig = trial.solution.rig
    for link in _links_of(trial, finding):
        used = {cable.type for cable in link.via}
        length_m = link.via[0].length_m if link.via else None
        start, end = (rig.ports[link.ends[each]].plan for each in ("a", "b"))
        for cable in fitting_cables(trial.book, start, end, with_special=is_too_much):
            is_usual = not trial.book.sketch(cable.type_id).special
            is_fit = (is_usual or cable.parts) and not _is_too_bare(cable, (start, end))
            if cable.type_id not in used and is_fit:
                new = Link(dict(link.ends), (Cable(cable.type_id, length_m),))
                yield Candidate((Unplug(link), Plug(new)), 3)
