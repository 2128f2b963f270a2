"""Levels that a meter showed: an audience by its quarter of an hour, work by its day.

What was read takes the place of what is reckoned; how long it lasts is the stay of the area.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial
from typing import Final

from levelhead.gear.figures import Figure
from levelhead.quantity.exposure import (
    ACTION_AT_WORK_DB,
    DAY_H,
    LIMIT_AT_WORK_DB,
    USUAL_STAY_S,
    VENUE_LIMIT_DB,
    daily_exposure_db,
)
from levelhead.quantity.parsing import parse_si
from levelhead.show.rooms import Area, level_dba
from levelhead.verdicts.explain import Explained, Threshold
from levelhead.verdicts.people.words import EXPOSURE_CAUTION, MEASURED
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import ROUNDING, Doubt, LimitState
from levelhead.verdicts.told.words import place_words

__all__ = ["EXPLAINED", "check_measured_levels"]

METER_DB: Final = 1.0  # IEC 61672-1:2013, class 2 at 1 kHz: most that a meter is off
_HOUR_S: Final = 3600.0

_SENTENCES: Final = {
    ("audience", Severity.HARM): "{who}: a meter showed {read}, {over} over the {limit} that WHO "
    "sets for any quarter of an hour in a venue, {times} times the energy. Turn down by that and "
    "more, keep a meter in sight, hand out ear plugs.",
    ("audience", Severity.CARE): "{who}: a meter showed {read}, so near to the {limit} that WHO "
    "sets for any quarter of an hour in a venue that the meter itself decides. It works with a "
    "meter in sight, and turned down where it shows more.",
    ("audience", Severity.FINE): "{who}: a meter showed {read}; {limit} over any quarter of an "
    "hour are the most for a venue (WHO).",
    ("work", Severity.HARM): "{who}: {read} by a meter for {stay} make {day} of a working day, "
    "{over} over the limit of {limit}. Hearing protection on, a place out of the direct sound, "
    "shorter turns: the employer has to see to it.",
    ("work", Severity.CARE): "{who}: {read} by a meter for {stay} make {day} of a working day; "
    "from {action} on hearing protection has to be worn, and {limit} is the limit. It works with "
    "protection on, or shorter turns.",
    ("work", Severity.FINE): "{who}: {read} by a meter for {stay} make {day} of a working day; "
    "from {action} on hearing protection has to be worn.",
}


def check_measured_levels(reading: Reading) -> Iterator[Finding]:
    """Areas for which the show tells what a meter showed."""
    for area in reading.rig.show.areas.values():
        if area.laeq is not None:
            yield _of_audience(area) if area.who == "audience" else _at_work(area)


def _of_audience(area: Area) -> Finding:
    """The loudest quarter of an hour, however long people stay."""
    read_db = level_dba(area.laeq or "")
    state = LimitState(VENUE_LIMIT_DB - read_db, "dB", partial(_doubts, read_db))
    severity = _severity(state)
    return _finding(
        area,
        state,
        severity,
        _SENTENCES["audience", severity].format(
            **_words(area, read_db, VENUE_LIMIT_DB, over_db=-state.margin)
        ),
        (Compared("LAeq by a meter", read_db, VENUE_LIMIT_DB, "dB(A)"),),
        basis="WHO Global standard for safe listening venues and events, 2022, feature 1",
    )


def _at_work(area: Area) -> Finding:
    """The level for the length of the stay, the rest of the day quiet."""
    read_db = level_dba(area.laeq or "")
    day_db = daily_exposure_db(read_db, _stay_h(area))
    state = LimitState(LIMIT_AT_WORK_DB - day_db, "dB", partial(_doubts, read_db))
    severity = _severity(state)
    if severity is Severity.FINE and day_db >= ACTION_AT_WORK_DB - ROUNDING:
        severity = Severity.CARE
    words = _words(area, read_db, LIMIT_AT_WORK_DB, over_db=-state.margin)
    words |= {"day": f"{day_db:.0f} dB(A)", "action": f"{ACTION_AT_WORK_DB:.0f} dB(A)"}
    return _finding(
        area,
        state,
        severity,
        _SENTENCES["work", severity].format(**words),
        (
            Compared("LEX,8h", day_db, LIMIT_AT_WORK_DB, "dB(A)"),
            Compared("LEX,8h over the limit", day_db - LIMIT_AT_WORK_DB, 0.0, "dB"),
            Compared("LEX,8h, upper action value", day_db, ACTION_AT_WORK_DB, "dB(A)"),
        ),
        basis="Directive 2003/10/EC, art. 3",
    )


def _severity(state: LimitState) -> Severity:
    """What is over a limit harms; a meter has to be surely under it to be fine."""
    severity = state.severity(ample=math.inf)
    return Severity.HARM if severity is Severity.FAILS else severity


def _finding(
    area: Area,
    state: LimitState,
    severity: Severity,
    what: str,
    why: tuple[Compared, ...],
    *,
    basis: str,
) -> Finding:
    is_stay_told = area.who == "audience" or area.stay is not None
    return Finding(
        code=MEASURED,
        severity=severity,
        where=f"areas.{area.id}.laeq",
        what=what,
        why=why,
        state=state,
        assumed=() if is_stay_told else (f"a stay of {_stay_h(area):g} h, which nobody told",),
        source="what a meter showed there, for the length of the stay",
        basis=basis,
        caution=None if severity is Severity.FINE else EXPOSURE_CAUTION,
    )


def _stay_h(area: Area) -> float:
    return USUAL_STAY_S / _HOUR_S if area.stay is None else parse_si(area.stay, "s") / _HOUR_S


def _words(area: Area, read_db: float, limit_db: float, *, over_db: float) -> dict[str, str]:
    return {
        "who": place_words(area.label or area.id),
        "read": f"{read_db:.1f} dB(A) LAeq".replace(".0 ", " "),
        "limit": f"{limit_db:.0f} dB(A)",
        "over": f"{over_db:.1f} dB".replace(".0 ", " "),
        "times": f"{10 ** (over_db / 10):.2g}",
        "stay": f"{_stay_h(area):.2g} h",
    }


def _doubts(read_db: float) -> Iterator[Doubt]:
    """What the meter may be off."""
    figure = Figure(read_db, read_db - METER_DB, read_db + METER_DB, "dB SPL", "measured")
    yield Doubt("level that the meter showed, A-weighted", "fact", figure, -1.0, ask=_ASK)


_ASK: Final = "Put a calibrated meter where people are, for a quarter of an hour of the loud part."
EXPLAINED: Final = (
    Explained(
        MEASURED,
        "LAeq that the show tells of an area (`laeq`). An audience by itself, against WHO's "
        "limit for any quarter of an hour; `who: staff` and `performers` for the length of the "
        f"`stay` as LEX,8h, the rest of {DAY_H:.0f} h quiet. What is reckoned from loudspeakers "
        "is not judged there any more.",
        (
            Threshold("LAeq of an audience that is harm", VENUE_LIMIT_DB, "dB(A)", "WHO 2022"),
            Threshold(
                "LEX,8h at work that is care",
                ACTION_AT_WORK_DB,
                "dB(A)",
                "Directive 2003/10/EC, art. 3: upper action value",
            ),
            Threshold(
                "LEX,8h at work that is harm",
                LIMIT_AT_WORK_DB,
                "dB(A)",
                "Directive 2003/10/EC, art. 3: limit value",
            ),
            Threshold("what a meter may be off", METER_DB, "dB", "IEC 61672-1, class 2 at 1 kHz"),
        ),
        "WHO 2022, feature 1; Directive 2003/10/EC, art. 3",
    ),
)
