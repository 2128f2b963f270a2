"""A reading becomes a fact: the source that was heard gets the level that it has."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final

from levelhead.chain.graph.points import Component
from levelhead.chain.solution import Solution
from levelhead.gear.plan import GeneratorPlan
from levelhead.planning.seen.reading import Seen, predicted_db
from levelhead.quantity.decibels import DBU_REFERENCE_V, P_REFERENCE_PA
from levelhead.rig.model import RigItem
from levelhead.show.edits import ChangeSource, Edit, SetFigure
from levelhead.verdicts.read.doubts import strongest_way

__all__ = ["READ_WITHIN_DB", "Fact", "fact_of"]

READ_WITHIN_DB: Final = 1.0  # as close as a moving meter is read, common practice
FAR_DB: Final = 10.0  # beyond its range, more than distance and aim make: `common practice`
_IN_DB: Final = frozenset({"dB", "dBu", "dBFS", "dB SPL"})
_MOSTLY: Final = 0.9  # share of the power that makes a reading one of that source


@dataclass(frozen=True, slots=True)
class Fact:
    """What a reading says of its source.

    Attributes
    ----------
    origin
        Id of the source in the air, or of the item that makes the signal.
    label
        The same in people's words.
    predicted_db
        What the meter would have read by what was known.
    off_db
        How much louder the source is than was taken.
    was, now
        Its level in words, before and after.
    edits
        What writes it into the show.
    others
        Whether others are heard at that meter too.
    clips
        Whether the stage is at its end: the source is at least so loud.
    range_db
        How much softer and how much louder such a source may be, by what was known.
    """

    origin: str
    label: str
    predicted_db: float
    off_db: float
    was: str
    now: str
    edits: tuple[Edit, ...]
    others: bool
    source: Component
    range_db: tuple[float, float]
    clips: bool

    @property
    def is_believed(self) -> bool:
        """Whether it says how loud the source is."""
        return not (self.clips or self.others or self.is_doubted)

    @property
    def is_doubted(self) -> bool:
        """Whether no such source is so soft or loud: then the way to the meter is at fault."""
        softer_db, louder_db = self.range_db
        return not -softer_db - FAR_DB <= self.off_db <= louder_db + FAR_DB

    def off_by(self, solution: Solution, off_db: float) -> Fact:
        """The same with another difference, such as the mean of several readings."""
        if off_db == self.off_db:
            return self
        was, now, edits = _corrected(solution, self.source, off_db)
        return replace(self, off_db=off_db, was=was, now=now, edits=edits)


def fact_of(solution: Solution, seen: Seen) -> Fact | None:
    """The fact behind a reading; ``None`` where nothing is expected at that meter."""
    predicted = predicted_db(solution, seen)
    row = solution.number(seen.at)
    source = strongest_way(solution, row).source
    if predicted is None or source is None:
        return None
    off_db = seen.level_db - predicted
    was, now, edits = _corrected(solution, source, off_db)
    return Fact(
        origin=source.origin,
        label=source.label.split(", ")[0],
        predicted_db=predicted,
        off_db=off_db,
        was=was,
        now=now,
        edits=edits,
        others=_share(solution, row, source) < _MOSTLY,
        source=source,
        range_db=_range_db(source),
        clips=_clips(solution, seen),
    )


def _clips(solution: Solution, seen: Seen) -> bool:
    """Whether peaks that read so are at the end of the stage; a reading of rms does not tell."""
    ceiling = solution.levels(seen.at).ceiling
    is_of_peaks = seen.detector in {"peak", "true-peak"}
    return is_of_peaks and ceiling is not None and seen.level_db >= ceiling - READ_WITHIN_DB / 2


def _range_db(source: Component) -> tuple[float, float]:
    """How much softer and louder than its usual level a source may be."""
    level = source.level
    if level.unit in _IN_DB:
        return level.value - level.low, level.high - level.value
    return 20 * math.log10(level.value / level.low), 20 * math.log10(level.high / level.value)


def _share(solution: Solution, row: int, source: Component) -> float:
    """Share of a source in the power at a point."""
    carried, components = solution.carried, solution.graph.components
    total = own = 0.0
    for number in range(len(carried.point)):
        if carried.point[number] == row and carried.component[number] < carried.first_noise:
            power = float(carried.power[number].sum())
            total += power
            if components[carried.component[number]].origin == source.origin:
                own += power
    return own / total if total > 0 else 1.0


def _corrected(
    solution: Solution, source: Component, off_db: float
) -> tuple[str, str, tuple[Edit, ...]]:
    """Words before and after, and the edit: of a source in the air, or of an item's own signal."""
    rig = solution.rig
    voice = next((each for each in rig.sources if each.id == source.origin), None)
    if voice is not None:
        at_1_m = voice.air.level_pa.value * voice.air.at_m
        was_db = 20 * math.log10(at_1_m / P_REFERENCE_PA)
        was, now = f"{was_db:.1f} dB SPL at 1 m", f"{was_db + off_db:.1f} dB SPL"
        level = f"{now} +- {READ_WITHIN_DB:g} dB"
        return (
            was,
            f"{now} at 1 m",
            (ChangeSource(replace(rig.show.sources[voice.id], level=level)),),
        )
    item = rig.items[source.origin]
    found = _generator(item, source)
    if found is None:
        return "", "", ()
    address, generator = found
    unit, was_db = _level_of(generator)
    now = f"{was_db + off_db:+.1f} {unit}"
    edit = SetFigure(item.id, address, f"{now} +- {READ_WITHIN_DB:g} dB")
    return f"{was_db:+.1f} {unit}", now, (edit,)


def _generator(item: RigItem, source: Component) -> tuple[str, GeneratorPlan] | None:
    """The generator of a signal, and the address of its level below the item."""
    for block, path in item.paths():
        for origin in path.origins:
            own = f"{item.id}.{block.name}"
            if origin.generator is not None and source.name.startswith(own):
                return block.address("generator.level"), origin.generator
    return None


def _level_of(generator: GeneratorPlan) -> tuple[str, float]:
    """Unit and level of what it makes."""
    if generator.unit == "FS":
        return "dBFS", generator.level.value
    return "dBu", 20 * math.log10(generator.level.value / DBU_REFERENCE_V)
