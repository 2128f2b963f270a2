"""How far to turn what, and what else moves with it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Any, Final

from levelhead.chain.meters import meter_reading_db
from levelhead.chain.solution import Solution
from levelhead.gear.positions import hand_words
from levelhead.planning.desks import Desk
from levelhead.planning.gains.planned.ends import MeterMark
from levelhead.planning.trial import Trial
from levelhead.rig.settings import setting_text
from levelhead.show.addresses import strip_of
from levelhead.show.edits import Set
from levelhead.verdicts.read.gain_plan import PEAK_RESERVE_DB
from levelhead.verdicts.read.strips import Strip
from levelhead.verdicts.told.words import control_label

__all__ = ["Move", "Turn", "moves_of", "strip_at", "turn_of"]

_LEAST_DB: Final = 0.5  # nobody turns less, common practice


@dataclass(frozen=True, slots=True)
class Turn:
    """A gain that is turned: from where to where."""

    control: str
    label: str
    now: str
    hand_now: str
    to: str
    hand_to: str
    by_db: float

    @property
    def edit(self) -> Set:
        """What does it."""
        return Set(self.control, self.to)

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        return {
            "control": self.control,
            "now": self.now,
            "hand_now": self.hand_now,
            "to": self.to,
            "hand_to": self.hand_to,
            "by_db": round(self.by_db, 1) + 0.0,
        }


@dataclass(frozen=True, slots=True)
class Move:
    """Something that gets as much more or less of the source when the gain is turned.

    ``by`` is the level that would bring it back: the fader of the strip, or a send before it.
    """

    end: str
    label: str
    by_db: float
    is_before_fader: bool
    by: str | None
    by_label: str

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        return {
            "end": self.end,
            "by_db": round(self.by_db, 1) + 0.0,
            "before_fader": self.is_before_fader,
            "control": self.by,
        }


def strip_at(trial: Trial, address: str) -> Strip | None:
    """The strip whose meter, or whose stages up to it, stand at a point."""
    strips = trial.reading.strips
    metered = next((each for each in strips if each.metered.address == address), None)
    if metered is not None:
        return metered
    place = strip_of(address)
    return next((each for each in strips if strip_of(each.port) == place), None)


def turn_of(trial: Trial, strip: Strip, meters: Sequence[MeterMark]) -> tuple[Turn | None, float]:
    """The gain of a strip, so that its meter reads what it should; and what that leaves over. [dB]

    By the mark of the gain plan where there is one, else the loud passage at the meter's zero with
    a reserve on peaks. No turn where the meter is right, or no gain is free to be turned.
    """
    rig = trial.solution.rig
    wanted_db = _wanted_db(trial, strip, meters)
    if abs(wanted_db) < _LEAST_DB:
        return None, 0.0
    if strip.gain_control is None:
        return None, wanted_db
    plan, now_db = rig.controls[strip.gain_control], rig.setting_db(strip.gain_control)
    to_db = round(min(max(now_db + wanted_db, plan.low), plan.high), 1)
    turn = Turn(
        strip.gain_control,
        plan.label,
        setting_text(now_db, plan),
        hand_words(plan, now_db),
        setting_text(to_db, plan),
        hand_words(plan, to_db),
        to_db - now_db,
    )
    left_db = wanted_db - turn.by_db
    return (turn if to_db != now_db else None), (left_db if abs(left_db) >= _LEAST_DB else 0.0)


def _wanted_db(trial: Trial, strip: Strip, meters: Sequence[MeterMark]) -> float:
    """How far the gain is to be turned, if it had no ends. [dB]"""
    mark = next((each for each in meters if each.at == strip.metered.address), None)
    meter = strip.metered.meter
    reads_db = None
    if meter is not None:
        reads_db = meter_reading_db(trial.solution.levels(strip.metered.address), meter)
    if mark is None or reads_db is None:
        room_db = strip.clipping_setting_db - PEAK_RESERVE_DB + strip.fixed_db
        return min(strip.needed_db, room_db) - strip.now_db
    if mark.low_db <= reads_db <= mark.high_db:
        return 0.0
    return mark.reads_db - reads_db


def moves_of(trial: Trial, strip: Strip, turn: Turn) -> tuple[Move, ...]:
    """Every end that the strip feeds, once, with what the turn does there.

    Ends are loudspeakers, earphones, recorders and outputs. What passes the strip's fader can be
    brought back with it; what is sent before it only with its own send.
    """
    found: dict[str, Move] = {}
    for way in _Ways(trial.solution, strip, turn).through():
        known = found.get(way.end)
        if known is None or (known.is_before_fader and not way.is_before_fader):
            found[way.end] = way
    return tuple(found.values())


@dataclass(frozen=True, eq=False)
class _Ways:
    """Ways of a signal that pass a gain which is turned."""

    solution: Solution
    strip: Strip
    turn: Turn

    def through(self) -> Iterator[Move]:
        rig = self.solution.rig
        port = rig.ports[self.strip.port]
        fader = Desk(rig, port.item).fader(port.block)
        own = f"{port.item.id}.{port.block.name}."
        for way in self.solution.paths:
            controls = self._controls(way)
            if self.turn.control not in controls:
                continue
            behind = controls[controls.index(self.turn.control) + 1 :]
            before = fader is None or fader not in behind
            sends = [each for each in behind if each.startswith(own) and self._is_range(each)]
            back = fader if not before else next(iter(sends), None)
            end = self.solution.point(way[-1]).item
            if end == port.item.id:  # an output that nothing is plugged into
                continue
            yield Move(
                end=end,
                label=rig.items[end].label if end in rig.items else end,
                by_db=self.turn.by_db,
                is_before_fader=before,
                by=back,
                by_label="" if back is None else control_label(rig, back),
            )

    def _is_range(self, control: str) -> bool:
        return self.solution.rig.controls[control].kind == "range"

    def _controls(self, way: Sequence[str]) -> list[str]:
        """Controls that a way passes, of stages and of crossings, in signal order."""
        index, found = self.solution.graph.index, list[str]()
        for before, address in pairwise(way):
            crossing = self._crossings.get((index[before], index[address]))
            found += [each for each in (crossing, self.solution.point(address).control) if each]
        return list(dict.fromkeys(found))

    @cached_property
    def _crossings(self) -> Mapping[tuple[int, int], str]:
        return {
            (edge.source, edge.target): edge.control
            for edge in self.solution.graph.edges
            if edge.control is not None
        }
