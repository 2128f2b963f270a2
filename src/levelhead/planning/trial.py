"""A show with its solution and judgement, and the same after some edits."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Final

from levelhead.chain.bends import TriedIslands
from levelhead.chain.hum import ChainHum
from levelhead.chain.solution import Solution, solve
from levelhead.errors import LevelheadError
from levelhead.gear.book import GearBook
from levelhead.rig.build import Locator, build_rig
from levelhead.show.edits import Edit, apply
from levelhead.show.model import Show
from levelhead.verdicts.finding import Finding
from levelhead.verdicts.judge import Judgement, judge_reading
from levelhead.verdicts.reading import Reading
from levelhead.verdicts.severity import Severity

__all__ = ["Trial", "try_show"]

_MOST_KEPT: Final = 12  # trials of one show; several findings ask for the same switch


@dataclass(frozen=True, eq=False)
class Trial:
    """A show, solved, and judged when somebody asks.

    ``before`` is what it was edited from; ``islands`` are those that any of its trials has tried.
    """

    show: Show
    book: GearBook
    solution: Solution
    before: Trial | None = None
    islands: TriedIslands = field(default_factory=TriedIslands)
    _kept: dict[str, Trial | None] = field(default_factory=dict)

    @cached_property
    def reading(self) -> Reading:
        """The solution as rules read it; what an edit left of the hum is taken from before."""
        return Reading(self.solution, self._hum_before(), self.islands)

    def _hum_before(self) -> ChainHum | None:
        """Hum of the nearest trial before that was asked for it."""
        trial = self.before
        while trial is not None:
            if "reading" in vars(trial) and "hum" in vars(trial.reading):
                return trial.reading.hum
            trial = trial.before
        return None

    @cached_property
    def judgement(self) -> Judgement:
        """What all rules find."""
        return judge_reading(self.reading)

    def still(self, finding: Finding) -> bool:
        """Whether what was found before the edits is there still: one rule tells."""
        rule = None if self.before is None else self.before.judgement.rules.get(finding.code)
        found = self.judgement.findings if rule is None else rule(self.reading)
        return any(each.key == finding.key and each.severity is not Severity.FINE for each in found)

    def after(self, edits: Sequence[Edit]) -> Trial | None:
        """The same with edits applied to a copy; ``None`` when they do not go together."""
        key = repr(edits)
        if key not in self._kept:
            if len(self._kept) >= _MOST_KEPT:
                del self._kept[next(iter(self._kept))]
            self._kept[key] = self._after(edits)
        return self._kept[key]

    def _after(self, edits: Sequence[Edit]) -> Trial | None:
        try:
            show, _ = apply(self.show, edits)
            rig = build_rig(show, self.book, previous=self.solution.rig)
            solution = solve(rig, self.solution)
        except LevelheadError:
            return None
        return Trial(show, self.book, solution, self, self.islands)


def try_show(show: Show, book: GearBook, locator: Locator | None = None) -> Trial:
    """Solve a show; errors of the show are raised as they are."""
    return Trial(show, book, solve(build_rig(show, book, locator)))
