"""Remedies: edits that were applied to a copy, solved and judged before they are offered."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from levelhead.planning.moves import COST_OF_SOCKET, Candidate, candidates, switches, turns
from levelhead.planning.trial import Trial
from levelhead.show.edits import Plug, Unplug
from levelhead.show.wording import sentence
from levelhead.verdicts.finding import Finding, Remedy
from levelhead.verdicts.severity import Severity, worst

__all__ = ["remedies_for", "with_remedies"]

MOST_OFFERED: Final = 3


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
    for proposed in candidates(trial, finding):
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
    if candidate.cost < COST_OF_SOCKET:
        return None
    for trouble in after.judgement.worse_than_fine():
        if trouble.key == finding.key:
            return None
        for step in (*turns(after, trouble), *switches(after, trouble)):
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
