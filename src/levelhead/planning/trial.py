"""A show with its solution and judgement, and the same after some edits."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from levelhead.chain.solution import Solution, solve
from levelhead.errors import LevelheadError
from levelhead.gear.book import GearBook
from levelhead.rig.build import Locator, build_rig
from levelhead.show.edits import Edit, apply
from levelhead.show.model import Show
from levelhead.verdicts.judge import Judgement, judge

__all__ = ["Trial", "try_show"]


@dataclass(frozen=True, slots=True, eq=False)
class Trial:
    """A show, solved and judged."""

    show: Show
    book: GearBook
    solution: Solution
    judgement: Judgement

    def after(self, edits: Sequence[Edit]) -> Trial | None:
        """The same with edits applied to a copy; ``None`` when they do not go together."""
        try:
            show, _ = apply(self.show, edits)
            solution = solve(build_rig(show, self.book, previous=self.solution.rig), self.solution)
        except LevelheadError:
            return None
        return Trial(show, self.book, solution, judge(solution, self.judgement))


def try_show(show: Show, book: GearBook, locator: Locator | None = None) -> Trial:
    """Solve and judge a show; errors of the show are raised as they are."""
    solution = solve(build_rig(show, book, locator))
    return Trial(show, book, solution, judge(solution))
