"""What a finding says of the gain at an input: how much, to where, and what makes up the rest."""

from __future__ import annotations

from collections.abc import Sequence

from levelhead.chain.levels import REFERENCE_OF_UNIT
from levelhead.quantity.formatting import format_level
from levelhead.verdicts.enough.lent import SHARED_MAKEUP_DB, room_behind
from levelhead.verdicts.read.doubts import controls_with_room
from levelhead.verdicts.read.gain_plan import PEAK_RESERVE_DB, knob_words, planned_gain_db
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.read.strips import Strip
from levelhead.verdicts.told.limit_state import ROUNDING
from levelhead.verdicts.told.words import control_words

__all__ = ["words_of_gain"]


def _db(value: float) -> str:
    return format_level(abs(value), "dB")


def words_of_gain(reading: Reading, strip: Strip, lent_db: float) -> dict[str, str]:
    """Words for the sentences on gain that is needed."""
    lacking = strip.needed_db - strip.high_db
    is_spent = lacking > ROUNDING
    has_gain = strip.gain_control is not None
    gain_db, unit = strip.needed_db, REFERENCE_OF_UNIT[strip.metered.unit][1]
    if has_gain and not is_spent:  # peaks may want less than the meter's zero
        gain_db = min(gain_db, planned_gain_db(strip))
    where = knob_words(reading.rig, strip, gain_db)
    reached = format_level(strip.zero_db - (strip.needed_db - gain_db), unit)
    if gain_db < strip.needed_db - ROUNDING:
        reached += f", {_db(PEAK_RESERVE_DB)} of room for peaks"
    return {
        "gain": format_level(_on_the_panel(strip, gain_db), "dB"),
        "reached": reached,
        "input": reading.rig.ports[strip.port].label,
        "level": format_level(strip.nominal_dbu, strip.entry.unit),
        "needed": format_level(_on_the_panel(strip, strip.needed_db), "dB"),
        "zero": format_level(strip.zero_db, unit),
        "high": f"{format_level(_on_the_panel(strip, strip.high_db), 'dB')} at most"
        if has_gain
        else "none",
        "all_up": _all_up(reading, strip, lent_db),
        "still": _db(lacking - strip.makeup_db - _told_of(lent_db)),
        "where": where,
        "how": _made_up(reading, strip, lacking, lent_db) if is_spent else f"{where}, near its end",
    }


def _on_the_panel(strip: Strip, gain_db: float) -> float:
    """A gain as people count it: behind a converter, what the control says. [dB]"""
    return gain_db if strip.metered.unit == "V" else strip.setting_for(gain_db)


def _told_of(lent_db: float) -> float:
    """What all behind lends, where that is more than the usual bit of the masters. [dB]"""
    return lent_db if lent_db > SHARED_MAKEUP_DB + ROUNDING else 0.0


def _all_up(reading: Reading, strip: Strip, lent_db: float) -> str:
    """What is up in vain: the fader, and what stands behind it where that has more to lend."""
    own = strip.made_up_by if strip.makeup_db > ROUNDING else ""
    names = [own] if own else []
    if _told_of(lent_db) or not names:
        behind = room_behind(reading.solution, strip)
        names += [control_words(reading.rig, each) for each in behind]
    return _listed(names or ["everything behind it"])


def _made_up(reading: Reading, strip: Strip, lacking_db: float, lent_db: float) -> str:
    """What brings the rest: the fader alone, something before the input, or all behind it."""
    if lacking_db <= strip.makeup_db + ROUNDING:
        return f"{_db(lacking_db)} are missing, which {strip.made_up_by} makes up"
    told, left_db = _turned_up_before(reading, strip, lacking_db)
    if left_db <= ROUNDING:
        return told
    if told and left_db <= strip.makeup_db + SHARED_MAKEUP_DB:
        return f"{told}; {strip.made_up_by} makes up the rest"
    rest = _lent(reading, strip, left_db, lent_db)
    return f"{told}; {rest}" if told else rest


def _turned_up_before(reading: Reading, strip: Strip, lacking_db: float) -> tuple[str, float]:
    """The nearest controls before an input that have enough, and what is left missing. [dB]"""
    solution = reading.solution
    before = controls_with_room(solution, solution.number(strip.entry.at))
    names, left_db = [], lacking_db
    for control, room_db in reversed(before.items()):
        if room_db > ROUNDING and left_db > ROUNDING:
            names.append(control_words(reading.rig, control))
            left_db -= room_db
    if not names:
        return "", lacking_db
    return f"turn up {_listed(names)} first, by {_db(lacking_db - max(left_db, 0.0))}", left_db


def _lent(reading: Reading, strip: Strip, lacking_db: float, lent_db: float) -> str:
    """What all behind a strip makes up, from the loudspeaker back, as far as it takes."""
    own = [strip.made_up_by] if strip.makeup_db > ROUNDING else []
    left_db, names = lacking_db - strip.makeup_db, []
    for control, room_db in reversed(list(room_behind(reading.solution, strip).items())):
        if left_db > ROUNDING:
            names.append(control_words(reading.rig, control))
            left_db -= room_db
    if left_db > ROUNDING and not _told_of(lent_db):
        names = ["the masters"]
    return (
        f"{_db(lacking_db)} are missing, which {_listed(own + names)} make up; what else plays "
        "there goes down by as much"
    )


def _listed(names: Sequence[str]) -> str:
    *others, last = names
    return f"{', '.join(others)} and {last}" if others else last
