"""A show with its solution and judgement, and the same after some edits."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from weakref import ref

from levelhead.chain.draws.bends import TriedIslands
from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.errors import LevelheadError
from levelhead.gear.book import GearBook
from levelhead.planning.arrivals import Arrival, arrivals_of
from levelhead.planning.kept_trials import Budget, bytes_of
from levelhead.rig.build import Locator, build_rig
from levelhead.rig.model import Rig
from levelhead.show.edits import Edit, apply
from levelhead.show.model import Show
from levelhead.verdicts.judge import Found, Judgement, judge_found
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Finding
from levelhead.verdicts.told.severity import Severity

__all__ = ["Trial", "try_show"]


@dataclass(frozen=True, eq=False)
class Trial:
    """A show, solved, and judged when somebody asks.

    ``islands`` are those that any of its trials has tried, ``budget`` says which of them are kept.
    What it was edited from is held weakly: that one keeps its trials, and a circle would stay in
    memory until a collector comes by.
    """

    show: Show
    book: GearBook
    solution: Solution
    edited_from: ref[Trial] | None = None
    islands: TriedIslands = field(default_factory=TriedIslands)
    budget: Budget = field(default_factory=Budget)
    _kept: dict[str, Trial | None] = field(default_factory=dict)
    _edited: dict[str, tuple[Show, Rig] | None] = field(default_factory=dict)

    def __repr__(self) -> str:
        return f"Trial({self.show.name!r}, {len(self.solution.nominal)} points)"

    @property
    def before(self) -> Trial | None:
        """What it was edited from, as long as somebody has it."""
        return None if self.edited_from is None else self.edited_from()

    @property
    def reading(self) -> Reading:
        """The solution as rules read it."""
        return self.found.reading

    @cached_property
    def found(self) -> Found:
        """What each rule finds, once it was asked; what an edit left as it was is from before."""
        trial = self.before
        while trial is not None and "found" not in vars(trial):
            trial = trial.before
        if trial is None:
            return Found(Reading.of(self.solution, islands=self.islands))
        before = trial.found  # stamps and what is kept have to come from one and the same reading
        reading = Reading.of(self.solution, before.reading, self.islands)
        return Found(reading, before.kept.after(), before.tellers)

    @cached_property
    def judgement(self) -> Judgement:
        """What all rules find."""
        return judge_found(self.found)

    @cached_property
    def ranks(self) -> Mapping[tuple[str, str], int]:
        """How bad each finding is, by its key."""
        return {each.key: each.severity.rank for each in self.judgement.findings}

    @cached_property
    def arrivals(self) -> frozenset[Arrival]:
        """Each signal with each end that it gets to."""
        return arrivals_of(self.solution)

    def still(self, finding: Finding, over: Severity = Severity.FINE) -> bool:
        """Whether what was found before the edits is worse than ``over`` still: one rule tells."""
        return any(each.severity.rank > over.rank for each in self.left_of(finding))

    def left_of(self, finding: Finding) -> tuple[Finding, ...]:
        """What the rule of a finding says of its place after the edits, fine or not."""
        before = self.before
        rule = None if before is None else before.judgement.rules.get(finding.code)
        found = self.judgement.findings if rule is None else self.found.at(rule, finding.where)
        return tuple(each for each in found if each.key == finding.key)

    def has_tried(self, edits: Sequence[Edit]) -> bool:
        """Whether these edits were tried, and the trial is kept."""
        return repr(edits) in self._kept

    def after(self, edits: Sequence[Edit]) -> Trial | None:
        """The same with edits applied to a copy; ``None`` when they do not go together."""
        key = repr(edits)
        if key in self._kept:
            self.budget.asked(self, key)
            return self._kept[key]
        trial = self._kept[key] = self._after(edits)
        if trial is not None:
            self.budget.hold(self, key, bytes_of(trial.solution, self.solution))
        return trial

    def let_go(self, edits: str) -> None:
        """Keep the trial of some edits no more; whoever asks for it again has it solved again."""
        self._kept.pop(edits, None)

    def let_go_all(self) -> None:
        """Keep no trial: nobody is going to try anything for a while."""
        self._kept.clear()
        self._edited.clear()
        self.budget.forget(self)

    def _after(self, edits: Sequence[Edit]) -> Trial | None:
        edited = self.edited(edits)
        if edited is None:
            return None
        try:
            solution = solve(edited[1], self.solution)
        except LevelheadError:
            return None
        return Trial(edited[0], self.book, solution, ref(self), self.islands, self.budget)

    def edited(self, edits: Sequence[Edit]) -> tuple[Show, Rig] | None:
        """The show after edits, and its rig; ``None`` when they do not go together.

        The last one is kept: who asks for it mostly asks for the trial next.
        """
        key = repr(edits)
        if key not in self._edited:
            self._edited.clear()
            try:
                show, _ = apply(self.show, edits)
                self._edited[key] = show, build_rig(show, self.book, previous=self.solution.rig)
            except LevelheadError:
                self._edited[key] = None
        return self._edited[key]


def try_show(show: Show, book: GearBook, locator: Locator | None = None) -> Trial:
    """Solve a show; errors of the show are raised as they are."""
    return Trial(show, book, solve(build_rig(show, book, locator)))
