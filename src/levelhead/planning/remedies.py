"""Remedies: edits that were applied to a copy, solved and judged before they are offered.

Candidates come in the order in which a practitioner would try them: turn a control, move a switch,
another socket of the rig, another cable. None is chosen by the name of an item; what counts is
what the solved copy says.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final

from levelhead.gear.connectors import mates
from levelhead.planning.trial import Trial
from levelhead.rig.cabling import usual_cable
from levelhead.rig.model import Rig, RigPort
from levelhead.rig.settings import setting_text
from levelhead.show.edits import Edit, Plug, Set, Unplug
from levelhead.show.model import Cable, Link
from levelhead.show.wording import sentence
from levelhead.verdicts.doubts import strongest_way
from levelhead.verdicts.finding import Finding, Remedy, Severity, worst
from levelhead.verdicts.gain import PEAK_RESERVE_DB, planned_gain_db
from levelhead.verdicts.strips import strips

__all__ = ["Candidate", "remedies_for", "with_remedies"]

MOST_OFFERED: Final = 3
_COST_OF_SOCKET: Final = 2
_PLAIN_ENDS: Final = 2
_LOWEST_USEFUL_DB: Final = -40.0  # below that a control is as good as off, common practice
_GIVING: Final = frozenset({"out", "through", "loudspeaker"})


@dataclass(frozen=True, slots=True)
class Candidate:
    """Edits that might help, and what they cost: 0 turn, 1 switch, 2 socket, 3 cable."""

    edits: tuple[Edit, ...]
    cost: int


def with_remedies(trial: Trial, findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Findings, each worse than fine with the remedies that held."""
    return tuple(
        finding
        if finding.severity is Severity.FINE
        else finding.with_remedies(remedies_for(trial, finding))
        for finding in findings
    )


def remedies_for(trial: Trial, finding: Finding) -> tuple[Remedy, ...]:
    """Up to three remedies: each was solved, removes the finding and brings nothing as bad."""
    held: list[tuple[int, int, Remedy]] = []
    for proposed in _candidates(trial, finding):
        tried = _tried(trial, proposed, finding)
        if tried is None:
            continue
        candidate, after = tried
        verdict = _verdict_after(after, finding, candidate)
        if verdict.rank < finding.severity.rank:
            remedy = Remedy(_words(trial, candidate), candidate.edits, verdict)
            held.append((verdict.rank, candidate.cost, remedy))
    held.sort(key=lambda each: each[:2])
    return tuple(remedy for *_, remedy in held[:MOST_OFFERED])


def _tried(trial: Trial, candidate: Candidate, finding: Finding) -> tuple[Candidate, Trial] | None:
    """A candidate that helps; where a moved plug brings trouble, with one more step."""
    after = trial.after(candidate.edits)
    if after is None:
        return None
    if _helps(trial, after, finding):
        return candidate, after
    if candidate.cost < _COST_OF_SOCKET:
        return None
    for trouble in after.judgement.worse_than_fine():
        if trouble.key == finding.key:
            return None
        for step in (*_turns(after, trouble), *_switches(after, trouble)):
            both = Candidate((*candidate.edits, *step.edits), candidate.cost + step.cost)
            mended = after.after(step.edits)
            if mended is not None and _helps(trial, mended, finding):
                return both, mended
    return None


def _words(trial: Trial, candidate: Candidate) -> str:
    spoken = [edit for edit in candidate.edits if not isinstance(edit, Unplug)]
    return "; ".join(sentence(edit, trial.show) for edit in spoken or candidate.edits)


def _helps(before: Trial, after: Trial, finding: Finding) -> bool:
    """The finding is gone, and nothing that fails or harms is new."""
    bad = {Severity.FAILS, Severity.HARM}
    known = {each.key: each.severity.rank for each in before.judgement.findings}
    for each in after.judgement.findings:
        if each.severity is Severity.FINE:
            continue
        if each.key == finding.key:
            return False
        if each.severity in bad and known.get(each.key, 0) < each.severity.rank:
            return False
    lost = set(before.solution.dead) - set(after.solution.dead)
    return len(after.judgement.worse_than_fine()) <= len(before.judgement.worse_than_fine()) + len(
        lost
    )


def _verdict_after(after: Trial, finding: Finding, candidate: Candidate) -> Severity:
    """Worst verdict left at the ports that the finding and the remedy touch."""
    touched = {*finding.ports, finding.where}
    for edit in candidate.edits:
        if isinstance(edit, Plug):
            touched |= set(edit.link.ends.values())
        if isinstance(edit, Unplug):
            touched -= set(edit.link.ends.values())
    return worst(
        [each.severity for each in after.judgement.findings if touched & {*each.ports, each.where}]
    )


def _candidates(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    yield from _turns(trial, finding)
    yield from _switches(trial, finding)
    yield from _replugs(trial, finding)
    yield from _recablings(trial, finding)


# --- controls ---


def _set(trial: Trial, control: str, value: float | str) -> Candidate:
    plan = trial.solution.rig.controls[control]
    if isinstance(value, float):
        value = min(max(float(round(value)), plan.low), plan.high)
    return Candidate((Set(control, setting_text(value, plan)),), 0 if plan.kind == "range" else 1)


def _turns(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """Ranges: the planned gain, the volume full, or a control before what clips turned down."""
    rig = trial.solution.rig
    if finding.where in rig.controls:
        for strip in strips(trial.solution):
            if strip.gain_control == finding.where:
                yield _set(trial, finding.where, strip.setting_for(planned_gain_db(strip)))
        if rig.controls[finding.where].kind == "range":
            yield _set(trial, finding.where, rig.controls[finding.where].high)
    if finding.margin is None or finding.where not in trial.solution.graph.index:
        return
    down_db = PEAK_RESERVE_DB - finding.margin
    way, _ = strongest_way(trial.solution, trial.solution.graph.index[finding.where])
    for edge in reversed(way):
        control = edge.control
        if control is None or rig.controls[control].kind != "range" or control in rig.show.locks:
            continue
        for lower_by in (down_db, 1 - finding.margin):
            setting = rig.setting_db(control) - lower_by
            if setting >= _LOWEST_USEFUL_DB:
                yield _set(trial, control, setting)


def _near_items(rig: Rig, finding: Finding) -> set[str]:
    """Items of the ports of a finding, and those plugged to them."""
    ports = [port for port in (*finding.ports, finding.where) if port in rig.ports]
    near = {rig.ports[port].item.id for port in ports}
    near |= {finding.where.partition(".")[0]} & set(rig.items)
    for link in rig.links:
        if set(link.ports) & set(ports):
            near |= {rig.ports[port].item.id for port in link.ports}
    return near


def _switches(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """Every other position of the switches of the items concerned, of the strips concerned only."""
    rig = trial.solution.rig
    touched = {rig.ports[port].block.name for port in finding.ports if port in rig.ports}
    for item_id in sorted(_near_items(rig, finding)):
        for address, control in rig.controls.items():
            owner, _, local = address.partition(".")
            block = local.partition(".")[0] if "." in local else ""
            is_near = owner == item_id and (block == "" or block in touched)
            if not is_near or control.kind != "switch" or address in rig.show.locks:
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
    sockets = [rig.ports[ends[end]].plan.socket for end in ("a", "b")]
    cable = usual_cable(trial.book, sockets[0], sockets[1])
    if cable is None:
        return None
    length_m = link.via[0].length_m if link.via else None
    new = Link(ends, (Cable(cable.type_id, length_m),))
    return Candidate((Unplug(link), Plug(new)), 2)


def _replugs(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """The same lead's ends in other free sockets of the two items."""
    rig = trial.solution.rig
    for link in _links_of(trial, finding):
        for end, roles in (("a", _GIVING), ("b", frozenset({"in"}))):
            for port in _free_alternatives(rig, link.ends[end], roles):
                candidate = _replugged(trial, link, {**link.ends, end: port.address})
                if candidate is not None:
                    yield candidate


def _recablings(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """Every other cable of the book that fits both sockets."""
    rig = trial.solution.rig
    for link in _links_of(trial, finding):
        used = {cable.type for cable in link.via}
        sockets = [rig.ports[link.ends[end]].plan.socket for end in ("a", "b")]
        for type_id in trial.book.ids:
            if type_id in used or trial.book.entry(type_id).ends is None:
                continue
            ends = list(trial.book.cable(type_id).ends.values())
            fits = len(ends) == _PLAIN_ENDS and any(
                mates(sockets[0], near) and mates(sockets[1], far)
                for near, far in (ends, ends[::-1])
            )
            if fits:
                length_m = link.via[0].length_m if link.via else None
                new = Link(dict(link.ends), (Cable(type_id, length_m),))
                yield Candidate((Unplug(link), Plug(new)), 3)
