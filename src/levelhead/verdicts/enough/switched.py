"""Switches that set the gain of a stage: an input that stands at mic where a line comes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from levelhead.gear.figures import RawFigure, read_figure
from levelhead.gear.model import ControlEntry
from levelhead.gear.plan import BlockInstance
from levelhead.quantity.formatting import format_level
from levelhead.rig.model import Rig
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.words import control_words

__all__ = ["OTHER_LEVEL_DB", "LowerGain", "lower_gain"]

OTHER_LEVEL_DB: Final = 20.0  # least that lies between a microphone and a line: common practice


@dataclass(frozen=True, slots=True)
class LowerGain:
    """A switch, and its option with which a stage has ``less_db`` less gain."""

    control: str
    option: str
    less_db: float

    def told(self, rig: Rig) -> str:
        """How it stands, and what the other option would do, as a sentence."""
        words = control_words(rig, self.control)
        less = format_level(self.less_db, "dB")
        now = rig.setting(self.control)
        return (
            f" {words[0].upper()}{words[1:]} stands at {now}: at {self.option} it has {less} less."
        )


def lower_gain(reading: Reading, address: str, needed_db: float) -> LowerGain | None:
    """The switch with which a stage has at least so much less gain, by the least that does.

    One that takes the 20 dB between two kinds of level counts as well where still more is needed.
    None where no switch of the strip or the item sets that gain, or the one that does is locked.
    """
    place = reading.reach.places.get(reading.solution.number(address))
    if place is None or place.stage.gain_db is None:
        return None
    lane, stage, rig = place.lane, place.stage, reading.rig
    found = [
        LowerGain(f"{lane.item.id}.{switch}", option, place.stage.gain_db.value - gain_db)
        for switch, key, entry in _setting(rig, lane.item.plan.type_id, lane.block, stage.of)
        for option, gain_db in _gains(entry, key).items()
    ]
    least_db = min(needed_db, OTHER_LEVEL_DB)
    helping = [each for each in found if each.less_db >= least_db and _is_free(rig, each)]
    return min(helping, key=lambda each: (each.less_db < needed_db, each.less_db), default=None)


def _is_free(rig: Rig, switch: LowerGain) -> bool:
    is_held = switch.control in rig.show.locks or switch.control in rig.facts
    return not is_held and switch.option != rig.setting(switch.control)


def _setting(
    rig: Rig, type_id: str, block: BlockInstance, stage: str
) -> Iterator[tuple[str, str, ControlEntry]]:
    """Switches that set the gain of a stage: address in the item, name of the figure, entry."""
    item = rig.book.entry(type_id)
    own = item.blocks.get(block.block) if block.block else item
    if own is not None:
        for name, control in own.controls.items():
            yield block.address(name), f"{stage}.gain", control
    for name, control in item.controls.items() if block.block else ():
        yield name, f"{block.block}.{stage}.gain", control


def _gains(control: ControlEntry, key: str) -> Mapping[str, float]:
    """Gain that each option of a switch sets, of those that set it. [dB]"""
    options = {} if control.options is None else control.options
    return {each: _db(figures[key], key) for each, figures in options.items() if key in figures}


def _db(raw: RawFigure, key: str) -> float:
    return read_figure(raw, unit="dB", source="typical", where=key).value
