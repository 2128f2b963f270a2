"""What would mend a goal that gave way: locks, pads, switches, more gain, less of the rest."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.solution import Solution
from levelhead.planning.gains.model.values import Model
from levelhead.planning.gains.programme.log_sums import LogSum
from levelhead.planning.gains.thresholds import GAVE_WAY_DB, MIX_FOR_SWITCH_DB
from levelhead.planning.gains.wanted.ceilings import Ceiling
from levelhead.planning.gains.wanted.marks import Mark
from levelhead.quantity.formatting import format_level
from levelhead.verdicts.told.words import control_words, place_words

__all__ = ["Mends"]

_MATTERS: Final = 0.2  # of what a point gets
_BY_CURRENT: Final = 0.94  # 0.5 dB below the ceiling of its volts
_DOUBLE_DB: Final = 6.02  # half the distance of a microphone, free field


@dataclass(frozen=True, eq=False)
class Mends:
    """What would mend a plan at these settings, solved as ``after``; each a sentence."""

    model: Model
    after: Solution
    settings: NDArray[np.float64]

    def of_clipping(self, excess: Sequence[tuple[int, float]]) -> Iterator[str]:
        """Points whose peaks use up the reserve, worst first, each with by how much. [dB]"""
        for point, by in excess:
            yield from self._locks(self.model.levels[point], by, down=True)
        for point, by in excess:
            yield self._padded(point, by)

    def of_loudness(self, level: LogSum, by: float, origin: str) -> Iterator[str]:
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
            f"of {place_words(full.label)}. A compressor on it, less of the others, or less "
            "reserve."
        )
        yield from self._switchable(level, full.point)

    def of_meter(self, level: LogSum, by: float, mark: Mark) -> Iterator[str]:
        """A meter that stands outside its range at sound check."""
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

    def _padded(self, point: int, by: float) -> str:
        place = place_words(self.after.graph.points[point].label)
        if not self.model.levels[point].slopes.any():  # no control stands before it
            return (
                f"Nothing behind it mends that: {place} itself gets {_db(by)} too much; "
                + self._softer(point)
            )
        return f"A pad of {_db(by)} or more before {place}."

    def _softer(self, point: int) -> str:
        """What is left where no control stands before a point."""
        item = self.model.addresses[point].partition(".")[0]
        own = self.after.graph.wiring.columns.ceiling[point]
        if self.after.ceiling[point] < own * _BY_CURRENT:
            return (
                "its leads ask more current than it gives, so it clips early. "
                "Which: levelhead check SHOW"
            )
        if any(source.at == item for source in self.after.rig.sources):
            return "softer there, or a microphone further away (twice as far: 6 dB less)."
        return "it has to come softer from what plays or feeds it."

    def _locks(self, level: LogSum, by: float, *, down: bool) -> Iterator[str]:
        """Locked controls that have the room."""
        _, slope = level.tangent(self.settings)
        for number, knob in enumerate(self.model.knobs.knobs):
            if knob.is_locked and slope[number] > 1 / 2:
                plan = self.after.rig.controls[knob.control]
                room = knob.now_db - plan.low if down else plan.high - knob.now_db
                if room > GAVE_WAY_DB:
                    way = "down" if down else "up"
                    words = control_words(self.after.rig, knob.control)
                    yield (
                        f"Unlock {words}: {format_level(min(abs(by), room), 'dB')} {way} are asked "
                        f"for, {_room_words(room)} there."
                    )

    def _switchable(self, level: LogSum, full: int) -> Iterator[str]:
        """Switches that would make up for it, if they were turned for so little.

        One that makes the point louder whose reserve is used makes up for nothing.
        """
        knobs = self.model.knobs
        for number, (place, option) in enumerate(knobs.options, len(knobs.knobs)):
            more_db = float(level.slopes[:, number].max())
            takes_db = float(self.model.levels[full].slopes[:, number].max())
            takes_db -= self.model.option_ceilings.get(full, {}).get(number, 0.0)
            makes_up = more_db > GAVE_WAY_DB >= takes_db
            if makes_up and not self.settings[number]:
                switch = knobs.switches[place]
                words = control_words(self.after.rig, switch.control)
                yield (
                    f"{words[:1].upper()}{words[1:]} at {switch.others[option].name} gives "
                    f"{_db(more_db)}; the plan turns it only where all that passes it is short by "
                    f"{_db(MIX_FOR_SWITCH_DB)} or more."
                )

    def _at_reserve(self, level: LogSum) -> Ceiling | None:
        """What a source would clip if it were louder."""
        own = np.abs(level.slopes).sum(axis=0) > 0
        for each in self.model.ceilings:
            there = self.model.levels[each.point]
            peak = there.level_db(self.settings) + self.model.crest_db[each.point]
            if each.ceiling_db - peak <= each.reserve_db + GAVE_WAY_DB:
                _, slope = there.tangent(self.settings)
                if (np.abs(slope[own]) > _MATTERS).any():
                    return each
        return None

    def _more_gain(self, origin: str, by: float) -> str:
        words = (
            f"{self._origin_label(origin)} is {_db(by)} short with every free control up: an input "
            "with that much more gain, or a preamplifier before it"
        )
        if any(source.id == origin for source in self.after.rig.sources):
            part = 2 ** (abs(by) / _DOUBLE_DB)
            return f"{words}; or its microphone at 1/{part:.1f} of the distance."
        return f"{words}."

    def _origin_label(self, origin: str) -> str:
        labels = (each.label for each in self.after.graph.components if each.origin == origin)
        return next(labels, origin)


def _db(by: float) -> str:
    return format_level(abs(by), "dB")


def _room_words(room: float) -> str:
    return "as much as you like is" if math.isinf(room) else f"{format_level(room, 'dB')} are"
