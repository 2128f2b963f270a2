"""A move tried on a copy of the show, and with it the step that has to go with it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from itertools import chain, islice
from typing import Final, NamedTuple

from levelhead.planning.moves.candidate import (
    COST_OF_SOCKET,
    COST_OF_STOCK,
    COST_OF_SWITCH,
    COST_OF_TURN,
    Candidate,
)
from levelhead.planning.moves.controls import switches, turns
from levelhead.planning.moves.hum import on_one_strip
from levelhead.planning.remedy.earths import keeps_every_earth
from levelhead.planning.remedy.outcome import (
    heard,
    helps,
    is_of_the_plugs,
    is_of_the_supply,
    new_findings,
    revived,
    verdict_after,
)
from levelhead.planning.remedy.proposed import moves_for
from levelhead.planning.remedy.screening import surely_stays
from levelhead.planning.settle import settled
from levelhead.planning.trial import Trial
from levelhead.show.edits import Plug, Retype, Set
from levelhead.verdicts.hum.heard import is_hum
from levelhead.verdicts.phantom.arrives import PHANTOM
from levelhead.verdicts.told.finding import Finding
from levelhead.verdicts.told.severity import Severity

__all__ = ["AsSet", "Helped", "Settle", "as_set", "tried"]

Settle = Callable[[Trial], Trial]
Helped = tuple[Candidate, Trial]  # a move, and the copy in which it helps
_WIRING: Final = "wiring"
_MOST_OTHERS: Final = 12  # moves tried for somebody whom the supply would hurt


def _nothing() -> None:
    """Nobody asks for an end."""


@dataclass(frozen=True, slots=True)
class AsSet:
    """Every control stays where it stands; for each copy ``go_on`` may raise and end the work."""

    go_on: Callable[[], object] = _nothing

    def __call__(self, trial: Trial) -> Trial:
        """The trial as it is."""
        self.go_on()
        return trial


as_set: Final = AsSet()


def tried(trial: Trial, candidate: Candidate, finding: Finding, settle: Settle) -> Helped | None:
    """A candidate that helps; where a moved plug brings trouble, with one more step."""
    if isinstance(settle, AsSet):
        settle.go_on()
        is_known = trial.has_tried(candidate.edits)
        if not is_known and surely_stays(trial, candidate.edits, finding):
            return None
    moved = trial.after(candidate.edits)
    if moved is None or not keeps_every_earth(trial.solution.rig, moved.solution.rig):
        return None
    after = settle(moved)
    if helps(trial, after, finding, candidate):
        along = _switched_along(trial, after, finding, candidate, settle)
        along = along or _powered_along(_Asked(trial, finding, candidate), after, settle)
        along = along or _turned_along(_Asked(trial, finding, candidate), after, settle)
        return along or (candidate, after)
    if revived(trial, after, finding):
        return _with_others_first(trial, after, finding, candidate)
    if candidate.cost < COST_OF_SWITCH or not _is_kept(trial, after):
        return None
    asked = _Asked(trial, finding, candidate)
    if candidate.cost == COST_OF_SWITCH:
        return _turned_along(asked, after, settle)
    return _powered_along(asked, after, settle) or _with_a_step(asked, after, settle)


def _with_a_step(asked: _Asked, after: Trial, settle: Settle) -> Helped | None:
    """A moved plug with a turn or a switch against the trouble that it brought.

    A step that leaves nothing better than the gain at its place alone is none.
    """
    trial, finding, candidate = asked
    is_box = candidate.cost >= COST_OF_STOCK
    _, *gained = _with_gains(after, candidate, is_box=is_box)
    held = [each for each in gained if helps(trial, each[1], finding, each[0])]

    def rank(way: Helped) -> int:
        return verdict_after(trial, way[1], finding, way[0]).rank

    if any(rank(each) == Severity.FINE.rank for each in held):
        return held[0]
    for step in _next_steps(trial, after, finding):
        if isinstance(settle, AsSet) and not is_box and _leaves_trouble(asked, after, step):
            continue
        mended = after.after(step.edits)
        if mended is None or not keeps_every_earth(trial.solution.rig, mended.solution.rig):
            continue
        both = Candidate((*candidate.edits, *step.edits), candidate.cost + step.cost)
        ways = _with_gains(settle(mended), both, is_box=is_box)
        found = [each for each in ways if helps(trial, each[1], finding, each[0])]
        if found:
            return min((*held, *found), key=rank)
    return held[0] if held else None


def _switched_along(
    trial: Trial, after: Trial, finding: Finding, move: Candidate, settle: Settle
) -> Helped | None:
    """A moved plug with the switch that belongs to it: a half of a bridge, back in stereo."""
    if move.cost < COST_OF_SOCKET:
        return None
    wrong = [each for each in new_findings(trial, after) if each.family == _WIRING]
    for step in (step for each in wrong for step in switches(after, each)):
        switched = after.after(step.edits)
        both = Candidate((*move.edits, *step.edits), move.cost + step.cost)
        if switched is None:
            continue
        placed = settle(switched)
        left = {each.key for each in new_findings(trial, placed)}
        if left.isdisjoint(each.key for each in wrong) and helps(trial, placed, finding, both):
            return both, placed
    return None


def _powered_along(asked: _Asked, after: Trial, settle: Settle) -> Helped | None:
    """A plug out of harm's way that hums there, with both items on one strip.

    Whoever pulls a plug that harms something has it in hand already.
    """
    trial, finding, move = asked
    if finding.severity is not Severity.HARM or after.still(finding):
        return None
    hums = [each for each in new_findings(trial, after) if is_hum(each)]
    for step in (step for each in hums for step in on_one_strip(after, each)):
        powered = after.after(step.edits)
        if powered is None or not keeps_every_earth(trial.solution.rig, powered.solution.rig):
            continue
        both = Candidate((*move.edits, *step.edits), move.cost + COST_OF_SWITCH)
        placed = settle(powered)
        if not any(placed.still(each) for each in hums) and helps(trial, placed, finding, both):
            return both, placed
    return None


def _turned_along(asked: _Asked, after: Trial, settle: Settle) -> Helped | None:
    """A switch with the turn beside it that makes it fine: a line without phantom power is too hot.

    Whoever moves a switch has the knobs of that strip at hand.
    """
    trial, finding, move = asked
    if move.cost != COST_OF_SWITCH or after.still(finding):
        return None
    rig = after.solution.rig
    strips = {rig.strip_at(each.address) for each in move.edits if isinstance(each, Set)}
    for step in _next_steps(trial, after, finding):
        turned = [each for each in step.edits if isinstance(each, Set)]
        is_beside = {rig.strip_at(each.address) for each in turned} <= strips
        if step.cost > COST_OF_TURN or not is_beside:
            continue
        both = Candidate((*move.edits, *step.edits), move.cost + step.cost)
        mended = after.after(step.edits)
        placed = None if mended is None else settle(mended)
        if placed is not None and _makes_fine(_Asked(trial, finding, both), placed):
            return both, placed
    return None


def _makes_fine(asked: _Asked, after: Trial) -> bool:
    trial, finding, move = asked
    is_fine = verdict_after(trial, after, finding, move) is Severity.FINE
    return is_fine and helps(trial, after, finding, move)


def _is_kept(before: Trial, after: Trial) -> bool:
    """Whether all that was heard still is, or is behind a new box that has no supply yet."""
    new = after.solution.rig.items.keys() - before.solution.rig.items.keys()
    return bool(after.solution.dead & new) or heard(before) <= heard(after, like=before)


def _with_others_first(
    trial: Trial, after: Trial, finding: Finding, move: Candidate
) -> Helped | None:
    """A supply that would hurt somebody else: what is moved out of its way before it is on."""
    hurt = next((each for each in new_findings(trial, after) if is_of_the_supply(each)), None)
    if hurt is None:
        return None
    plugs = (
        each for each in moves_for(after, hurt) if any(isinstance(one, Plug) for one in each.edits)
    )
    for step in islice(plugs, _MOST_OTHERS):
        first = after.after(step.edits)
        both = Candidate((*step.edits, *move.edits), move.cost + step.cost)
        if first is not None and helps(trial, first, finding, both):
            return both, first
    return None


def _with_gains(trial: Trial, done: Candidate, *, is_box: bool) -> Iterator[Helped]:
    """A trial as it is; behind a box that came in, also with the gain there at its place."""
    yield done, trial
    if is_box:
        placed = settled(trial, trial.show.locks | _controls_elsewhere(trial, done))
        before = trial.show.settings
        more = tuple(
            Set(address, value)
            for address, value in placed.show.settings.items()
            if before.get(address) != value
        )
        yield replace(done, edits=(*done.edits, *more)), placed


def _controls_elsewhere(trial: Trial, move: Candidate) -> frozenset[str]:
    """Controls outside the strips into which a move plugs something, or another box."""
    rig = trial.solution.rig
    links = [edit.link for edit in move.edits if isinstance(edit, Plug)]
    boxes = {edit.item for edit in move.edits if isinstance(edit, Retype)}
    links += [link for link in trial.show.links if boxes & link.items]
    ports = [rig.ports[end] for link in links for end in link.ends.values() if end in rig.ports]
    strips = tuple(f"{port.strip}." for port in ports)
    return frozenset(address for address in rig.controls if not address.startswith(strips))


def _next_steps(before: Trial, after: Trial, finding: Finding) -> Iterator[Candidate]:
    """Turns and switches against the trouble that a move brought, if it did away with its own."""
    if after.still(finding):
        return
    steps = (
        step
        for trouble in new_findings(before, after)
        for step in chain(turns(after, trouble), switches(after, trouble))
        if step.cost <= COST_OF_SWITCH  # who moves a plug does not turn up half a rig besides
    )
    yield from {step.edits: step for step in steps}.values()  # each once, whatever asks for it


class _Asked(NamedTuple):
    """What is to be mended, and the move that might do it."""

    before: Trial
    finding: Finding
    move: Candidate


def _leaves_trouble(asked: _Asked, after: Trial, step: Candidate) -> bool:
    """Whether trouble that a move brought, too bad to be offered, surely stays after a step."""
    limit = min((asked.finding.severity, Severity.FAILS), key=lambda each: each.rank)
    if after.has_tried(step.edits):
        return False
    may_revive = asked.finding.family == PHANTOM  # what lives then may ask for more
    return any(
        each.severity.rank >= limit.rank and surely_stays(after, step.edits, each, limit)
        for each in new_findings(asked.before, after)
        if is_of_the_supply(each) or is_of_the_plugs(each, asked.move) or not may_revive
    )
