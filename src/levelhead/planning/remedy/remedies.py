"""Remedies: edits that were applied to a copy, solved and judged before they are offered."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import chain, islice
from typing import Final

from levelhead.planning.moves.boxes import CONNECTION_FAMILIES, boxes_and_leads, is_lead_for
from levelhead.planning.moves.candidate import (
    COST_OF_PURCHASE,
    COST_OF_SOCKET,
    COST_OF_STOCK,
    COST_OF_TURN,
    Candidate,
)
from levelhead.planning.moves.controls import switches, turns
from levelhead.planning.moves.hum import hum_cures
from levelhead.planning.moves.in_order import candidates
from levelhead.planning.moves.made_for import boxes_made_for
from levelhead.planning.moves.pairs import pairs_moved
from levelhead.planning.moves.parted import sides_parted
from levelhead.planning.moves.routes import has_route_cures, route_cures
from levelhead.planning.remedy.earths import keeps_every_earth
from levelhead.planning.remedy.outcome import (
    heard,
    helps,
    is_of_the_supply,
    new_findings,
    revived,
    verdict_after,
)
from levelhead.planning.remedy.screening import surely_stays
from levelhead.planning.remedy.silence import silence_words, silenced
from levelhead.planning.remedy.words import remedy_words
from levelhead.planning.settle import settled
from levelhead.planning.stock import drawn, is_bought, stock_words
from levelhead.planning.trial import Trial
from levelhead.show.edits import Plug, Retype, Set
from levelhead.verdicts.air.asked import AIR
from levelhead.verdicts.finding import Finding, Remedy
from levelhead.verdicts.hum.heard import is_hum
from levelhead.verdicts.people.words import PEOPLE
from levelhead.verdicts.phantom.arrives import PHANTOM
from levelhead.verdicts.severity import Severity

__all__ = [
    "Helped",
    "Search",
    "Settle",
    "as_set",
    "proposed",
    "remedies_for",
    "searched",
    "words_of",
]

MOST_OFFERED: Final = 3
_MOST_OTHERS: Final = 12  # moves tried for somebody whom the supply would hurt
_ALIVE: Final = "{who} plays then; what that asks for the next check tells"
_STAYS: Final = "what else was found there stays"
_FARTHER: Final = 1  # who may turn a control need not think of another socket
Settle = Callable[[Trial], Trial]
_FINE: Final = Severity.FINE.rank
Helped = tuple[Candidate, Trial]  # a move, and the copy in which it helps
_Held = tuple[int, int, Remedy]  # rank of the verdict after it, cost


def as_set(trial: Trial) -> Trial:
    """Every control stays where it stands."""
    return trial


@dataclass(frozen=True, slots=True)
class Search:
    """What was proposed against a finding until enough had held, and the remedies that held.

    ``is_whole`` where nothing more would have been proposed.
    """

    proposed: tuple[Candidate, ...]
    is_whole: bool
    remedies: tuple[Remedy, ...]


def remedies_for(trial: Trial, finding: Finding, settle: Settle = as_set) -> tuple[Remedy, ...]:
    """Up to three remedies: each was solved, removes the finding and brings nothing as bad.

    Once something makes it fine, only what is little more trouble is tried besides. ``settle``
    brings controls that nobody has set to their place after a move.
    """
    return searched(trial, finding, settle).remedies


def searched(
    trial: Trial, finding: Finding, settle: Settle = as_set, known: Helped | None = None
) -> Search:
    """The same, with all that was proposed on the way; one move is ``known`` to help."""
    held: list[_Held] = []
    heard_of: list[Candidate] = []
    is_whole = True
    for each in proposed(trial, finding):
        heard_of.append(each)
        if each.cost > _cheapest_fine(held) + _FARTHER:
            is_whole = False
            break
        if _is_beaten(held, each.cost):
            continue
        if known is not None and each.edits == known[0].edits:
            tried: Helped | None = known
        else:
            tried = _tried(trial, each, finding, settle)
        if tried is not None:
            held += _held(trial, finding, *tried)
    held.sort(key=lambda each: each[:2])
    remedies = _each_once([remedy for *_, remedy in held])[:MOST_OFFERED]
    return Search(tuple(heard_of), is_whole, remedies)


def _held(trial: Trial, finding: Finding, candidate: Candidate, after: Trial) -> Iterator[_Held]:
    """A remedy, if it leaves less, or something lives that was dead.

    Of two faults at one place each is mended by itself: the words say that the other stays, and
    it comes behind those that leave nothing so bad.
    """
    verdict = rank_after = verdict_after(trial, after, finding, candidate)
    notes = [silence_words(trial.show, silenced(trial, after))]
    if verdict.rank >= finding.severity.rank:
        alive = revived(trial, after, finding)
        notes.append(_ALIVE.format(who=alive) if alive else _STAYS)
        if not alive:
            verdict = verdict_after(trial, after, finding, candidate, leaving_old=True)
            if verdict.rank >= finding.severity.rank:
                return
    told = "; ".join(each for each in notes if each)
    words = words_of(trial, candidate)
    do = f"{words} ({told})" if told else words
    yield rank_after.rank, candidate.cost, Remedy(do, candidate.edits, verdict)


def proposed(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """What might mend it, cables out of the stock where it has them; what is to be bought last."""
    bought: list[Candidate] = []
    for move in _moves(trial, finding):
        edits = drawn(trial.show, move.edits)
        if is_bought(trial.show, edits):
            bought.append(Candidate(edits, COST_OF_PURCHASE))
        else:
            yield replace(move, edits=edits)
    yield from bought


def _moves(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """What might mend it: hum has cures of its own; no knob mends a load or a lead."""
    if is_hum(finding):
        yield from hum_cures(trial, finding)
        return
    if has_route_cures(finding):
        yield from route_cures(trial, finding)
        return
    if finding.family == AIR:
        from levelhead.planning.air.cures import air_cures  # what reckons rooms is loaded for them

        yield from air_cures(trial, finding)
        return
    if finding.family == PEOPLE:  # told only: an edit would read as leave to go on
        return
    made_for = chain(
        sides_parted(trial, finding), pairs_moved(trial, finding), boxes_made_for(trial, finding)
    )
    if finding.family not in CONNECTION_FAMILIES:
        yield from chain(candidates(trial, finding), made_for)
        return
    for move in chain(candidates(trial, finding), made_for, boxes_and_leads(trial, finding)):
        if move.cost > COST_OF_TURN and is_lead_for(trial, move):
            yield move


def _cheapest_fine(held: Sequence[_Held]) -> float:
    """Cost of the least trouble that makes it fine, ``inf`` while there is none."""
    return min((cost for rank, cost, _ in held if rank == Severity.FINE.rank), default=math.inf)


def _is_beaten(held: Sequence[_Held], cost: int) -> bool:
    """Whether as many as are offered make it fine already, none of them at more trouble."""
    better = [remedy for rank, other, remedy in held if rank == _FINE and other <= cost]
    return len(_each_once(better)) >= MOST_OFFERED


def _each_once(remedies: Sequence[Remedy]) -> tuple[Remedy, ...]:
    """Of several settings of the same controls, the first."""
    kept: dict[tuple[str, ...], Remedy] = {}
    for remedy in remedies:
        turned = tuple(edit.address for edit in remedy.edits if isinstance(edit, Set))
        is_all = len(turned) == len(remedy.edits)
        kept.setdefault(turned if is_all else (remedy.do,), remedy)
    return tuple(kept.values())


def _tried(trial: Trial, candidate: Candidate, finding: Finding, settle: Settle) -> Helped | None:
    """A candidate that helps; where a moved plug brings trouble, with one more step."""
    is_untried = settle is as_set and not trial.has_tried(candidate.edits)
    if is_untried and surely_stays(trial, candidate.edits, finding):
        return None
    moved = trial.after(candidate.edits)
    if moved is None or not keeps_every_earth(trial.solution.rig, moved.solution.rig):
        return None
    after = settle(moved)
    if helps(trial, after, finding, candidate):
        return candidate, after
    if revived(trial, after, finding):
        return _with_others_first(trial, after, finding, candidate)
    if candidate.cost < COST_OF_SOCKET or not _is_kept(trial, after):
        return None
    is_box = candidate.cost >= COST_OF_STOCK
    for step in _next_steps(trial, after, finding):
        if settle is as_set and not is_box and _leaves_trouble(trial, after, step, finding):
            continue
        mended = after.after(step.edits)
        if mended is None:
            continue
        both = Candidate((*candidate.edits, *step.edits), candidate.cost + step.cost)
        tried = _with_gains(settle(mended), both, is_box=is_box)
        held = [each for each in tried if helps(trial, each[1], finding, each[0])]
        if held:
            return min(held, key=lambda each: verdict_after(trial, each[1], finding, both).rank)
    return None


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
        each for each in _moves(after, hurt) if any(isinstance(one, Plug) for one in each.edits)
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
    )
    yield from {step.edits: step for step in steps}.values()  # each once, whatever asks for it


def _leaves_trouble(before: Trial, after: Trial, step: Candidate, finding: Finding) -> bool:
    """Whether trouble that a move brought, too bad to be offered, surely stays after a step."""
    limit = min((finding.severity, Severity.FAILS), key=lambda each: each.rank)
    if after.has_tried(step.edits):
        return False
    may_revive = finding.family == PHANTOM  # of what lives then only the supply's doings count
    return any(
        each.severity.rank >= limit.rank and surely_stays(after, step.edits, each, limit)
        for each in new_findings(before, after)
        if is_of_the_supply(each) or not may_revive
    )


def words_of(trial: Trial, candidate: Candidate) -> str:
    """What is done, and what of it the stock has."""
    words = remedy_words(candidate.edits, trial.show, trial.book)
    stock = stock_words(trial.show, candidate.edits)
    return f"{words} ({stock})" if stock else words
