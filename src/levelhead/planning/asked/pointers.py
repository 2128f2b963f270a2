"""Parts of an answer: the cable and its pins, where the gain goes, the levels along the way."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from levelhead.chain.levels import PointLevels
from levelhead.gear.plan import CablePlan
from levelhead.gear.scales import SCALES, position_words
from levelhead.gear.wiring import pins_reached
from levelhead.planning.asked.little_rig import QuestionRig
from levelhead.planning.trial import Trial
from levelhead.rig.model import RigLink
from levelhead.verdicts.read.gain_plan import PEAK_RESERVE_DB, planned_gain_db
from levelhead.verdicts.read.strips import Strip
from levelhead.verdicts.told.finding import rounded
from levelhead.verdicts.told.severity import Severity

__all__ = ["CableAnswer", "GainAnswer", "cable_of", "gain_at", "gain_behind", "levels_along"]

_GAIN_SLACK_DB: Final = 6.0  # a gain this far under its place is still a place, common practice
_PLAIN_ENDS: Final = 2


@dataclass(frozen=True, slots=True)
class CableAnswer:
    """The cable of the answer: which pin of one end goes to which of the other."""

    type: str
    label: str
    length_m: float
    pins: tuple[tuple[str, str], ...]

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        return {
            "type": self.type,
            "label": self.label,
            "length_m": self.length_m,
            "pins": [list(pair) for pair in self.pins],
        }


@dataclass(frozen=True, slots=True)
class GainAnswer:
    """Where the gain goes: dB on the panel, its sensible range, and how the knob stands."""

    control: str
    set: float
    low: float
    high: float
    kind: str  # knob or fader
    travel: float
    place: str

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        return {
            "control": self.control,
            "set": rounded(self.set, 1),
            "low": rounded(self.low, 1),
            "high": rounded(self.high, 1),
            "unit": "dB",
            "kind": self.kind,
            "position": rounded(self.travel, 3),
            "place": self.place,
        }


def cable_of(trial: Trial, rig: QuestionRig) -> CableAnswer | None:
    """The first cable of the link that was asked about; ``None`` when none fits.

    Behind a box in between it is that of its output.
    """
    ends = tuple(rig.link.ends.values())
    for link in trial.solution.rig.links:
        if link.segments and link.ports == ends:
            segment = link.segments[0]
            near = next(each for each in ends if each != rig.to)
            pins = _pins(segment.cable, _end_at(link, near))
            return CableAnswer(segment.cable.type_id, segment.cable.label, segment.length_m, pins)
    return None


def _end_at(link: RigLink, address: str) -> str:
    """The end of the first cable whose plug is in this port."""
    for contact in link.contacts:
        for one, other in (contact, contact[::-1]):
            if one[:2] == ("port", address) and other[0] == "cable":
                return str(other[3])
    return next(iter(link.segments[0].cable.ends))


def _pins(cable: CablePlan, near: str) -> tuple[tuple[str, str], ...]:
    """Pins of the near end, each with what it reaches at the others; a third end is named."""
    is_fan = len(cable.ends) > _PLAIN_ENDS
    return tuple(
        (pin, f"{end} {far}" if is_fan else far) for pin, (end, far) in pins_reached(cable, near)
    )


def gain_at(trial: Trial, rig: QuestionRig) -> GainAnswer | None:
    """Where the gain of the second item's strip goes; ``None`` at an input without gain."""
    return gain_behind(trial, rig.to)


def gain_behind(trial: Trial, port: str) -> GainAnswer | None:
    """Where the gain behind an input goes; ``None`` at an input without gain."""
    for strip in trial.reading.strips:
        if strip.port == port and strip.gain_control is not None:
            return _gain(trial, strip, strip.gain_control)
    return None


def _gain(trial: Trial, strip: Strip, address: str) -> GainAnswer:
    control = trial.solution.rig.controls[address]
    scale = SCALES[control.scale]
    setting = strip.setting_for(planned_gain_db(strip))
    highest = strip.clipping_setting_db - PEAK_RESERVE_DB / 2
    travel = scale.travel(setting, low_db=control.low, high_db=control.high)
    return GainAnswer(
        control=address,
        set=setting,
        low=max(setting - _GAIN_SLACK_DB, control.low),
        high=min(max(highest, setting), control.high),
        kind=scale.shape,
        travel=travel,
        place=position_words(scale, travel),
    )


def levels_along(trial: Trial, rig: QuestionRig) -> tuple[PointLevels, ...]:
    """Points of a way that runs through the link at both ends, or one; else of one that comes near.

    It ends at an input that is damaged: a figure behind it would be one of a device that is dead.
    """
    ports = set(rig.link.ends.values())
    items = {port.partition(".")[0] for port in ports}
    paths = trial.solution.paths
    through = [len(ports & {*path, *(each.rpartition(".")[0] for each in path)}) for path in paths]
    most = max(through, default=0)
    along = [path for path, ends in zip(paths, through, strict=True) if ends == most > 0]
    near = [path for path in paths if items & {each.partition(".")[0] for each in path}]
    path = next(iter((*along, *near)), ())
    return tuple(trial.solution.levels(address) for address in _until_harm(trial, path))


def _until_harm(trial: Trial, path: Sequence[str]) -> Sequence[str]:
    findings = trial.judgement.findings
    harmed = {each.where for each in findings if each.severity is Severity.HARM}
    last = next((place for place, address in enumerate(path) if address in harmed), len(path))
    return path[: last + 1]
