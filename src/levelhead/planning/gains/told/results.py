"""Each goal of a plan in words: what it demands, and how far it gave way."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.solution import Solution
from levelhead.planning.gains.goals.worth import excess_db, missed_db, off_mark_db
from levelhead.planning.gains.model.values import Model, Reached
from levelhead.planning.gains.planned.plan import GoalName, GoalResult
from levelhead.planning.gains.thresholds import GAVE_WAY_DB, LEVEL_HEARD_DB, NOISE_HEARD_DB
from levelhead.planning.gains.told.mends import Mends
from levelhead.planning.gains.wanted.areas import wanted_short
from levelhead.quantity.formatting import format_level
from levelhead.verdicts.told.words import place_words

__all__ = ["results_of"]

Real = NDArray[np.float64]

_LOUDER: Final = (
    "what holds it stands below. Loudspeakers nearer to it or louder ones, or a level to be had."
)
_TOLD: Final = 3


def results_of(
    model: Model, reached: Reached, after: Solution, settings: Real
) -> tuple[GoalResult, ...]:
    """All goals in their order."""
    goals = _Goals(model, reached, after, settings)
    return (
        goals.clipping(),
        goals.loudness(),
        goals.meters(),
        goals.noise(),
        goals.faders(),
        goals.changes(),
    )


class _Goals:
    """The goals of one plan; ``mends`` knows what helps where one gave way."""

    def __init__(self, model: Model, reached: Reached, after: Solution, settings: Real) -> None:
        self.model, self.reached, self.settings = model, reached, settings
        self.after = after
        self.mends = Mends(model, after, settings)

    def clipping(self) -> GoalResult:
        """Peaks under ceilings."""
        excess = excess_db(self.model, self.settings)
        off = {self.model.addresses[point]: by for point, by in excess.items()}
        reserves = {each.reserve_db for each in self.model.ceilings}
        least = max(reserves, default=0.0)
        return self._result(
            "clipping",
            f"Peaks stay {format_level(least, 'dB')} under the ceiling of every stage; within a "
            "player of recorded material they may reach it.",
            off,
            list(self.mends.of_clipping(_worst(excess))),
        )

    def loudness(self) -> GoalResult:
        """Sources at ends."""
        missed = missed_db(self.model, self.settings)
        off: dict[str, float] = {}
        mends: list[str] = []
        for number, by in sorted(missed.items(), key=lambda each: -abs(each[1])):
            target, level = self.model.targets[number]
            if abs(by) > GAVE_WAY_DB and target.end.address not in off:
                off[target.end.address] = abs(by)
                mends += self.mends.of_loudness(level, by, target.term.origin)
        short = wanted_short(self.after)
        if short is not None and short[0] > LEVEL_HEARD_DB:
            by, area = short
            off[f"areas.{area}"] = by
            mends.insert(
                0, f"{self._area(area)} is {format_level(by, 'dB')} softer than wanted: {_LOUDER}"
            )
        return self._result(
            "loudness",
            "Every source keeps its place against the others, and the loudest moment its level at "
            "the loudspeakers.",
            off,
            mends,
        )

    def meters(self) -> GoalResult:
        """Meters at sound check."""
        found = off_mark_db(self.model, self.settings)
        off: dict[str, float] = {}
        mends: list[str] = []
        for number, by in sorted(found.items(), key=lambda each: -abs(each[1])):
            mark = self.model.marks[number]
            if -mark.may_db - GAVE_WAY_DB <= by <= 0:
                continue
            off[self.model.addresses[mark.point]] = abs(by)
            if abs(by) > GAVE_WAY_DB:
                level = self.model.levels[mark.point]
                mends += self.mends.of_meter(level, by, mark)
        return self._result(
            "meters",
            "Each source alone stands at its meter's zero with its loud passage (percussion: "
            "its peaks 9 dB above), or up to 3 dB under it; so does a mix with everything playing.",
            off,
            mends,
        )

    def noise(self) -> GoalResult:
        """A-weighted noise at the ends."""
        return self._result(
            "noise",
            f"A-weighted noise at every end is within {format_level(NOISE_HEARD_DB, 'dB')} of the "
            "lowest that the goals before it leave.",
            {},
            [],
        )

    def faders(self) -> GoalResult:
        """Faders near unity."""
        return self._result(
            "faders", "Faders and masters stand near unity, where they resolve best.", {}, []
        )

    def changes(self) -> GoalResult:
        """Controls that move."""
        return self._result("changes", "As few controls as possible are touched.", {}, [])

    def _result(
        self, name: GoalName, demands: str, off: dict[str, float], mends: Sequence[str]
    ) -> GoalResult:
        told = {address: by for address, by in off.items() if by > GAVE_WAY_DB}
        where = tuple(sorted(told, key=lambda each: -told[each]))
        return GoalResult(
            name=name,
            demands=demands,
            reached=not told,
            gave_way_db=max(told.values(), default=0.0),
            value_db=self.reached.values.get(name, 0.0),
            bound_db=self.reached.bounds.get(name, 0.0),
            where=where,
            places=tuple(self._place(each) for each in where),
            mends=tuple(dict.fromkeys(mends))[:_TOLD],
        )

    def _place(self, address: str) -> str:
        """A point in words; an area by its name."""
        if address.startswith("areas."):
            return self._area(address.removeprefix("areas."))
        return place_words(self.after.point(address).label)

    def _area(self, area: str) -> str:
        return self.after.rig.show.areas[area].label or area


def _worst(excess: dict[int, float]) -> list[tuple[int, float]]:
    rank = sorted(excess.items(), key=lambda each: -each[1])
    return [(point, by) for point, by in rank if by > GAVE_WAY_DB][:_TOLD]
