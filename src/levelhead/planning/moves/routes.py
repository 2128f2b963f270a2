"""Cures of what is wrong with where signals go, as edits to be tried on a copy.

What a practitioner tries: the send of a return turned off, the switch of all strips concerned, a
level turned down, a delay set. What counts is what the solved copy says (``planning.remedy``).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from typing import Final

from levelhead.planning.moves.candidate import Candidate
from levelhead.planning.moves.controls import switches, turns
from levelhead.planning.trial import Trial
from levelhead.rig.settings import setting_text
from levelhead.show.edits import Set
from levelhead.verdicts.read.reach import Place
from levelhead.verdicts.routing.copies import COMB
from levelhead.verdicts.routing.half_heard import ONE_SIDE
from levelhead.verdicts.routing.late import EARLY, LATE_IN_EARS
from levelhead.verdicts.routing.loops import LOOP, edges_within
from levelhead.verdicts.routing.sends import BEFORE_FADER, BEHIND_FADER, BEHIND_MUTE, Send, sends_of
from levelhead.verdicts.routing.talkback import OWN_MICROPHONE
from levelhead.verdicts.told.finding import Finding

__all__ = ["has_route_cures", "route_cures"]

_BEHIND_S: Final = 0.015  # by so much a loudspeaker down the hall follows: Haas 1951, 10 to 20 ms
_GENERAL: Final = frozenset({"routing.unheard", "routing.no-signal", "routing.switched-away"})
_NO_CURE: Final = frozenset({BEHIND_MUTE, ONE_SIDE, LATE_IN_EARS})  # other ways are needed
_SINGLY: Final = 3  # strips whose switches are tried one by one


def has_route_cures(finding: Finding) -> bool:
    """Whether the cures of this module are those for a finding."""
    return finding.family in ("routing", "digital") and finding.code not in _GENERAL


def route_cures(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """Every cure that might help, cheapest kind first."""
    if finding.code in (BEHIND_FADER, BEFORE_FADER):
        yield from _taps(trial, finding)
    elif finding.code == OWN_MICROPHONE:
        yield from turns(trial, finding)
    elif finding.code == EARLY:
        yield from _delays(trial, finding)
    elif finding.code not in _NO_CURE:
        if finding.code == LOOP:
            yield from _sends_off(trial, finding)
        yield from switches(trial, finding)
        yield from _switches_of_strips(trial, finding)


def _set(trial: Trial, controls: list[str], value: float | str) -> Candidate:
    plans = trial.solution.rig.controls
    edits = tuple(Set(each, setting_text(value, plans[each])) for each in controls)
    return Candidate(edits, 1 if isinstance(value, str) else 0)


def _sends_off(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """Controls of crossings within a loop, each off."""
    solution = trial.solution
    number = solution.graph.index[finding.where]
    for each in solution.rounds:
        edges = edges_within(trial.reading.reach, each)
        if number in {edge.target for edge in edges}:
            for edge in edges:
                is_crossing = solution.graph.points[edge.target].control != edge.control
                if edge.control is not None and is_crossing:
                    plan = solution.rig.controls[edge.control]
                    if plan.kind == "range" and edge.control not in trial.show.locks:
                        yield _set(trial, [edge.control], plan.low)


# --- switches of strips ---


def _strips(trial: Trial, finding: Finding) -> list[Place]:
    """One stage of each strip with a signal that gets to where it was found."""
    reach = trial.reading.reach
    index = trial.solution.graph.index
    if finding.where not in index:
        return []
    before = reach.back([index[finding.where]])
    found: dict[tuple[str, str], Place] = {}
    for number in sorted(before):
        place = reach.places.get(number)
        if place is None or not trial.solution.nominal[number] > 0:
            continue
        if place.lane.block.name:
            found.setdefault((place.lane.item.id, place.lane.block.name), place)
    return list(found.values())


def _switches_of_strips(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """Other positions of their switches: of two desks together, of few strips singly."""
    together: dict[tuple[str, str], list[str]] = defaultdict(list)
    rig = trial.solution.rig
    items = {rig.ports[port].item.id for port in finding.ports if port in rig.ports}
    for address, plan in rig.controls.items():
        item, _, local = address.partition(".")
        if item in items and "." not in local and plan.kind == "switch":
            for option in plan.options:
                together[local, option].append(address)
    for (_, option), controls in together.items():
        wrong = [each for each in controls if rig.setting(each) != option]
        if len(wrong) > 1 and not set(wrong) & trial.show.locks:
            yield _set(trial, wrong, option)
    if finding.code in (COMB, LOOP):
        yield from _singly(trial, finding)


def _singly(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    rig = trial.solution.rig
    strips = [each for each in _strips(trial, finding) if each.lane.block.mixes]
    for place in strips[-_SINGLY:]:
        lane = place.lane
        for name, plan in lane.block.plan.controls.items():
            address = f"{lane.item.id}.{lane.block.address(name)}"
            if plan.kind == "switch" and address not in trial.show.locks:
                for option in plan.options:
                    if option != rig.setting(address):
                        yield _set(trial, [address], option)


def _taps(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """Positions of a switch that all sending strips have, which move the send and end none."""
    rig = trial.solution.rig
    bus = trial.solution.graph.index[finding.where]
    sends = [each for each in sends_of(trial.reading) if each.bus.number == bus]
    wrong = [each for each in sends if each.is_behind_fader is (finding.code == BEHIND_FADER)]
    lanes = list({id(each.strip.lane): each.strip.lane for each in wrong}.values())
    for name, plan in lanes[0].block.plan.controls.items() if lanes else ():
        controls = [f"{lane.item.id}.{lane.block.address(name)}" for lane in lanes]
        if plan.kind != "switch" or not set(controls) <= rig.controls.keys() - trial.show.locks:
            continue
        for option in plan.options:
            turned = _set(trial, [each for each in controls if rig.setting(each) != option], option)
            after = trial.after(turned.edits) if turned.edits else None
            if after is not None and _names(wrong) <= _names(_moved(after, finding)):
                yield turned


def _moved(after: Trial, finding: Finding) -> list[Send]:
    """Sends into the same sum that are now taken at the other side of the fader."""
    bus = after.solution.graph.index[finding.where]
    is_behind = finding.code == BEFORE_FADER
    found = (each for each in sends_of(after.reading) if each.bus.number == bus)
    return [each for each in found if each.is_behind_fader is is_behind]


def _names(sends: list[Send]) -> set[str]:
    return {each.strip.lane.block.name for each in sends}


# --- delays ---


def _delays(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """Dials of time before the loudspeaker: later by what it is early, and a little more."""
    early_s = 1e-3 * (finding.why[0].value or 0.0)
    rig = trial.solution.rig
    blocks = {(each.lane.item.id, each.lane.block.name) for each in _strips(trial, finding)}
    for address, plan in rig.controls.items():
        item, _, local = address.partition(".")
        is_before = (item, local.rpartition(".")[0]) in blocks
        if is_before and plan.kind == "dial" and plan.unit == "s":
            later_s = float(rig.setting(address)) + early_s + _BEHIND_S
            if plan.low <= later_s <= plan.high and address not in trial.show.locks:
                yield _set(trial, [address], round(later_s, 3))
