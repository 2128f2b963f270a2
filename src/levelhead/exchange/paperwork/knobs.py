"""Where controls stand, as sheets tell it: a figure in a column of its own, and the knob's face."""

from __future__ import annotations

import math

from levelhead.exchange.paperwork.figure_texts import figure_text
from levelhead.gear.plan import ControlPlan
from levelhead.gear.scales import SCALES, position_words
from levelhead.rig.model import Rig, RigPort

__all__ = ["gain_control", "knob_words", "setting_figure"]


def setting_figure(setting_db: float) -> str:
    """A setting for a column of decibels.

    >>> setting_figure(35.0), setting_figure(-math.inf)
    ('35', 'off')
    """
    return "off" if math.isinf(setting_db) else figure_text(setting_db)


def knob_words(control: ControlPlan, setting_db: float) -> str:
    """Where a hand puts it: the clock of a knob, the travel of a fader."""
    scale = SCALES[control.scale]
    travel = scale.travel(setting_db, low_db=control.low, high_db=control.high)
    return position_words(scale, travel).partition(" (")[0]


def gain_control(rig: Rig, port: RigPort) -> str | None:
    """The first control behind a port, before its strip's meter."""
    for path in port.block.plan.paths:
        if any(each.port is not None and each.port.port == port.plan.name for each in path.origins):
            for stage in path.stages:
                if stage.control is not None:
                    return rig.control_of(port.item, port.block, stage.control)
                if stage.meter is not None:
                    return None
    return None
