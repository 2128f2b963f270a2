"""Scales of knobs and faders: which setting stands where on the control's travel."""

from __future__ import annotations

import math
from bisect import bisect_right
from dataclasses import dataclass
from typing import Final

__all__ = ["OFF_DB", "PAN_POSITIONS", "SCALES", "TOP", "Scale", "position_words"]

PAN_POSITIONS: Final = {"left": -1.0, "centre": 0.0, "right": 1.0}

OFF_DB: Final = -120.0  # where a printed "off" is taken to begin, for drawing only


@dataclass(frozen=True, slots=True)
class Scale:
    """Marks of a control: (travel from 0 to 1, dB), rising. Even between the marks.

    Without marks the scale is even over the control's own range. A knob turns from one hour of the
    clock face to another; a fader of known length is told in millimetres.
    """

    name: str
    shape: str  # "knob" or "fader"
    marks: tuple[tuple[float, float], ...] = ()
    length_mm: float | None = None
    turns_h: tuple[float, float] = (7.0, 17.0)  # from 7 o'clock to 5 o'clock: common practice

    def travel(self, setting_db: float, *, low_db: float, high_db: float) -> float:
        """Travel, 0 to 1, at which the control shows this setting.

        >>> round(SCALES["even"].travel(21.58, low_db=-20, high_db=40), 2)
        0.69
        """
        if math.isinf(setting_db):
            return 0.0
        marks = self.marks or ((0.0, max(low_db, OFF_DB)), (1.0, high_db))
        levels = [level for _, level in marks]
        index = min(max(bisect_right(levels, setting_db), 1), len(marks) - 1)
        (below, below_db), (above, above_db) = marks[index - 1], marks[index]
        share = (setting_db - below_db) / (above_db - below_db)
        return min(max(below + share * (above - below), 0.0), 1.0)

    def setting(self, travel: float, *, low_db: float, high_db: float) -> float:
        """Setting at a place of its travel, the opposite of :meth:`travel`. [dB]

        At the lower stop of a control that goes to off that is off.

        >>> SCALES["fader-100mm"].setting(0.625, low_db=-math.inf, high_db=10)
        -5.0
        """
        if travel <= 0.0:
            return low_db
        marks = self.marks or ((0.0, max(low_db, OFF_DB)), (1.0, high_db))
        places = [place for place, _ in marks]
        index = min(max(bisect_right(places, travel), 1), len(marks) - 1)
        (below, below_db), (above, above_db) = marks[index - 1], marks[index]
        share = (min(travel, 1.0) - below) / (above - below)
        return min(max(below_db + share * (above_db - below_db), low_db), high_db)


# Common practice, read off many panels.
_ATTENUATOR: Final = ((0.0, -80.0), (0.1, -40.0), (0.5, -10.0), (1.0, 0.0))
_VOLUME: Final = ((0.0, -80.0), (0.1, -40.0), (0.5, -12.0), (1.0, 0.0))
_SEND: Final = ((0.0, -80.0), (0.1, -40.0), (0.5, -6.0), (0.7, 0.0), (1.0, 10.0))
_LONG_FADER: Final = (
    (0.0, -90.0), (0.1, -50.0), (0.25, -30.0), (0.5, -10.0), (0.75, 0.0), (1.0, 10.0),
)  # fmt: skip
_SHORT_FADER: Final = (
    (0.0, -90.0), (0.12, -50.0), (0.28, -30.0), (0.5, -10.0), (0.75, 0.0), (1.0, 10.0),
)  # fmt: skip
_DIGITAL: Final = ((0.0, -60.0), (0.25, -36.0), (0.5, -18.0), (0.75, -8.0), (1.0, 0.0))

SCALES: Final = {
    scale.name: scale
    for scale in (
        Scale("even", "knob"),
        Scale("rotary-gain", "knob"),
        Scale("rotary-attenuator", "knob", _ATTENUATOR),
        Scale("rotary-volume", "knob", _VOLUME),
        Scale("rotary-send", "knob", _SEND),
        Scale("fader-100mm", "fader", _LONG_FADER, length_mm=100.0),
        Scale("fader-60mm", "fader", _SHORT_FADER, length_mm=60.0),
        Scale("digital-volume", "fader", _DIGITAL),
    )
}

TOP: Final = 0.995  # travel that is as good as the end
_CLOCK_START_H: Final = 7.0  # a knob turns from 7 o'clock to 5 o'clock: common practice
_CLOCK_SPAN_H: Final = 10.0


def position_words(scale: Scale, travel: float) -> str:
    """Where a person puts the control: clock face for a knob, part of the travel for a fader.

    >>> position_words(SCALES["rotary-gain"], 0.7)
    "2 o'clock (70 % of its travel)"
    """
    percent = f"{100 * travel:.0f} %"
    if scale.shape == "fader":
        return "top" if travel >= TOP else f"{percent} of its travel"
    if travel >= TOP:
        return "fully up"
    half_hours = round(2 * (_CLOCK_START_H + _CLOCK_SPAN_H * travel))
    hour = (half_hours // 2 - 1) % 12 + 1
    face = f"half past {hour}" if half_hours % 2 else f"{hour} o'clock"
    return f"{face} ({percent} of its travel)"
