"""Where a hand puts a control, as people say it: by the clock, in millimetres, by name.

A knob is told by the clock to ten minutes (5 degrees of its turn), as close as a hand sets it; a
fader by the nearest mark of its scale. What is said can be read back (:func:`read_travel`), so that
"just past 2 o'clock" is a setting as well as an answer.
"""

from __future__ import annotations

import json
import math
import re
from dataclasses import dataclass
from typing import Final

from levelhead.errors import GearError
from levelhead.gear.plan import ControlPlan
from levelhead.gear.scales import SCALES, TOP, Scale

__all__ = [
    "FINGER_MM",
    "Face",
    "clock_words",
    "face_of",
    "fader_words",
    "hand_words",
    "read_travel",
    "travel_of",
]

FINGER_MM: Final = 15.0  # breadth of an index finger at its tip: common practice
_FINGER_SLACK_MM: Final = 3.0
_ON_MARK_MM: Final = 1.5  # as close as a cap is set by eye, common practice
_MINUTES: Final = 60
_PAST: Final = 10  # minutes that "just past" and "just before" mean
_OCLOCK: Final = 5  # to either side: still on the hour
_HALF: Final = 20  # from here to 40 past: half past
_CLOCK: Final = re.compile(r"(?:(just past|just before|half past) )?(\d{1,2})(?: o'clock)?")
_MARKED: Final = re.compile(
    r"(?:(?P<mm>\d+) mm|(?P<finger>a finger)) (?P<side>above|below) (?P<db>[+-]?\d+)"
)
_ON: Final = re.compile(r"on ([+-]?\d+)")
_PERCENT: Final = re.compile(r"(\d+) % of its travel")
_UP: Final = frozenset({"fully up", "top"})
_DOWN: Final = frozenset({"fully down", "down"})


def travel_of(control: ControlPlan, setting_db: float) -> float:
    """Travel, 0 to 1, of a range at a setting; of a pan from -1 to +1."""
    if control.kind == "pan":
        return (setting_db + 1) / 2
    scale = SCALES[control.scale]
    return scale.travel(setting_db, low_db=control.low, high_db=control.high)


def clock_words(travel: float, scale: Scale = SCALES["even"]) -> str:
    """A knob by the clock, to ten minutes.

    >>> clock_words(0.72), clock_words(0.5), clock_words(0.55), clock_words(0.58), clock_words(0)
    ("just past 2 o'clock", "12 o'clock", 'half past 12', "just before 1 o'clock", 'fully down')
    """
    if travel >= TOP:
        return "fully up"
    if travel <= 1 - TOP:
        return "fully down"
    start_h, stop_h = scale.turns_h
    minutes = round(_MINUTES * (start_h + (stop_h - start_h) * travel))
    hour, past = divmod(minutes, _MINUTES)
    if _HALF <= past <= _MINUTES - _HALF:
        return f"half past {_face(hour)}"
    if past > _MINUTES - _HALF:
        return f"{'' if past >= _MINUTES - _OCLOCK else 'just before '}{_face(hour + 1)} o'clock"
    return f"{'' if past <= _OCLOCK else 'just past '}{_face(hour)} o'clock"


def _face(hour: int) -> int:
    return (hour - 1) % 12 + 1


def fader_words(travel: float, scale: Scale, *, low_db: float, high_db: float) -> str:
    """A fader by the nearest mark of its scale; one of no known length by its share of travel.

    >>> long = SCALES["fader-100mm"]
    >>> ends = {"low_db": -math.inf, "high_db": 10.0}
    >>> [fader_words(each, long, **ends) for each in (0.75, 0.9, 0.6, 1.0, 0.0)]
    ['on 0', 'a finger above 0', 'a finger below 0', 'top', 'down']
    """
    if travel >= TOP:
        return "top"
    if travel <= 0.0:
        return "down"
    if scale.length_mm is None:
        return f"{100 * travel:.0f} % of its travel"
    places = _marks_mm(scale, low_db=low_db, high_db=high_db)
    at_mm = travel * scale.length_mm
    mark_db, mark_mm = _telling(places, at_mm)
    away_mm = at_mm - mark_mm
    name = f"{mark_db:+.0f}" if round(mark_db) else "0"
    if abs(away_mm) <= _ON_MARK_MM:
        return f"on {name}"
    side = "above" if away_mm > 0 else "below"
    if abs(abs(away_mm) - FINGER_MM) <= _FINGER_SLACK_MM:
        return f"a finger {side} {name}"
    return f"{abs(away_mm):.0f} mm {side} {name}"


def _telling(places: list[tuple[float, float]], at_mm: float) -> tuple[float, float]:
    """The mark by which a place is told: 0 within a finger of it, else the nearest."""
    near_zero = FINGER_MM + _FINGER_SLACK_MM
    zero = [each for each in places if each[0] == 0.0 and abs(each[1] - at_mm) <= near_zero]
    nearest = min(places, key=lambda each: (abs(each[1] - at_mm), each[0]))
    return nearest if abs(nearest[1] - at_mm) <= _ON_MARK_MM else (zero or [nearest])[0]


def _marks_mm(scale: Scale, *, low_db: float, high_db: float) -> list[tuple[float, float]]:
    """Printed marks within the range of a control: dB and millimetres from the lower stop."""
    length_mm = scale.length_mm or 0.0
    marks = [(db, place * length_mm) for place, db in scale.marks if low_db <= db <= high_db]
    return marks or [(high_db, length_mm)]


def hand_words(control: ControlPlan, setting: float | str) -> str:
    """Where a hand puts a control of any kind.

    A switch is told by the name of its position, a dial by its value.
    """
    if isinstance(setting, str):
        return setting
    if control.kind == "dial":
        return ""
    if control.kind == "range" and math.isinf(setting):
        return "down" if SCALES[control.scale].shape == "fader" else "fully down"
    scale, travel = SCALES[control.scale], travel_of(control, setting)
    if control.kind == "pan" or scale.shape == "knob":
        return clock_words(travel, scale)
    return fader_words(travel, scale, low_db=control.low, high_db=control.high)


def read_travel(words: str, control: ControlPlan) -> float:
    """Travel that such words mean: the opposite of :func:`hand_words` for knobs and faders.

    Raises
    ------
    GearError
        The words tell no place of this control.
    """
    said, scale = words.strip().lower(), SCALES[control.scale]
    if said in _UP | _DOWN:
        return float(said in _UP)
    if (match := _PERCENT.fullmatch(said)) is not None:
        return min(int(match[1]) / 100, 1.0)
    is_knob = control.kind == "pan" or scale.shape == "knob"
    travel = _read_clock(said, scale) if is_knob else _read_mark(said, scale)
    if travel is None or not 0.0 <= travel <= 1.0:
        raise GearError(
            f"'{words}' is no place of it",
            where=control.label,
            expected='such as "just past 2 o\'clock"' if is_knob else "such as '7 mm above -10'",
            remedy="Say where it stands, or give its setting in dB.",
        )
    return travel


def _read_clock(said: str, scale: Scale) -> float | None:
    match = _CLOCK.fullmatch(said)
    if match is None:
        return None
    away = {"just past": _PAST, "just before": -_PAST, "half past": _MINUTES // 2, None: 0}
    start_h, stop_h = scale.turns_h
    hour = int(match[2]) + away[match[1]] / _MINUTES
    while hour < start_h - 1:  # after noon the face begins anew
        hour += 12
    return (hour - start_h) / (stop_h - start_h)


def _read_mark(said: str, scale: Scale) -> float | None:
    on, beside = _ON.fullmatch(said), _MARKED.fullmatch(said)
    db, away_mm = 0.0, 0.0
    if on is not None:
        db = float(on[1])
    elif beside is not None:
        db, away_mm = float(beside["db"]), float(beside["mm"] or FINGER_MM)
        away_mm = away_mm if beside["side"] == "above" else -away_mm
    place = next((place for place, mark_db in scale.marks if mark_db == db), None)
    if place is None or scale.length_mm is None or (on is None and beside is None):
        return None
    return place + away_mm / scale.length_mm


@dataclass(frozen=True, slots=True)
class Face:
    """A control as it is drawn: where it stands now and where it goes, on its own scale.

    Attributes
    ----------
    shape
        ``knob``, ``fader`` or ``switch``.
    now, planned
        Travel from 0 to 1; of a switch the number of its position, from 0. ``None`` where nobody
        knows, or nothing is planned.
    marks
        Of a knob and a fader: travel and what is printed there. Of a switch: its positions.
    """

    shape: str
    now: float | None
    planned: float | None
    marks: tuple[tuple[float, str], ...] = ()

    def to_text(self) -> str:
        """As a cell of a sheet holds it.

        >>> Face.from_text(Face("knob", 0.25, None, ((0.5, "0"),)).to_text())
        Face(shape='knob', now=0.25, planned=None, marks=((0.5, '0'),))
        """
        return json.dumps([self.shape, self.now, self.planned, self.marks])

    @classmethod
    def from_text(cls, text: str) -> Face:
        """The face that a cell holds."""
        shape, now, planned, marks = json.loads(text)
        return cls(shape, now, planned, tuple((float(place), str(said)) for place, said in marks))


def face_of(
    control: ControlPlan, now: float | str | None, planned: float | str | None = None
) -> Face | None:
    """The face of a control; ``None`` for a dial, which shows its value."""
    if control.kind == "dial":
        return None
    if control.kind == "switch":
        names = control.options
        marks = tuple((float(place), name) for place, name in enumerate(names))
        return Face("switch", _place(control, now), _place(control, planned), marks)
    scale = SCALES[control.scale]
    shape = "knob" if control.kind == "pan" else scale.shape
    return Face(shape, _place(control, now), _place(control, planned), _printed(control, scale))


def _place(control: ControlPlan, setting: float | str | None) -> float | None:
    """Travel of a setting, or the number of a position."""
    if setting is None:
        return None
    if control.kind == "switch":
        return float(control.options.index(str(setting)))
    return travel_of(control, float(setting))


def _printed(control: ControlPlan, scale: Scale) -> tuple[tuple[float, str], ...]:
    """Marks as a panel prints them: every 10 dB, and 0."""
    if control.kind == "pan":
        return ((0.0, "L"), (0.5, "C"), (1.0, "R"))
    levels = [db for _, db in scale.marks] if scale.marks else _tens(control.low, control.high)
    kept = [each for each in levels if control.low <= each <= control.high]
    return tuple((travel_of(control, each), f"{each:g}") for each in kept)


def _tens(low_db: float, high_db: float) -> list[float]:
    first = 10 * math.ceil(max(low_db, -120.0) / 10)
    return [float(each) for each in range(first, int(high_db) + 1, 10)]
