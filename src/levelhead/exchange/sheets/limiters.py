"""The limiter sheet: where each limiter stands, at the output before the amplifier."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from levelhead.exchange.paperwork.work import Paperwork, figure_text
from levelhead.exchange.sheet.plan import SheetPlan
from levelhead.exchange.sheet.values import Column
from levelhead.exchange.sheets.gains import PLANNED, moved_words
from levelhead.planning.limiters.settings import Limit, LimiterSetting
from levelhead.planning.limiters.thresholds import LIMITER_CAUTION, limiter_settings
from levelhead.verdicts.people.words import EXPOSURE_CAUTION

__all__ = ["LIMITERS", "time_text"]

COLUMNS: Final = (
    Column("set", "Set it at the output", 3.4),
    Column("for", "For", 3.4),
    Column("rms", "Rms", 1.0, "right", "dBu", is_optional=True),
    Column("peak", "Peak", 1.0, "right", "dBu"),
    Column("attack", "Attack", 1.1, "right", "ms"),
    Column("release", "Release", 1.1, "right", "ms"),
    Column("now", "Dial now", 1.4, is_optional=True),
    Column("rms_v", "Rms there", 1.0, "right", "V", is_optional=True),
    Column("peak_v", "Peak there", 1.0, "right", "V", is_optional=True),
    Column("note", "Because, and look at", 6.0),
)
_NOTE: Final = (
    "Rms and peak: level of a sine at the output that feeds the amplifier or powered loudspeaker, "
    "its level control as planned. There: at the loudspeaker's (or its own) input. Attack and "
    "release: where they can be set; a limiter that is only there for peaks acts as fast as it can."
)


def _rows(work: Paperwork) -> Iterator[dict[str, str]]:
    for each in limiter_settings(work.planned.check.trial.judgement.reading):
        yield _row(each)


def _row(each: LimiterSetting) -> dict[str, str]:
    because = each.peak.why if each.rms is None else f"rms: {each.rms.why}; peak: {each.peak.why}"
    turn = [f"turn the dial to {edit.value}" for edit in each.edits]
    said = (because, *turn, *each.notes)
    notes = ". ".join(text[0].upper() + text[1:].rstrip(".") for text in said)
    driven = each.label if each.is_powered else f"{each.label}: {', '.join(each.loudspeakers)}"
    return {
        "set": each.at_label or "-",
        "for": driven,
        "rms": _level(each.rms),
        "peak": _level(each.peak),
        "attack": time_text(each.rms_times.attack_s),
        "release": time_text(each.rms_times.release_s),
        "now": each.now or "",
        "rms_v": "" if each.rms is None else figure_text(each.rms.volts),
        "peak_v": figure_text(each.peak.volts),
        "note": f"{notes}.",
    }


def time_text(seconds: float) -> str:
    """A time for a column of milliseconds.

    >>> time_text(0.015), time_text(0.0008)
    ('15', '0.8')
    """
    return f"{seconds * 1e3:.3g}"


def _level(limit: Limit | None) -> str:
    if limit is None or limit.dbu is None:
        return "–"
    rounded = round(limit.dbu, 1) + 0.0
    return f"{rounded:+.1f}".replace("-", "−") if rounded else "0.0"


def _cautions(work: Paperwork) -> tuple[str, ...]:
    found = limiter_settings(work.planned.check.trial.judgement.reading)
    own = (each.caution for each in found if each.caution)
    return tuple(dict.fromkeys([LIMITER_CAUTION, *own, EXPOSURE_CAUTION])) if found else ()


LIMITERS: Final = SheetPlan(
    name="limiters",
    title="Limiters",
    about="thresholds before amplifiers and powered loudspeakers, with attack and release",
    columns=COLUMNS,
    rows=_rows,
    note=lambda work: f"{PLANNED} {moved_words(work)} {_NOTE}",
    has_ticks=True,
    is_wide=True,
    cautions=_cautions,
    is_on_request=True,
)
