"""Remedies: edits that were applied to a copy, solved and judged before they are offered."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from levelhead.planning.moves.candidate import COST_OF_PURCHASE, Candidate
from levelhead.planning.remedy.earths import keeps_every_earth
from levelhead.planning.remedy.outcome import helps, revived, verdict_after, worst_left
from levelhead.planning.remedy.proposed import proposed
from levelhead.planning.remedy.screening import surely_stays
from levelhead.planning.remedy.silence import silence_words, silenced
from levelhead.planning.remedy.tried import Helped, Settle, as_set, tried
from levelhead.planning.remedy.words import remedy_words
from levelhead.planning.stock import stock_words
from levelhead.planning.trial import Trial
from levelhead.show.edits import AddItem, Set
from levelhead.verdicts.told.finding import Finding, Remedy
from levelhead.verdicts.told.severity import Severity

__all__ = ["Search", "remedies_for", "searched", "words_of"]

MOST_OFFERED: Final = 3
_ALIVE: Final = "{who} plays then; what remains: {what}"
_STAYS: Final = "what else was found there stays"
_ON_CONDITION: Final = "on a condition: {what}"
_FARTHER: Final = 1  # who may turn a control need not think of another socket
_FINE: Final = Severity.FINE.rank
_SILENT: Final = Severity.CARE.rank + 0.5  # behind what works on a condition, with all that plays
_Held = tuple[float, int, Remedy]  # rank of the verdict after it, cost


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
            outcome: Helped | None = known
        else:
            outcome = tried(trial, each, finding, settle)
        if outcome is not None:
            held += _held(trial, finding, *outcome)
    if _cheapest_fine(held) >= COST_OF_PURCHASE:
        held += _eased(trial, finding, settle, heard_of)
    held.sort(key=_order)
    remedies = _each_once([remedy for *_, remedy in held])[:MOST_OFFERED]
    return Search(tuple(heard_of), is_whole, remedies)


def _order(held: _Held) -> tuple[float, bool, bool, int]:
    """What leaves least and keeps all playing first, then least trouble.

    Of what is not there a lead before a box.
    """
    rank, cost, remedy = held
    is_bought = cost >= COST_OF_PURCHASE
    is_box = any(isinstance(each, AddItem) for each in remedy.edits)
    return rank, is_bought, is_bought and is_box, cost


def _eased(
    trial: Trial, finding: Finding, settle: Settle, moves: Iterable[Candidate]
) -> Iterator[_Held]:
    """Moves with what is at hand after which what fails works on a condition: that is said.

    Searched only where nothing at hand makes it fine.
    """
    if finding.severity is not Severity.FAILS:
        return
    for move in moves:
        if move.cost >= COST_OF_PURCHASE or surely_stays(
            trial, move.edits, finding, Severity.FAILS
        ):
            continue
        moved = trial.after(move.edits)
        if moved is None or not keeps_every_earth(trial.solution.rig, moved.solution.rig):
            continue
        after = settle(moved)
        left = next(
            (each for each in after.left_of(finding) if each.severity is Severity.CARE), None
        )
        if left is not None and helps(trial, after, finding, move, Severity.CARE):
            for rank, cost, remedy in _held(trial, finding, move, after):
                told = _ON_CONDITION.format(what=left.what.rstrip("."))
                yield rank, cost, replace(remedy, do=f"{remedy.do} ({told})")


def _held(trial: Trial, finding: Finding, candidate: Candidate, after: Trial) -> Iterator[_Held]:
    """A remedy, if it leaves less, or something lives that was dead.

    Of two faults at one place each is mended by itself: the words say that the other stays, and
    it comes behind those that leave nothing so bad.
    """
    verdict = rank_after = verdict_after(trial, after, finding, candidate)
    silent = silenced(trial, after)
    notes = [silence_words(trial.show, silent)]
    if verdict.rank >= finding.severity.rank:
        alive = revived(trial, after, finding)
        what = _remains(worst_left(trial, after, finding, candidate))
        notes.append(_ALIVE.format(who=alive, what=what) if alive else _STAYS)
        if not alive:
            verdict = verdict_after(trial, after, finding, candidate, leaving_old=True)
            if verdict.rank >= finding.severity.rank:
                return
    told = "; ".join(each for each in notes if each)
    words = words_of(trial, candidate)
    do = f"{words} ({told})" if told else words
    rank = max(rank_after.rank, _SILENT) if silent else rank_after.rank
    yield rank, candidate.cost, Remedy(do, candidate.edits, verdict)


def _remains(left: Finding | None) -> str:
    """The first clause of what is left when something plays that was dead."""
    return "" if left is None else left.what.partition(". ")[0].partition(":")[0].rstrip(".")


def _cheapest_fine(held: Sequence[_Held]) -> float:
    """Cost of the least trouble that makes it fine, ``inf`` while there is none."""
    return min((cost for rank, cost, _ in held if rank == Severity.FINE.rank), default=math.inf)


def _is_beaten(held: Sequence[_Held], cost: int) -> bool:
    """Whether as many as are offered make it fine already, none of them at more trouble."""
    better = [remedy for rank, other, remedy in held if rank == _FINE and other <= cost]
    return len(_each_once(better)) >= MOST_OFFERED


def _each_once(remedies: Sequence[Remedy]) -> tuple[Remedy, ...]:
    """Of several settings of the same controls, the first; none that does more for no more."""
    kept: dict[tuple[str, ...], Remedy] = {}
    for remedy in remedies:
        if any(_does_more_than(remedy, other) for other in kept.values()):
            continue
        turned = tuple(edit.address for edit in remedy.edits if isinstance(edit, Set))
        is_all = len(turned) == len(remedy.edits)
        kept.setdefault(turned if is_all else (remedy.do,), remedy)
    return tuple(kept.values())


def _does_more_than(remedy: Remedy, other: Remedy) -> bool:
    """Whether it is all of another one and more, and leaves nothing less bad."""
    is_more = len(remedy.edits) > len(other.edits) and all(
        each in remedy.edits for each in other.edits
    )
    return is_more and remedy.verdict_after.rank >= other.verdict_after.rank


def words_of(trial: Trial, candidate: Candidate) -> str:
    """What is done, and what of it the stock has."""
    words = remedy_words(candidate.edits, trial.show, trial.book)
    stock = stock_words(trial.show, candidate.edits)
    return f"{words} ({stock})" if stock else words
