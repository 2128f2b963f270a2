"""Conditions about what is between the ends, or beside them: leads, boxes, more of the same."""

from __future__ import annotations

from typing import Final

from levelhead.gear.plan.ways import leaving_port
from levelhead.planning.asked.conditions_met.ends import End, Meeting
from levelhead.planning.asked.conditions_met.outcome import Box
from levelhead.planning.typed.conditions import Condition
from levelhead.planning.typed.leads import lead_meant
from levelhead.planning.typed.names import matched

__all__ = ["both_sides", "box_between", "in_parallel", "lead", "lead_length", "side_by_side"]

_BETWEEN: Final = frozenset({"box", "processor"})  # kinds that have a way in and a way out
_PAIR: Final = 2


def lead_length(meeting: Meeting, _end: End, condition: Condition) -> str | None:
    """A length, once; leads beside a box have lengths of their own."""
    met = meeting.met
    if met.length_m is not None or (met.boxes and not met.cable):
        return None
    met.length_m = condition.value
    return f"lead of {condition.value:.3g} m between the two"


def lead(meeting: Meeting, end: End, condition: Condition) -> str | None:
    """A lead by its words, else a box by them."""
    if lead_meant(meeting.book, condition.text, *meeting.ports) is None:
        return box_between(meeting, end, condition)
    return _lead(meeting, condition)


def box_between(meeting: Meeting, _end: End, condition: Condition) -> str | None:
    """A box in between: the first that the words mean, with a way in and a way out; else a lead."""
    for each in matched(meeting.book, condition.text, "to"):
        if meeting.book.sketch(each.type_id).kind not in _BETWEEN or each.unmet:
            continue
        plan = meeting.book.plan(each.type_id, {}, {})
        leaving = leaving_port(plan, each.port)
        if leaving is not None:
            meeting.met.boxes.append(Box(each.type_id, each.port, leaving, each.settings))
            return f"{plan.label} between the two"
    return _lead(meeting, condition)


def _lead(meeting: Meeting, condition: Condition) -> str | None:
    """The lead that the words mean, if there is one and none was named before."""
    type_id = lead_meant(meeting.book, condition.text, *meeting.ports)
    if type_id is None or meeting.met.cable is not None:
        return None
    meeting.met.cable = type_id
    return meeting.book.entry(type_id).label


def side_by_side(meeting: Meeting, end: End, condition: Condition) -> str | None:
    """Several loudspeakers, each plugged into the one before."""
    joined = [each for each in end.block.plan.ports.values() if each.joined == end.port.name]
    is_loudspeaker = end.plan.kind == "loudspeaker"
    if end.side != "to" or not joined or not is_loudspeaker or meeting.met.count > 1:
        return None
    meeting.met.count = int(condition.value)
    return f"{meeting.met.count} side by side, each from the socket of the one before"


def in_parallel(meeting: Meeting, end: End, _condition: Condition) -> str | None:
    """Side by side, as loudspeakers that are counted are anyway."""
    if end.side != "to" or meeting.met.count == 1:
        return None
    return "each gets all of the volts"


def both_sides(meeting: Meeting, _end: End, _condition: Condition) -> str | None:
    """Left and right of the first end."""
    start = meeting.ends["from"]
    if len(start.port.signals) == _PAIR:
        return f"one plug of {start.name} has left and right"
    if "left" not in start.candidate.port:
        return None
    meeting.met.both_sides = True
    return f"left and right of {start.name} plugged"
