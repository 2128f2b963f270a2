"""Conditions about controls: phantom power, pads, knobs and faders."""

from __future__ import annotations

import math
from typing import Final

from levelhead.gear.plan.ways import control_before, control_behind
from levelhead.gear.scales import SCALES
from levelhead.planning.asked.conditions_met.ends import End, Meeting
from levelhead.planning.typed.conditions import Condition
from levelhead.planning.typed.fitting import switch_settings
from levelhead.quantity.formatting import format_level
from levelhead.rig.settings import setting_text

__all__ = ["switched", "turned"]

_TRAVELS: Final = {0.0: "fully down", 0.25: "a quarter up", 0.5: "half up", 1.0: "fully up"}


def switched(meeting: Meeting, end: End, condition: Condition) -> str | None:
    """A switch for phantom power, or a pad."""
    found = switch_settings(meeting.book, end.plan, end.block, condition)
    if not found:
        return None
    meeting.met.settings[end.side] |= found
    if condition.kind == "phantom":
        return f"phantom power {condition.text} at {end.name}"
    ((_, option),) = found.items()
    return f"pad of {end.name} at {option}"


def turned(meeting: Meeting, end: End, condition: Condition) -> str | None:
    """A volume before an output, a gain or level behind an input."""
    find = control_before if end.side == "from" else control_behind
    if condition.kind == "gain" and end.side == "from":
        return None
    address = find(end.plan, end.candidate.port)
    if address is None:
        return None
    block, _, name = address.rpartition(".")
    plan = end.plan.block(block).plan.controls[name]
    scale = SCALES[plan.scale]
    setting = scale.setting(condition.value, low_db=plan.low, high_db=plan.high)
    meeting.met.settings[end.side][address] = setting_text(round(setting, 1), plan)
    way = _TRAVELS.get(condition.value, f"at {100 * condition.value:.0f} %")
    return f"{plan.label or name} of {end.name} {way} ({_gain(setting)})"


def _gain(setting_db: float) -> str:
    """A setting as the panel has it, fully down as ``off``."""
    return "off" if math.isinf(setting_db) else format_level(setting_db, "dB")
