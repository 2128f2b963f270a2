"""What a finding says of the gain at an input: how much, to where, and what makes up the rest."""

from __future__ import annotations

from typing import Final

from levelhead.chain.levels import REFERENCE_OF_UNIT
from levelhead.quantity.formatting import format_level
from levelhead.verdicts.doubts import controls_with_room
from levelhead.verdicts.gain_plan import PEAK_RESERVE_DB, knob_words, planned_gain_db
from levelhead.verdicts.limit_state import ROUNDING
from levelhead.verdicts.reading import Reading
from levelhead.verdicts.strips import Strip
from levelhead.verdicts.words import control_words

__all__ = ["SHARED_MAKEUP_DB", "words_of_gain"]

SHARED_MAKEUP_DB: Final = 6.0  # what masters can lend one weak source, common practice


def _db(value: float) -> str:
    return format_level(abs(value), "dB")


def words_of_gain(reading: Reading, strip: Strip) -> dict[str, str]:
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
        "level": format_level(strip.nominal_dbu, "dBu"),
        "needed": format_level(_on_the_panel(strip, strip.needed_db), "dB"),
        "zero": format_level(strip.zero_db, unit),
        "high": f"{format_level(_on_the_panel(strip, strip.high_db), 'dB')} at most"
        if has_gain
        else "none",
        "still": _db(lacking - strip.makeup_db),
        "where": where,
        "how": _made_up(reading, strip, lacking) if is_spent else f"{where}, near its end",
    }


def _on_the_panel(strip: Strip, gain_db: float) -> float:
    """A gain as people count it: behind a converter, what the control says. [dB]"""
    return gain_db if strip.metered.unit == "V" else strip.setting_for(gain_db)


def _made_up(reading: Reading, strip: Strip, lacking_db: float) -> str:
    """What brings the rest: the fader alone, or something before the input turned up."""
    if lacking_db <= strip.makeup_db + SHARED_MAKEUP_DB:
        return f"{_db(lacking_db)} are missing, which the fader makes up"
    solution = reading.solution
    before = controls_with_room(solution, solution.number(strip.entry.at))
    names, left_db = [], lacking_db
    for control, room_db in reversed(before.items()):  # the nearest ones that have enough
        if room_db > ROUNDING and left_db > ROUNDING:
            names.append(control_words(reading.rig, control))
            left_db -= room_db
    told = f"turn up {' and '.join(names)} first, by {_db(lacking_db - max(left_db, 0.0))}"
    return f"{told}; the fader makes up the rest" if left_db > ROUNDING else told
