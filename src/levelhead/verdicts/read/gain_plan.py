"""Where a gain belongs, and how that is told."""

from __future__ import annotations

from typing import Final

from levelhead.gear.scales import SCALES, position_words
from levelhead.quantity.formatting import format_level
from levelhead.rig.model import Rig
from levelhead.rig.settings import setting_text
from levelhead.verdicts.read.strips import Strip

__all__ = [
    "LOWEST_USEFUL_DB",
    "PEAK_RESERVE_DB",
    "knob_words",
    "planned_gain_db",
    "planned_setting",
    "setting_words",
]

PEAK_RESERVE_DB: Final = 6.0  # headroom on peaks that is fine, common practice
LOWEST_USEFUL_DB: Final = -40.0  # below that a control is as good as off, common practice


def planned_gain_db(strip: Strip) -> float:
    """Gain from the port to the meter: nominal at the meter's zero; peaks keep their reserve."""
    room_db = strip.clipping_setting_db - PEAK_RESERVE_DB + strip.fixed_db
    wanted = min(strip.needed_db, room_db)
    return min(max(wanted, strip.low_db), strip.high_db)


def planned_setting(strip: Strip) -> float:
    """Setting of the gain control for the planned gain. [dB]"""
    return strip.setting_for(planned_gain_db(strip))


def setting_words(rig: Rig, control: str) -> str:
    """Where a control of a range stands, as its panel says it."""
    return setting_text(rig.setting_db(control), rig.controls[control])


def knob_words(rig: Rig, strip: Strip, gain_db: float) -> str:
    """Where the gain control (at an input without one, the fader) goes for a gain."""
    if strip.gain_control is None:
        return (
            f"{strip.made_up_by} stands at {format_level(strip.needed_db - strip.fixed_db, 'dB')}"
        )
    control = rig.controls[strip.gain_control]
    scale = SCALES[control.scale]
    setting = strip.setting_for(min(gain_db, strip.high_db))
    travel = scale.travel(setting, low_db=control.low, high_db=control.high)
    return f"{control.label} at {position_words(scale, travel)}"
