"""Conditions about figures: ohms and watts of amplifiers and loudspeakers, the level plugged in."""

from __future__ import annotations

import math
from typing import Final

from levelhead.gear.plan.ways import paths_to
from levelhead.planning.asked.conditions_met.ends import End, Meeting
from levelhead.planning.typed.conditions import Condition
from levelhead.planning.typed.fitting import is_load
from levelhead.planning.typed.words import tokens

__all__ = ["in_series", "level_plugged_in", "ohms", "watts"]

_SEVERAL: Final = 2
_USUAL_OHM: Final = 8.0  # watts of an amplifier that are told without a load, common practice
_RATINGS: Final = ("long-term-rating", "peak-rating")  # volts that a loudspeaker stands


def ohms(meeting: Meeting, end: End, condition: Condition) -> str | None:
    """A tap that is called so, or a loudspeaker of other ohms that stands as many watts."""
    ohm = f"{condition.value:g} ohm"
    if tokens(ohm) <= tokens(" ".join((end.port.label, *end.port.words))):
        return f"{end.port.label} of {end.name}"
    rated_ohm = end.port.figure("impedance")
    if not is_load(end.port) or not rated_ohm:
        return None
    if math.isclose(rated_ohm, condition.value, rel_tol=0.01):
        return f"{end.name} of {ohm}"
    meeting.met.figures[end.side][f"{end.figure_of_port}.impedance"] = ohm
    _scale_ratings(meeting, end, math.sqrt(condition.value / rated_ohm))
    return f"{end.name} with {ohm} in place of {rated_ohm:g} ohm, for as many watts"


def watts(meeting: Meeting, end: End, condition: Condition) -> str | None:
    """Watts that a loudspeaker stands, or that an amplifier gives."""
    if is_load(end.port):
        return _stands_watts(meeting, end, condition.value)
    return _gives_watts(meeting, end, condition.value)


def in_series(meeting: Meeting, end: End, _condition: Condition) -> str | None:
    """Several alike in series are one of as many times the ohms: each gets its part of the volts.

    The parts add in phase, so that all of them are as loud as one that gets all of the volts.
    """
    count, ohm = meeting.met.count, _figure(meeting, end, "impedance")
    if end.side != "to" or not is_load(end.port) or count < _SEVERAL or ohm is None:
        return None
    meeting.met.count = 1
    meeting.met.figures[end.side][f"{end.figure_of_port}.impedance"] = f"{count * ohm:g} ohm"
    _scale_ratings(meeting, end, count)
    _unsay_side_by_side(meeting)
    return f"{count} of {ohm:g} ohm one behind the other, told as one of {count * ohm:g} ohm"


def _unsay_side_by_side(meeting: Meeting) -> None:
    for each in [each for each in meeting.met.applied if each.kind == "count"]:
        meeting.met.applied.remove(each)


def level_plugged_in(meeting: Meeting, end: End, condition: Condition) -> str | None:
    """A level at the first end, once."""
    if end.side != "from" or meeting.met.level is not None:
        return None
    meeting.met.level = condition.text
    return f"{condition.text} into {end.name}, or out of it where it makes the signal itself"


def _stands_watts(meeting: Meeting, end: End, power_w: float) -> str | None:
    """A loudspeaker rated for the volts of so many watts at its ohms."""
    rating_v = _figure(meeting, end, "long-term-rating")
    if rating_v is None:
        return None
    ohm = _figure(meeting, end, "impedance") or _USUAL_OHM
    _scale_ratings(meeting, end, math.sqrt(power_w * ohm) / rating_v)
    return f"{end.name} that stands {power_w:g} W"


def _gives_watts(meeting: Meeting, end: End, power_w: float) -> str | None:
    """An amplifier clips where it gives its watts into the load that is named, else 8 ohm."""
    if end.port.role != "loudspeaker" or end.port.figure("line-voltage") is not None:
        return None
    ohm = _load_ohm(meeting)
    for block, path in paths_to(end.plan, end.candidate.port):
        for stage in reversed(path.stages):
            if stage.ceiling is not None:
                ceiling_v = math.sqrt(power_w * ohm)
                name = f"{block.block}.{stage.name}" if block.name else stage.name
                meeting.met.figures[end.side][f"{name}.ceiling"] = f"{ceiling_v:.4g} V"
                return f"{end.name} that gives {power_w:g} W into {ohm:g} ohm at most"
    return None


def _load_ohm(meeting: Meeting) -> float:
    """What hangs on the amplifier: as it was named, else of the loudspeaker, else usual. [ohm]"""
    end = meeting.ends["to"]
    stated_ohm = _stated(meeting, end, "impedance")
    if stated_ohm is not None:
        return stated_ohm
    return (end.port.figure("impedance") if is_load(end.port) else None) or _USUAL_OHM


def _scale_ratings(meeting: Meeting, end: End, factor: float) -> None:
    """Volts that a loudspeaker stands times a factor: the root of watts times ohm."""
    for rating in _RATINGS:
        now_v = _figure(meeting, end, rating)
        if now_v is not None:
            key = f"{end.figure_of_port}.{rating}"
            meeting.met.figures[end.side][key] = f"{now_v * factor:.4g} V"


def _figure(meeting: Meeting, end: End, name: str) -> float | None:
    """A figure of the socket as the conditions so far have it, else as the gear book has it."""
    stated = _stated(meeting, end, name)
    return end.port.figure(name) if stated is None else stated


def _stated(meeting: Meeting, end: End, name: str) -> float | None:
    """A figure of the socket that a condition set before."""
    stated = meeting.met.figures[end.side].get(f"{end.figure_of_port}.{name}")
    return None if stated is None else float(stated.split()[0])
