"""Each goal of a plan in words: what it demands, how far it gave way, and what would mend it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.solution import Solution
from levelhead.planning.gains.goals.worth import excess_db, missed_db, off_mark_db
from levelhead.planning.gains.model.values import Model, Reached
from levelhead.planning.gains.planned.plan import GoalName, GoalResult
from levelhead.planning.gains.programme.log_sums import LogSum
from levelhead.planning.gains.thresholds import LEVEL_HEARD_DB, MIX_FOR_SWITCH_DB, NOISE_HEARD_DB
from levelhead.planning.gains.wanted.areas import wanted_short
from levelhead.planning.gains.wanted.marks import Mark
from levelhead.quantity.formatting import format_level
from levelhead.verdicts.words import control_words, place_words

__all__ = ["results_of"]

Real = NDArray[np.float64]

_GAVE_WAY_DB: Final = 0.35  # less comes of setting tenths, and nobody hears it
_LOUDER: Final = (
    "what holds it stands below. Loudspeakers nearer to it or louder ones, or a level to be had."
)
_TOLD: Final = 3
_MATTERS: Final = 0.2  # of what a point gets
_BY_CURRENT: Final = 0.94  # 0.5 dB below the ceiling of its volts
_DOUBLE_DB: Final = 6.02  # half the distance of a microphone, free field


def results_of(
    model: Model, reached: Reached, after: Solution, settings: Real
) -> tuple[GoalResult, ...]:
    """All goals in their order."""
    teller = _Teller(model, reached, after, settings)
    return (
        teller.clipping(),
        teller.loudness(),
        teller.meters(),
        teller.noise(),
        teller.faders(),
        teller.changes(),
    )


class _Teller:
    def __init__(self, model: Model, reached: Reached, after: Solution, settings: Real) -> None:
        self.model, self.reached, self.settings = model, reached, settings
        self.after = after
        self.numbers = {address: point for point, address in model.addresses.items()}

    def clipping(self) -> GoalResult:
        """Peaks under ceilings."""
        excess = excess_db(self.model, self.settings)
        off = {self.model.addresses[point]: by for point, by in excess.items()}
        mends = [
            *(
                lock
                for address, by in _worst(off)
                for lock in self._locks(self._level_at(address), by, down=True)
            ),
            *(self._padded(address, by) for address, by in _worst(off)),
        ]
        reserves = {each.reserve_db for each in self.model.ceilings}
        least = max(reserves, default=0.0)
        return self._result(
            "clipping",
            f"Peaks stay {format_level(least, 'dB')} under the ceiling of every stage; within a "
            "player of recorded material they may reach it.",
            off,
            mends,
        )

    def loudness(self) -> GoalResult:
        """Sources at ends."""
        missed = missed_db(self.model, self.settings)
        off: dict[str, float] = {}
        mends: list[str] = []
        for number, by in sorted(missed.items(), key=lambda each: -abs(each[1])):
            target, level = self.model.targets[number]
            if abs(by) > _GAVE_WAY_DB and target.end.address not in off:
                off[target.end.address] = abs(by)
                mends += self._mended(level, by, target.term.origin)
        short = wanted_short(self.after)
        if short is not None and short[0] > LEVEL_HEARD_DB:
            by, area = short
            off[f"areas.{area}"] = by
            mends.insert(0, f"{self._area(area)} is {_db(by)} softer than wanted: {_LOUDER}")
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
            if -mark.may_db - _GAVE_WAY_DB <= by <= 0:
                continue
            off[self.model.addresses[mark.point]] = abs(by)
            if abs(by) > _GAVE_WAY_DB:
                level = self.model.levels[mark.point]
                mends += self._metered(level, by, mark)
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
        told = {address: by for address, by in off.items() if by > _GAVE_WAY_DB}
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

    # --- what would mend it

    def _level_at(self, address: str) -> LogSum:
        return self.model.levels[self.numbers[address]]

    def _origin_label(self, origin: str) -> str:
        labels = (each.label for each in self.after.graph.components if each.origin == origin)
        return next(labels, origin)

    def _locks(self, level: LogSum, by: float, *, down: bool) -> Iterator[str]:
        """Locked controls that have the room."""
        _, slope = level.tangent(self.settings)
        for number, knob in enumerate(self.model.knobs.knobs):
            if knob.is_locked and slope[number] > 1 / 2:
                plan = self.after.rig.controls[knob.control]
                room = knob.now_db - plan.low if down else plan.high - knob.now_db
                if room > _GAVE_WAY_DB:
                    way = "down" if down else "up"
                    words = control_words(self.after.rig, knob.control)
                    yield (
                        f"Unlock {words}: {format_level(min(abs(by), room), 'dB')} {way} are asked "
                        f"for, {_room_words(room)} there."
                    )

    def _padded(self, address: str, by: float) -> str:
        point = self.after.point(address)
        own = self._own_source(address)
        if own is not None:
            return (
                f"Nothing behind it mends that: {place_words(own)} itself gets {_db(by)} too much; "
                + self._softer(address)
            )
        return f"A pad of {_db(by)} or more before {place_words(point.label)}."

    def _softer(self, address: str) -> str:
        """What is left where no control stands before a point."""
        number, item = self.numbers[address], address.partition(".")[0]
        own = self.after.graph.wiring.columns.ceiling[number]
        if self.after.ceiling[number] < own * _BY_CURRENT:
            return (
                "its leads ask more current than it gives, so it clips early. "
                "Which: levelhead check SHOW"
            )
        if any(source.at == item for source in self.after.rig.sources):
            return "softer there, or a microphone further away (twice as far: 6 dB less)."
        return "it has to come softer from what plays or feeds it."

    def _own_source(self, address: str) -> str | None:
        """The source, where no control stands before a point."""
        level = self._level_at(address)
        if level.slopes.any():
            return None
        return self.after.point(address).label

    def _mended(self, level: LogSum, by: float, origin: str) -> Iterator[str]:
        """A source that is too quiet or too loud at an end."""
        yield from self._locks(level, by, down=by > 0)
        if by > 0:
            name = self._origin_label(origin)
            yield f"{name} comes {_db(by)} too loud: a pad of as much before its input."
            return
        full = self._at_reserve(level)
        if full is None:
            yield self._more_gain(origin, by)
            return
        yield (
            f"{self._origin_label(origin)} is {_db(by)} short: its peaks already use the reserve "
            f"of {place_words(full)}. A compressor on it, less of the others, or less reserve."
        )
        yield from self._switchable(level)

    def _switchable(self, level: LogSum) -> Iterator[str]:
        """Switches that would make up for it, if they were turned for so little."""
        knobs = self.model.knobs
        for number, (place, option) in enumerate(knobs.options, len(knobs.knobs)):
            more_db = float(level.slopes[:, number].max())
            if more_db > _GAVE_WAY_DB and not self.settings[number]:
                switch = knobs.switches[place]
                words = control_words(self.after.rig, switch.control)
                yield (
                    f"{words[:1].upper()}{words[1:]} at {switch.others[option].name} gives "
                    f"{_db(more_db)}; the plan turns it only where all that passes it is short by "
                    f"{_db(MIX_FOR_SWITCH_DB)} or more."
                )

    def _at_reserve(self, level: LogSum) -> str | None:
        """What a source would clip if it were louder."""
        own = np.abs(level.slopes).sum(axis=0) > 0
        for each in self.model.ceilings:
            there = self.model.levels[each.point]
            peak = there.level_db(self.settings) + self.model.crest_db[each.point]
            if each.ceiling_db - peak <= each.reserve_db + _GAVE_WAY_DB:
                _, slope = there.tangent(self.settings)
                if (np.abs(slope[own]) > _MATTERS).any():
                    return each.label
        return None

    def _metered(self, level: LogSum, by: float, mark: Mark) -> Iterator[str]:
        yield from self._locks(level, by, down=by > 0)
        if mark.alone is None:
            way = "over" if by > 0 else "under"
            yield (
                f"{place_words(mark.label)} shows {_db(by)} {way} its range with everything "
                "playing: that is the loudness asked for; trust its headroom."
            )
        elif by > 0:
            name = self._origin_label(mark.alone)
            yield f"{name} stands {_db(by)} over its meter's range: a pad before its input."
        else:
            yield self._more_gain(mark.alone, by)

    def _more_gain(self, origin: str, by: float) -> str:
        words = (
            f"{self._origin_label(origin)} is {_db(by)} short with every free control up: an input "
            "with that much more gain, or a preamplifier before it"
        )
        if any(source.id == origin for source in self.after.rig.sources):
            part = 2 ** (abs(by) / _DOUBLE_DB)
            return f"{words}; or its microphone at 1/{part:.1f} of the distance."
        return f"{words}."


def _worst(off: dict[str, float]) -> list[tuple[str, float]]:
    rank = sorted(off.items(), key=lambda each: -each[1])
    return [(address, by) for address, by in rank if by > _GAVE_WAY_DB][:_TOLD]


def _db(by: float) -> str:
    return format_level(abs(by), "dB")


def _room_words(room: float) -> str:
    return "as much as you like is" if math.isinf(room) else f"{format_level(room, 'dB')} are"
