"""Knobs that stand wrong at several strips, turned together in one copy of the show.

Who mends one of them mends them all, so what all of them do together is what counts: whether the
mix behind them still has room. Where that copy mends every finding and brings nothing at all that
is worse than fine, each turn holds; else the lot is halved, and what is left is tried one by one.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Final, NamedTuple

from levelhead.planning.moves.candidate import COST_OF_TURN, Candidate
from levelhead.planning.remedy.outcome import helps, new_findings
from levelhead.planning.remedy.proposed import proposed
from levelhead.planning.remedy.tried import Helped
from levelhead.planning.trial import Trial
from levelhead.show.edits import Set
from levelhead.verdicts.told.finding import Finding
from levelhead.verdicts.told.severity import Severity

__all__ = ["turned_together"]

_LEAST: Final = 2  # of one there is nothing to try together
_MOST_IN_VAIN: Final = 2  # lots that did not hold, after which each finding is searched alone


class _Turn(NamedTuple):
    """A finding, and the turn of its own strip that should mend it."""

    finding: Finding
    move: Candidate


def turned_together(trial: Trial, findings: Iterable[Finding]) -> Mapping[int, Helped]:
    """By the identity of each finding that is mended so: its turn, and the copy with all of them.

    Only what stands at strips of their own, and whose first remedy is a turn there.
    """
    found: dict[int, Helped] = {}
    lots = deque([tuple(_turns(trial, findings))])
    in_vain = 0
    while lots and in_vain < _MOST_IN_VAIN:
        lot = lots.popleft()
        if len(lot) < _LEAST:
            continue
        after = _mended(trial, lot)
        if after is None:
            in_vain += 1
            lots += [lot[: len(lot) // 2], lot[len(lot) // 2 :]]
        else:
            found |= {id(each.finding): (each.move, after) for each in lot}
    return found


def _turns(trial: Trial, findings: Iterable[Finding]) -> Iterator[_Turn]:
    """The first turn of each finding that stands at a control; of one strip a single one."""
    strips: set[str] = set()
    rig = trial.solution.rig
    for finding in findings:
        strip = rig.strip_at(finding.where) if finding.where in rig.controls else None
        if strip is None or strip in strips or finding.severity is Severity.HARM:
            continue
        move = next(proposed(trial, finding), None)
        if move is not None and move.cost == COST_OF_TURN and _is_within(trial, move, strip):
            strips.add(strip)
            yield _Turn(finding, move)


def _is_within(trial: Trial, move: Candidate, strip: str) -> bool:
    rig = trial.solution.rig
    return all(isinstance(each, Set) and rig.strip_at(each.address) == strip for each in move.edits)


def _mended(trial: Trial, lot: Sequence[_Turn]) -> Trial | None:
    """The show with all of a lot turned, if that mends each of them and nothing is new."""
    together = Candidate(tuple(edit for each in lot for edit in each.move.edits), COST_OF_TURN)
    after = trial.after(together.edits)
    if after is None or any(True for _ in new_findings(trial, after)):
        return None
    return after if all(helps(trial, after, each.finding, together) for each in lot) else None
