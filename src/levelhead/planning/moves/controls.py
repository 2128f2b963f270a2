"""Controls that might mend a finding: knobs and faders turned, switches moved.

None is chosen by the name of an item; what counts is what the solved copy says
(``planning.remedy``).
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator
from itertools import chain
from typing import Final

from levelhead.chain.graph.points import Edge
from levelhead.chain.solution import Solution
from levelhead.chain.wired.lanes import lanes
from levelhead.gear.plan import ControlPlan
from levelhead.planning.moves.candidate import (
    COST_OF_SOCKET,
    COST_OF_SWITCH,
    COST_OF_TURN,
    Candidate,
)
from levelhead.planning.trial import Trial
from levelhead.rig.model import Rig
from levelhead.rig.settings import setting_text
from levelhead.show.edits import Edit, Set
from levelhead.verdicts.amplifiers.system import PAIR
from levelhead.verdicts.enough.clipping import CODE as CLIPS_AS_SET
from levelhead.verdicts.enough.gain import TOO_LOW
from levelhead.verdicts.enough.lowest_gain import TOO_HIGH
from levelhead.verdicts.enough.noise import HISS, HISS_PLENTY_DB
from levelhead.verdicts.enough.switched import lower_gain
from levelhead.verdicts.enough.volume import digital_volumes
from levelhead.verdicts.phantom.arrives import PHANTOM
from levelhead.verdicts.read.doubts import Way, controls_with_room, strongest_way
from levelhead.verdicts.read.gain_plan import LOWEST_USEFUL_DB, PEAK_RESERVE_DB, planned_setting
from levelhead.verdicts.read.transmitters import controls_set_by_ceiling, planned_by_ceiling
from levelhead.verdicts.told.finding import Finding
from levelhead.verdicts.told.severity import Severity

__all__ = ["gain_up_fader_down", "switches", "turns"]

_LEAST_TURN_DB: Final = 3.0  # less is not worth a hand, common practice
_TRACE_DB: Final = 60.0  # under one signal: nobody else, but what leaks
_DROWNED_DB: Final = 10.0  # under one channel: that one is wrong, not the mix, common practice


def turns(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """Ranges: the planned gain, what stands before too little turned up, before too much down.

    Harm is judged with every control up, so no turn helps there.
    """
    yield from _own_turns(trial, finding)
    yield from _switched_down(trial, finding)
    if finding.margin is None or finding.where not in trial.solution.graph.index:
        return
    if finding.code == TOO_LOW:
        yield from _turned_up(trial, finding)
    elif finding.code == HISS:
        yield from _level_moved_up(trial, finding, finding.margin)
    elif finding.code == PAIR:
        yield from _turned_by(trial, finding, finding.why[0].value or 0.0)
    elif finding.severity is not Severity.HARM:
        yield from _turned_down(trial, finding, min(finding.margin, _unclipped_db(trial, finding)))


def _switched_down(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """The switch with which a stage that clips has less gain: at mic where a line comes."""
    if finding.code == CLIPS_AS_SET and finding.margin is not None:
        switch = lower_gain(trial.reading, finding.where, -finding.margin)
        if switch is None:
            return
        moved = Set(switch.control, switch.option)
        yield Candidate((moved,), COST_OF_TURN)
        left_db = finding.margin + switch.less_db
        for turn in _turned_down(trial, finding, left_db) if left_db < 0 else ():
            yield Candidate((moved, *turn.edits), COST_OF_TURN)


def _unclipped_db(trial: Trial, finding: Finding) -> float:
    """Room for peaks at an input as if nothing before it clipped: they have to come down first."""
    own = (each for each in trial.reading.strips_at(finding.where) if each.port == finding.where)
    strip = next(own, None) if finding.code == TOO_HIGH else None
    first = None if strip is None else strip.lowest_ceiling
    return math.inf if strip is None or first is None else first.at_lowest_dbu - strip.peak_dbu


def _own_turns(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """The control that a finding names: a gain where it is planned, any other fully up."""
    yield from (_set(trial, finding.where, each) for each in _own_settings(trial, finding))


def _own_settings(trial: Trial, finding: Finding) -> Iterator[float]:
    """Where the control that a finding names should stand, if it is free. [dB]"""
    control = trial.solution.rig.controls.get(finding.where)
    if control is None or finding.where in trial.show.locks:
        return
    planned = [
        planned_setting(strip)
        for strip in trial.reading.strips
        if strip.gain_control == finding.where
    ]
    yield from planned or ([control.high] if control.kind == "range" else [])


def gain_up_fader_down(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """A gain to its place, and the fader behind it down by as much: as loud as before.

    Two hands, so it costs more than the gain alone and is tried where that makes others clip.
    """
    rig = trial.solution.rig
    fader = _fader_behind(trial, finding.where)
    for planned in _own_settings(trial, finding):
        if fader is None:
            return
        raised = _on_the_panel(planned, rig.controls[finding.where])
        lowered = rig.setting_db(fader) - (raised - rig.setting_db(finding.where))
        if lowered >= LOWEST_USEFUL_DB:
            turned = (_set(trial, finding.where, planned), _set(trial, fader, lowered))
            yield Candidate(tuple(chain(*(each.edits for each in turned))), COST_OF_SOCKET)


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
    """Controls before a point that gets too little, the nearest first, alone or two together.

    A player's digital volume and a transmitter go to their place; what mixes for others as well
    goes up by what is missing, and no gain beyond its own place.
    """
    solution = trial.solution
    room = controls_with_room(solution, solution.number(finding.where))
    whole = {**dict.fromkeys(digital_volumes(solution), math.inf), **planned_by_ceiling(solution)}
    placed = {each.gain_control: planned_setting(each) for each in trial.reading.strips}
    lacking_db = _lacking_db(trial, finding)
    left_db = lacking_db
    others: list[Edit] = []
    for control, room_db in reversed(room.items()):
        now = float(solution.rig.setting_db(control))
        highest = min(now + room_db, placed.get(control, math.inf))
        if control in whole and room_db > 0:
            yield _set(trial, control, highest)
        elif control not in whole and highest - now >= min(lacking_db, _LEAST_TURN_DB):
            yield _set(trial, control, min(now + lacking_db, highest))
            if others and left_db > 0:
                both = (*others, *_set(trial, control, min(now + left_db, highest)).edits)
                yield Candidate(both, COST_OF_SOCKET)
            others += _set(trial, control, highest).edits
            left_db -= highest - now


def _lacking_db(trial: Trial, finding: Finding) -> float:
    """Whole decibels between what an input needs and where its gain is comfortable. [dB]"""
    needed = finding.why[0]
    strip = next((each for each in trial.reading.strips if each.port == finding.where), None)
    has_db = needed.limit if strip is None else min(strip.comfortable_db, strip.high_db)
    return max(math.ceil((needed.value or 0.0) - (has_db or 0.0)), _LEAST_TURN_DB)


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
            yield Candidate((*down.edits, *up.edits), COST_OF_TURN)


def _turned_down(trial: Trial, finding: Finding, margin_db: float) -> Iterator[Candidate]:
    """Controls before a point, the nearest first, down by the excess, with and without reserve.

    Where one channel drowns the rest of a mix, its own come before those that all others hang on.
    """
    way = strongest_way(trial.solution, trial.solution.number(finding.where))
    rig = trial.solution.rig
    held = {each.control for each in controls_set_by_ceiling(rig) if each.point != finding.where}
    for control in _own_first(trial.solution, way):
        if rig.controls[control].kind != "range" or control in rig.show.locks | held:
            continue
        for lower_by in (PEAK_RESERVE_DB - margin_db, 1 - margin_db):
            setting = rig.setting_db(control) - lower_by
            if setting >= LOWEST_USEFUL_DB:
                yield _set(trial, control, setting)


def _own_first(solution: Solution, way: Way) -> Iterator[str]:
    """Controls of a way, the nearest first; of a signal that drowns all others its own before."""
    own = next((n + 1 for n, edge in enumerate(way.edges) if _drowns_others(solution, edge)), 0)
    for edges in (way.edges[:own], way.edges[own:]):
        yield from (edge.control for edge in reversed(edges) if edge.control is not None)


def _drowns_others(solution: Solution, edge: Edge) -> bool:
    """Whether others come in where an edge leads to, all of them far below what it brings."""
    power, own = float(solution.arriving_power[edge.target]), solution.arriving_rms(edge) ** 2
    others = max(power - own, 0.0)
    least, most = (power * 10 ** (-each / 10) for each in (_TRACE_DB, _DROWNED_DB))
    return least < others <= most


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


def switches(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """Every other position of the switches of the items concerned, of the strips concerned only."""
    rig = trial.solution.rig
    near = [rig.ports[port] for port in _concerned(trial, finding)]
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


def _concerned(trial: Trial, finding: Finding) -> set[str]:
    """Ports that a finding is about; of missing phantom power all on the copper that carries it.

    Its supply may stand behind a multicore or a splitter.
    """
    near = _near_ports(trial.solution.rig, finding)
    return near | _on_one_copper(trial, near) if finding.family == PHANTOM else near


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


def _set(trial: Trial, control: str, value: float | str) -> Candidate:
    """A control moved: a range to whole decibels within its travel, a switch to an option."""
    plan = trial.solution.rig.controls[control]
    if isinstance(value, float):
        value = _on_the_panel(value, plan)
    cost = COST_OF_TURN if plan.kind == "range" else COST_OF_SWITCH
    return Candidate((Set(control, setting_text(value, plan)),), cost)


def _on_the_panel(value: float, plan: ControlPlan) -> float:
    """A setting that a hand makes: whole decibels within the travel."""
    return min(max(float(round(value)), plan.low), plan.high)
