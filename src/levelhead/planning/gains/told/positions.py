"""Positions of a plan: each control as it stands and as it goes, and what holds it there."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.levels import REFERENCE_OF_UNIT
from levelhead.planning.gains.model.values import Model
from levelhead.planning.gains.planned.plan import Bind, Position
from levelhead.planning.gains.read.knobs import Knob, Knobs
from levelhead.rig.model import Rig
from levelhead.rig.settings import UNKNOWN, setting_text
from levelhead.show.addresses import item_of
from levelhead.show.edits import Set
from levelhead.verdicts.told.words import control_label

__all__ = ["level_in_unit", "positions_of", "settings_edits", "strip_of"]

Real = NDArray[np.float64]

_AT_LIMIT_DB: Final = 0.15  # tenths of several controls
_MOVED_DB: Final = 0.05


def settings_edits(rig: Rig, knobs: Knobs, settings: Real) -> list[Set]:
    """Edits that bring controls from where they stand to some settings."""
    edits = [
        Set(knob.control, setting_text(float(value), rig.controls[knob.control]))
        for knob, value in zip(knobs.knobs, settings, strict=False)
        if _moves(knob, float(value))
    ]
    for variable, (place, option) in enumerate(knobs.options, len(knobs.knobs)):
        if settings[variable] > 1 / 2:
            switch = knobs.switches[place]
            edits.append(Set(switch.control, switch.others[option].name))
    return edits


def _moves(knob: Knob, value: float) -> bool:
    return not knob.is_locked and (abs(value - knob.now_db) > _MOVED_DB or not knob.is_known)


def positions_of(rig: Rig, model: Model, settings: Real) -> tuple[Position, ...]:
    """Every control that leads to an end or a meter, along the signal; switches that move."""
    found = [
        _called(rig, each)
        for each in (*_knobs(rig, model, settings), *_switches(rig, model, settings))
    ]
    depths: dict[str, int] = {}
    for knob in model.knobs.knobs:
        item = knob.control.partition(".")[0]
        depths[item] = min(depths.get(item, knob.depth), knob.depth)
    rank = {control: number for number, control in enumerate(rig.controls)}

    def place(position: Position) -> tuple[int, bool, int]:
        """Items along the signal, and of an item its strips before what it has once."""
        item, _, local = position.control.partition(".")
        return depths.get(item, 0), "." not in local, rank[position.control]

    return tuple(sorted(found, key=place))


def _called(rig: Rig, position: Position) -> Position:
    """Loudness of whom, and where, by the crew's names."""
    bind = position.bind
    if bind.goal != "loudness":
        return position
    named = replace(bind, label=label_of(rig, bind.label), end=label_of(rig, item_of(bind.at)))
    return replace(position, bind=named)


def label_of(rig: Rig, name: str) -> str:
    """What the crew calls a source or an item, by its id."""
    labels = {each.id: each.label for each in rig.sources}
    return labels.get(name) or (rig.items[name].label if name in rig.items else name)


def _knobs(rig: Rig, model: Model, settings: Real) -> Iterator[Position]:
    binds = _Binds(model, settings)
    controls = rig.controls
    for number, knob in enumerate(model.knobs.knobs):
        plan = controls[knob.control]
        value = float(settings[number])
        now = setting_text(knob.now_db, plan)
        planned = setting_text(value, plan) if _moves(knob, value) else now
        yield Position(
            control=knob.control,
            label=_label(rig, knob.control),
            kind=knob.kind,
            now=now if knob.is_known else UNKNOWN,
            planned=planned,
            gain_now_db=knob.now_db if knob.is_known else None,
            gain_planned_db=value,
            bind=binds.of(number),
            locked=knob.is_locked,
            strip=strip_of(rig, knob.control),
        )


def _switches(rig: Rig, model: Model, settings: Real) -> Iterator[Position]:
    knobs = model.knobs
    for variable, (place, option) in enumerate(knobs.options, len(knobs.knobs)):
        switch = knobs.switches[place]
        if settings[variable] > 1 / 2:
            chosen = switch.others[option]
            by_db = min(chosen.edges.values(), key=lambda each: -abs(each))
            yield Position(
                control=switch.control,
                label=_label(rig, switch.control),
                kind="switch",
                now=switch.now,
                planned=chosen.name,
                gain_now_db=0.0,
                gain_planned_db=by_db,
                bind=_Binds(model, settings).of(variable),
                strip=strip_of(rig, switch.control),
            )


def strip_of(rig: Rig, control: str) -> str | None:
    """The plugged input in whose strip a control stands."""
    item, _, local = control.partition(".")
    block = local.rpartition(".")[0]
    for address, port in rig.ports.items():
        is_here = port.item.id == item and port.block.name == block
        if is_here and port.plan.role == "in" and port.link is not None:
            return address
    return None


def _label(rig: Rig, control: str) -> str:
    item, _, local = control.partition(".")
    block = local.rpartition(".")[0]
    parts = (rig.items[item].label, block, control_label(rig, control))
    return ", ".join(part for part in parts if part)


def level_in_unit(unit: str, level_db: float) -> tuple[float, str]:
    """A level as people read it, from 20 lg of an rms number, with its unit."""
    reference, name = REFERENCE_OF_UNIT[unit]
    return level_db - 20 * math.log10(reference), name


@dataclass(frozen=True, eq=False)
class _AtLimit:
    """Something at its limit: how it moves with each setting, by how many, and what to tell."""

    slope: Real
    movers: int
    bind: Bind


class _Binds:
    """What holds each control: the first goal at its limit that the control can change."""

    def __init__(self, model: Model, settings: Real) -> None:
        self._model, self._settings = model, settings
        self._clipping = list(self._at_ceilings())
        self._meters = list(self._at_marks())
        self._heard = [
            (set(np.flatnonzero(np.abs(level.slopes).sum(axis=0)).tolist()), target, level)
            for target, level in model.targets
            if not target.is_free
        ]

    def _limit(self, point: int, bind: Bind) -> _AtLimit:
        level = self._model.levels[point]
        _, slope = level.tangent(self._settings)
        return _AtLimit(np.abs(slope), int(np.count_nonzero(slope)), bind)

    def _at_ceilings(self) -> Iterator[_AtLimit]:
        model = self._model
        for each in model.ceilings:
            peak = model.levels[each.point].level_db(self._settings) + model.crest_db[each.point]
            added = model.option_ceilings.get(each.point, {})
            ceiling = each.ceiling_db + sum(
                by * float(self._settings[n]) for n, by in added.items()
            )
            if ceiling - peak <= each.reserve_db + _AT_LIMIT_DB:
                address, room = model.addresses[each.point], ceiling - peak
                bind = Bind("clipping", address, each.label, room, each.reserve_db, "dB")
                yield self._limit(each.point, bind)

    def _at_marks(self) -> Iterator[_AtLimit]:
        for mark in self._model.marks:
            reads = mark.reads_db(self._model.levels[mark.point].level_db(self._settings))
            for limit in (mark.reads_db(mark.high_db), mark.reads_db(mark.low_db)):
                if abs(reads - limit) <= _AT_LIMIT_DB:
                    address = self._model.addresses[mark.point]
                    bind = Bind("meters", address, mark.label, reads, limit, "dB")
                    yield self._limit(mark.point, bind)

    def of(self, number: int) -> Bind:
        """What holds one control."""
        knobs = self._model.knobs.knobs
        if number >= len(knobs):
            clips = self._nearest(number, self._clipping)
            return self._loudness(number) or Bind("clipping") if clips is None else clips.bind
        knob, value = knobs[number], float(self._settings[number])
        if knob.is_locked:
            return Bind("locked")
        for end, what in ((knob.high_db, "high"), (knob.low_db, "low")):
            if abs(value - end) <= _MOVED_DB:
                return Bind("range", knob.control, what, value, end, "dB")
        is_gain = knob.kind in {"gain", "trim", "transmitter", "volume"}
        clips = self._nearest(number, self._clipping)
        reads = self._nearest(number, self._meters)
        if is_gain and (clips or reads):
            return _closer(clips, reads)
        if knob.has_unity and abs(value) <= _AT_LIMIT_DB:
            return Bind("faders", knob.control, "", value, 0.0, "dB")
        found = next((each.bind for each in (clips, reads) if each is not None), Bind("kept"))
        return self._loudness(number) or found

    def _nearest(self, number: int, found: Sequence[_AtLimit]) -> _AtLimit | None:
        """Of what is at its limit, and moves with a control, that which the fewest others move."""
        mine = (each for each in found if each.slope[number] > 1 / 2)
        return min(mine, key=lambda each: each.movers, default=None)

    def _loudness(self, number: int) -> Bind | None:
        for moves, target, level in self._heard:
            if number in moves:
                unit = self._model.units[target.end.point]
                value, name = level_in_unit(unit, level.level_db(self._settings))
                wanted, _ = level_in_unit(unit, target.wanted_db)
                return Bind("loudness", target.end.address, target.term.origin, value, wanted, name)
        return None


def _closer(one: _AtLimit | None, other: _AtLimit | None) -> Bind:
    """Of a ceiling and a meter, what the fewest controls move; of two alike the ceiling."""
    both = [each for each in (one, other) if each is not None]
    return min(both, key=lambda each: each.movers).bind
