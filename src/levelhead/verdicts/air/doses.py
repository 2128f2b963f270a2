"""What the loud passage does to ears: where people listen, at the desk, where performers stand."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from levelhead.acoustics.listening.exposure import NIOSH, RULES, WHO_VENUES_DB, Evening
from levelhead.verdicts.air.limits import EXPOSURE_HARM_DB, LIMIT_OF_STAFF_DB
from levelhead.verdicts.air.numbers import AreaNumbers, crew_of, seen_by
from levelhead.verdicts.air.words import EXPOSURE, SENTENCES
from levelhead.verdicts.people.ears import TOLD_FROM_DB
from levelhead.verdicts.people.words import EXPOSURE_CAUTION
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import ROUNDING, LimitState

__all__ = ["check_doses"]

_FROM: Final = " from the loudspeakers only (the own instrument or voice comes on top)"
_OWN: Final = "; the own instrument or voice comes on top"
_MINUTE_S: Final = 60.0
_HOUR_S: Final = 3600.0


def check_doses(reading: Reading) -> Iterator[Finding]:
    """Audience, desk and stage, each against the rule that is meant for it."""
    seen = seen_by(reading.solution)
    if seen is None:
        return
    for area in seen.areas:
        told = seen.show.areas.get(area.id)
        is_measured = told is not None and told.laeq is not None  # then people.measured-level
        if area.level_db >= TOLD_FROM_DB and not is_measured:
            is_work = told is not None and told.who != "audience"
            yield _finding(f"areas.{area.id}.dose", area, is_work=is_work)
    for kind, areas in crew_of(reading.solution, seen).items():
        loudest = max(areas, key=lambda each: each.level_db)
        if loudest.level_db >= TOLD_FROM_DB:
            yield _finding(loudest.id, loudest, is_work=True, others=len(areas) - 1, kind=kind)


def _finding(
    where: str, area: AreaNumbers, *, is_work: bool, others: int = 0, kind: str = ""
) -> Finding:
    """The stay of an area in its level: the worst quarter of an hour, and the day of staff."""
    told = area.exposure
    margin_db = WHO_VENUES_DB - told.worst_quarter_db
    if is_work:
        margin_db = min(margin_db, LIMIT_OF_STAFF_DB - told.daily_db)
    severity = _severity(told, margin_db)
    return Finding(
        code=EXPOSURE,
        severity=severity,
        where=where,
        what=SENTENCES[EXPOSURE, severity].format(
            who=_who(area, others, kind),
            level=f"{area.level_db:.0f} dB(A){_FROM if kind == 'performer' else ''}",
            time=_time(float(NIOSH.allowed_s(area.level_db))),
            doses=_doses(told, area.stay_s),
        ),
        why=(
            Compared("worst quarter of an hour", told.worst_quarter_db, WHO_VENUES_DB, "dB(A)"),
            Compared("LEX,8h", told.daily_db, LIMIT_OF_STAFF_DB if is_work else None, "dB(A)"),
            *(
                Compared(f"dose by {rule.name}", dose, 100.0, "%")
                for rule, dose in zip(RULES, told.doses_percent, strict=True)
            ),
        ),
        state=LimitState(margin_db, "dB"),
        assumed=(f"the loud passage lasts the whole stay{_OWN if kind == 'performer' else ''}",),
        source="level of the loud passage for the length of the stay, by four rules",
        basis="NIOSH 98-126; 29 CFR 1910.95; Directive 2003/10/EC; WHO 2022",
        caution=None if severity is Severity.FINE else EXPOSURE_CAUTION,
    )


def _who(area: AreaNumbers, others: int, kind: str) -> str:
    """Who it is; of several at work the one that gets most."""
    if kind == "desk":
        return f"{area.name}, at the controls"
    return f"{area.name} (of {others + 1} performers the loudest)" if others else area.name


def _severity(told: Evening, margin_db: float) -> Severity:
    if told.mean_db >= EXPOSURE_HARM_DB - ROUNDING:
        return Severity.HARM
    return Severity.CARE if margin_db < -ROUNDING else Severity.FINE


def _doses(told: Evening, stay_s: float) -> str:
    """The four rules beside each other."""
    doses = ", ".join(
        f"{dose:.0f} % by {rule.name.removesuffix(' 2003/10/EC')}"
        for rule, dose in zip(RULES, told.doses_percent, strict=True)
    )
    over = "over" if told.over_venue_db > 0 else "within"
    return (
        f"{_time(stay_s)} of that: {doses} of a day's dose; {over} WHO's "
        f"{WHO_VENUES_DB:.0f} dB(A). Which applies is local law."
    )


def _time(seconds: float) -> str:
    """A time as people say it."""
    if seconds >= _HOUR_S:
        return f"{seconds / _HOUR_S:.1f} h".replace(".0 ", " ")
    return f"{seconds / _MINUTE_S:.0f} min" if seconds >= _MINUTE_S else f"{seconds:.0f} s"
