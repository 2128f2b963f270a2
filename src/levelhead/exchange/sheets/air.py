"""Sheets of the air: the seats from above, the feedback margin, delays to set, and doses."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from levelhead.acoustics.heard.heard import AreaHeard
from levelhead.acoustics.listening.exposure import LOCAL_LAW, RULES, Evening
from levelhead.acoustics.listening.seats import evenness_db
from levelhead.acoustics.listening.speech import rating
from levelhead.acoustics.rings.handbook import handbook_of
from levelhead.exchange.paperwork.work import Paperwork
from levelhead.exchange.sheet.pictured import Pictured
from levelhead.exchange.sheet.plan import SheetPlan
from levelhead.exchange.sheet.values import Column
from levelhead.planning.air.ring_moves import ring_moves
from levelhead.quantity.bands import band_labels
from levelhead.verdicts.people.words import EXPOSURE_CAUTION

__all__ = ["DELAYS", "DOSES", "FEEDBACK", "SEATS_MAP"]

NO_PLACES: Final = "No loudspeaker that plays has a place: write 'at' and 'aim' of each."
_LOUD: Final = "Everything at its loud passage, as it is set."
_NONE: Final = "–"
LEAST_SHARE: Final = 0.05  # of the loop: what has less is not named


def _remarks(work: Paperwork) -> str:
    """What was assumed, for the foot of a sheet."""
    told = dict.fromkeys(each.what for each in work.heard.remarks if each.severity == "care")
    return "".join(f" {each[0].upper()}{each[1:]}." for each in told)


def _tenths(value: float | None) -> str:
    """A figure of a column, to a tenth."""
    return _NONE if value is None else f"{round(value, 1) + 0.0:.1f}".replace("-", "−")


# ---------------------------------------------------------------- seats


def _seat_rows(work: Paperwork) -> Iterator[dict[str, str]]:
    for each in work.heard.areas:
        levels = each.seats.a_weighted_db
        yield {
            "area": each.area.name,
            "seats": str(len(levels)),
            "level": _tenths(each.level_db),
            "low": _tenths(float(levels.min())),
            "high": _tenths(float(levels.max())),
            "even": _tenths(evenness_db(levels)[0]) if len(levels) > 1 else _NONE,
            "noise": _tenths(each.signal_to_noise_db),
            "sti": _speech(each),
            "wanted": _wanted(work, each),
        }


def _speech(area: AreaHeard) -> str:
    return _NONE if area.sti is None else f"{area.sti:.2f}, {rating(area.sti)}"


def _wanted(work: Paperwork, area: AreaHeard) -> str:
    """What the show wants there, without its unit."""
    areas = work.check.trial.show.areas.values()
    told = next((each.level for each in areas if (each.label or each.id) == area.area.name), None)
    return "" if told is None else told.replace(" dB(A)", "")


SEATS_MAP: Final = SheetPlan(
    name="seats-map",
    title="Seats",
    about="the hall from above: how loud each seat is, how even, how well speech is understood",
    columns=(
        Column("area", "Where", 3.0),
        Column("seats", "Seats", 1.0, "right"),
        Column("level", "Level", 1.1, "right", "dB(A)"),
        Column("wanted", "Wanted", 1.1, "right", "dB(A)"),
        Column("low", "From", 1.0, "right", "dB(A)"),
        Column("high", "To", 1.0, "right", "dB(A)"),
        Column("even", "Even", 1.0, "right", "dB"),
        Column("noise", "S/N", 1.0, "right", "dB"),
        Column("sti", "Speech", 2.2),
    ),
    rows=_seat_rows,
    note=lambda work: (
        f"{_LOUD} Even: eight seats of ten lie within so much. Speech: transmission "
        f"index of the voices, within 0.05; S/N is theirs where there are any.{_remarks(work)}"
    ),
    is_wide=False,
    nothing=NO_PLACES,
    is_on_request=True,
    pictures=lambda work: (
        (
            Pictured(
                "seats", "Seats from above, the hall above its stage", work.check.trial.solution
            ),
        )
        if work.heard.areas
        else ()
    ),
)


# ---------------------------------------------------------------- feedback


def _feedback_rows(work: Paperwork) -> Iterator[dict[str, str]]:
    """How far the system is from ringing, by four measures."""
    ringing, margin = work.ringing, work.ringing.margin
    if margin is None:
        return
    microphones, loudspeakers = ringing.shares()
    rows = (
        ("mean loop gain", -margin.mean_margin_db, "in the highest band, phases left out"),
        ("spare of handbooks", margin.stable_margin_db, "to 6 dB below a mean loop gain of one"),
        ("even chance", margin.median_db, "with so much more (or less), half of such places ring"),
        ("nineteen of twenty", margin.sure_db, "with so much more (or less), one in twenty rings"),
    )
    for what, value_db, means in rows:
        yield {"part": "Margins", "what": what, "db": _tenths(value_db), "means": means}
    band = band_labels()[margin.band]
    for name, share in (*loudspeakers[:3], *microphones[:5]):
        means = f"{share:.0%} of the loop around {band}"
        if share >= LEAST_SHARE:
            yield {"part": "Rings first", "what": name, "means": means}
    for move in ring_moves(work.check.trial.solution, ringing):
        means = "more gain before feedback, by itself"
        yield {
            "part": "What buys most",
            "what": move.do,
            "db": _tenths(move.buys_db),
            "means": means,
        }
    yield from _handbook_rows(work)


def _handbook_rows(work: Paperwork) -> Iterator[dict[str, str]]:
    told = handbook_of(work.ringing)
    if told is None:
        return
    part = "Handbook's four distances"
    gains = (
        ("gain needed", told.gain.needed_db, "so that the farthest seat is as near as 3 m"),
        (
            "gain that can be had",
            told.gain.potential_db,
            f"{told.open_microphones} open, less 6 dB",
        ),
    )
    for what, value_db, means in gains:
        yield {"part": part, "what": what, "db": _tenths(value_db), "means": means}
    for doubt in told.gain.doubts:
        yield {"part": part, "what": "what does not hold here", "means": doubt}


FEEDBACK: Final = SheetPlan(
    name="feedback",
    title="Feedback margin",
    about="how far the system is from ringing, who rings first, and what buys most",
    columns=(
        Column("part", "Part"),
        Column("what", "What", 4.0),
        Column("db", "Gain", 1.0, "right", "dB"),
        Column("means", "Means", 4.0),
    ),
    rows=_feedback_rows,
    note=lambda work: f"{_LOUD} Every microphone is as open as its fader.{_remarks(work)}",
    group_by="part",
    is_wide=False,
    nothing="No microphone with a place reaches a loudspeaker with a place: nothing to tell.",
    is_on_request=True,
)


# ---------------------------------------------------------------- delays


def _delay_rows(work: Paperwork) -> Iterator[dict[str, str]]:
    for each in work.heard.delays:
        yield {
            "on": each.name,
            "set": _tenths(1000 * each.set_s),
            "now": _tenths(1000 * each.now_s),
            "louder": _tenths(each.louder_db),
            "may": _tenths(each.may_be_db),
            "polarity": "",
            "because": "behind the front, 3 m before it; 15 ms after the first sound",
        }
    for met in work.heard.subwoofers:
        set_up = met.alignment
        late = set_up.delay_sub_s > 0
        yield {
            "on": met.sub.name if late or set_up.delay_main_s == 0 else met.main.name,
            "set": _tenths(1000 * (set_up.delay_sub_s or set_up.delay_main_s)),
            "now": "",
            "polarity": "turn" if set_up.inverted else "as it is",
            "because": f"{met.sub.name} and {met.main.name} meet at {met.crossover_hz:.0f} Hz, "
            f"{met.phase_deg:.0f} degrees apart now; drivers not counted",
        }


DELAYS: Final = SheetPlan(
    name="delays",
    title="Delays",
    about="what to set on loudspeakers down the hall and on subwoofers, and polarity",
    columns=(
        Column("on", "Set on", 2.6),
        Column("set", "Delay", 1.0, "right", "ms"),
        Column("now", "Now", 1.0, "right", "ms"),
        Column("louder", "Louder", 1.0, "right", "dB"),
        Column("may", "May be", 1.0, "right", "dB"),
        Column("polarity", "Polarity", 1.2),
        Column("because", "Because", 4.0),
    ),
    rows=_delay_rows,
    note=lambda work: (
        f"Air at {_celsius(work):.0f} °C; ten degrees move a delay of 100 ms by "
        f"1.7 ms. Listen to both polarities of a subwoofer before one is kept.{_remarks(work)}"
    ),
    has_ticks=True,
    is_wide=True,
    nothing="No loudspeaker stands behind others of its mix, and no subwoofer under any.",
    is_on_request=True,
)


def _celsius(work: Paperwork) -> float:
    return work.heard.located.venue.air.temperature_k - 273.15


# ---------------------------------------------------------------- doses


def _dose_rows(work: Paperwork) -> Iterator[dict[str, str]]:
    for area in work.heard.areas:
        yield _dose("Audience", area.area.name, area.stay_s, area.exposure)
    kinds = {"desk": "At the desk", "performer": "On stage", "in-ear": "In the ear"}
    for each in work.heard.at_work:
        yield _dose(kinds[each.kind], each.name, each.stay_s, each.exposure)


def _dose(group: str, name: str, stay_s: float, told: Evening) -> dict[str, str]:
    doses = {rule.name: f"{dose:.0f}" for rule, dose in zip(RULES, told.doses_percent, strict=True)}
    return {
        "group": group,
        "who": name,
        "hours": f"{stay_s / 3600:.1f}",
        "level": _tenths(told.mean_db),
        "day": _tenths(told.daily_db),
        **doses,
        "worst": _tenths(told.worst_quarter_db),
        "venue": "over" if told.over_venue_db > 0 else "within",
    }


DOSES: Final = SheetPlan(
    name="exposure",
    title="Doses of sound",
    about="level and dose of audience, desk and stage by four rules; which applies is local law",
    columns=(
        Column("group", "Group"),
        Column("who", "Who", 3.0),
        Column("hours", "Stay", 0.9, "right", "h"),
        Column("level", "Level", 1.1, "right", "dB(A)"),
        Column("day", "LEX,8h", 1.1, "right", "dB(A)"),
        *(
            Column(rule.name, rule.name.removesuffix(" 2003/10/EC"), 1.0, "right", "% of a day")
            for rule in RULES
        ),
        Column("worst", "Worst 15 min", 1.2, "right", "dB(A)"),
        Column("venue", "WHO, 100 dB(A)", 1.4),
    ),
    rows=_dose_rows,
    note=lambda work: (
        "From the loudspeakers alone, the loud passage all the time: whoever plays or sings gets "
        "the own instrument or voice on top. NIOSH 85 dB(A), OSHA "
        f"90, 2003/10/EC 87 over 8 h are 100 %. {LOCAL_LAW}{_remarks(work)}"
    ),
    group_by="group",
    is_wide=True,
    nothing=NO_PLACES,
    is_on_request=True,
    cautions=lambda work: (EXPOSURE_CAUTION,) if work.heard.areas else (),
)
