"""All findings of a show with their remedies: what holds for one of many alike is tried once.

Of findings that may be swapped with nothing changed (``remedy.alike``), one is searched as ever.
What was refused for it is refused for all. What held is called as it is called for the others,
carried out for a lot of them in one copy, solved and judged: each has to be gone as it would alone.
A lot after which one is not is halved, and who is left alone is searched alone. Knobs that stand
wrong at several strips are turned in one copy as well (``remedy.together``): each finding has to be
gone, and nothing may be new anywhere.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import islice

from levelhead.planning.moves.candidate import Candidate
from levelhead.planning.remedy.alike import Part, Parts, renamed
from levelhead.planning.remedy.earths import keeps_every_earth
from levelhead.planning.remedy.outcome import helps, verdict_after
from levelhead.planning.remedy.proposed import proposed
from levelhead.planning.remedy.remedies import Search, remedies_for, searched, words_of
from levelhead.planning.remedy.together import turned_together
from levelhead.planning.remedy.tried import AsSet, Helped, Settle, as_set
from levelhead.planning.trial import Trial
from levelhead.show.edits import Edit
from levelhead.verdicts.told.finding import Finding, Remedy
from levelhead.verdicts.told.severity import Severity

__all__ = ["Offers", "Progress", "with_remedies"]

Progress = Callable[[int, int], object]
"""Hears how much of long work is done, of how much."""


def with_remedies(
    trial: Trial,
    findings: Iterable[Finding],
    settle: Settle = as_set,
    told: Progress | None = None,
) -> tuple[Finding, ...]:
    """Findings, each worse than fine with the remedies that held.

    ``told`` hears before each of these how many were tried, of how many.
    """
    listed = tuple(findings)
    worse = [each for each in listed if each.severity is not Severity.FINE]
    offers = Offers(trial, worse) if isinstance(settle, AsSet) else None
    found: list[Finding] = []
    done = 0
    for finding in listed:
        if finding.severity is Severity.FINE:
            found.append(finding)
            continue
        if told is not None:
            told(done, len(worse))
        if offers is not None and isinstance(settle, AsSet):
            remedies = offers.of(finding, settle)
        else:
            remedies = remedies_for(trial, finding, settle)
        found.append(finding.with_remedies(remedies))
        done += 1
    return tuple(found)


@dataclass(frozen=True, slots=True)
class _Member:
    """One of several alike findings, and what is called otherwise there."""

    finding: Finding
    part: Part


@dataclass(frozen=True, eq=False)
class Offers:
    """Remedies of the findings of a trial; of those that are alike, one is searched."""

    trial: Trial
    findings: Sequence[Finding]
    _known: dict[int, tuple[Remedy, ...]] = field(default_factory=dict)
    _parts: dict[int, Part | None] = field(default_factory=dict)

    @cached_property
    def _turned(self) -> Mapping[int, Helped]:
        """Turns that mend some of the findings, tried together."""
        return turned_together(self.trial, self.findings)

    def of(self, finding: Finding, as_set: AsSet = as_set) -> tuple[Remedy, ...]:
        """Up to three remedies of one of the findings.

        Work that ``as_set`` ends by an error is begun again when somebody asks again.
        """
        if id(finding) not in self._known:
            known = self._turned.get(id(finding))
            search = searched(self.trial, finding, as_set, known)
            self._known[id(finding)] = search.remedies
            self._share(finding, search)
        return self._known[id(finding)]

    def _share(self, finding: Finding, search: Search) -> None:
        """Try for those alike what was found for one."""
        first = self._part(finding)
        if first is None or any(
            each.verdict_after.rank >= finding.severity.rank or self._has_a_note(each)
            for each in search.remedies
        ):
            return
        members = [
            each for each in self._alike(finding, first) if self._asks_the_same(first, search, each)
        ]
        lots = _Lots(self.trial, first, search.remedies)
        for member, remedies in lots.held(members):
            self._known[id(member.finding)] = remedies

    def _has_a_note(self, remedy: Remedy) -> bool:
        """Whether more is said of it than what is done: who stays silent, what stays."""
        return remedy.do != words_of(self.trial, Candidate(remedy.edits, 0))

    def _part(self, finding: Finding) -> Part | None:
        if not self._parts:
            parts = Parts(self.trial.solution.rig)
            self._parts.update((id(each), parts.at(each)) for each in self.findings)
        return self._parts.get(id(finding))

    def _alike(self, finding: Finding, first: Part) -> Iterator[_Member]:
        for each in self.findings:
            part = self._part(each)
            is_open = each is not finding and id(each) not in self._known
            if is_open and part is not None and part.likeness == first.likeness:
                yield _Member(each, part)

    def _asks_the_same(self, first: Part, search: Search, member: _Member) -> bool:
        """Whether the same is proposed, in the same order, as far as was looked."""
        mine = islice(proposed(self.trial, member.finding), len(search.proposed) + search.is_whole)
        theirs = (renamed(each, first.own_names) for each in search.proposed)
        ours = [renamed(each, member.part.own_names) for each in mine]
        return ours == list(theirs)


@dataclass(frozen=True, slots=True)
class _Lots:
    """Remedies of a finding, tried for many others that are alike, lot by lot."""

    trial: Trial
    first: Part
    remedies: tuple[Remedy, ...]

    def held(self, members: Sequence[_Member]) -> Iterator[tuple[_Member, tuple[Remedy, ...]]]:
        """Those for whom all of it held, with what is done there."""
        size, start = 2, 0
        grows = True
        while start < len(members):
            lot = members[start : start + size]
            found = self._tried(lot)
            if found is None and len(lot) > 1:
                size, grows = len(lot) // 2, False
                continue
            if found is not None:
                yield from zip(lot, found, strict=True)
            start += len(lot)
            size = 2 * size if grows else size

    def _tried(self, lot: Sequence[_Member]) -> list[tuple[Remedy, ...]] | None:
        """Every remedy carried out for all of a lot; ``None`` where one does not hold for one."""
        found: list[tuple[Remedy, ...]] = [() for _ in lot]
        for remedy in self.remedies:
            every = [renamed(remedy.edits, self.first.names_of(each.part)) for each in lot]
            if not self._holds(remedy, lot, every):
                return None
            found = [
                (
                    *known,
                    Remedy(words_of(self.trial, Candidate(edits, 0)), edits, remedy.verdict_after),
                )
                for known, edits in zip(found, every, strict=True)
            ]
        return found

    def _holds(
        self, remedy: Remedy, lot: Sequence[_Member], every: Sequence[tuple[Edit, ...]]
    ) -> bool:
        """Whether all of a lot are mended in one copy, and each is then as the first one was."""
        both = tuple({repr(edit): edit for edits in every for edit in edits}.values())
        after = self.trial.after(both)
        if after is None or not keeps_every_earth(self.trial.solution.rig, after.solution.rig):
            return False
        return all(
            helps(self.trial, after, each.finding, Candidate(both, 0))
            and verdict_after(self.trial, after, each.finding, Candidate(edits, 0))
            is remedy.verdict_after
            for each, edits in zip(lot, every, strict=True)
        )
