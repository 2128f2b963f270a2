"""Noise after too little level, and hiss of loudspeakers in a quiet moment."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from levelhead.quantity.formatting import format_level
from levelhead.verdicts.enough.hiss_from import HissParts, hiss_parts
from levelhead.verdicts.explain import PRACTICE, Explained, Threshold
from levelhead.verdicts.hum.listener import Listener, listening_in
from levelhead.verdicts.hum.sound import CLEAN_DB, COVERED_DB
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.read.strips import Strip
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import ROUNDING, Doubt, LimitState

__all__ = ["EXPLAINED", "HISS", "HISS_PLENTY_DB", "NOISE", "SENTENCES", "check_hiss", "check_noise"]

HISS, NOISE = "enough.hiss", "enough.noise"
HISS_PLENTY_DB: Final = 10.0  # hiss so far under the room: nobody hears it, common practice
_MOST: Final = 0.5  # of the power: moving level from one place to the other takes 3 dB off at most
_MOST_TOLD_DB: Final = 20.0  # controls hardly have more room than that
SENTENCES: Final = {
    HISS: "{loudspeaker} hisses with {hiss} at the nearest listener, where the room has {room}. "
    "{from_where}",
    NOISE: "{input} stands {snr} over the noise: between the words it is heard. More level before "
    "the input helps, its gain does not.",
}

UNDER_THE_ROOM: Final = (
    "{loudspeaker} may be heard to hiss in a quiet moment: {hiss} at the nearest listener, where "
    "rooms have {least} to {most}. {from_where}"
)
BEHIND: Final = (
    "Turn the loudspeaker or its amplifier down, and what feeds it up by as much: that takes up "
    "to {less} off."
)
WITH_SIGNAL: Final = (
    "Most of it comes with the signal, from {most}: it falls only as the programme falls. More "
    "level there (closer to the microphone) and less gain behind it, or shut it while nobody "
    "needs it."
)


def check_hiss(reading: Reading) -> Iterator[Finding]:
    """Loudspeakers in a quiet moment: their noise at the nearest listener, against the room's.

    Where the programme stands far over its noise nobody complains, however large the loudspeaker.
    """
    solution, nearest = reading.solution, listening_in(reading)
    ends = dict.fromkeys(way[-1] for way in solution.paths if way[-1] in solution.in_air)
    for address in ends:
        levels = solution.levels(address)
        if levels.floor_a is None or levels.signal_over_noise is None:
            continue
        is_clean = levels.signal_over_noise >= CLEAN_DB - ROUNDING
        if is_clean or levels.nominal is None:
            continue
        listener = nearest(address)
        hiss_db = _at_listener_db(reading, address, levels.floor_a, listener)
        state = _quiet(listener, hiss_db)
        if state.severity(ample=HISS_PLENTY_DB) is not Severity.FINE:
            yield _hiss(reading, address, (hiss_db, listener), state)


def _at_listener_db(reading: Reading, address: str, floor_a_db: float, listener: Listener) -> float:
    """Hiss at the loudest seat of the show; without areas at so many metres. [dB(A)]"""
    if reading.rig.show.areas:
        from levelhead.verdicts.air.numbers import hiss_by_box  # loaded where seats are known

        item = reading.rig.show.items[reading.solution.point(address).item]
        by_box = hiss_by_box(reading.solution)
        if item.called in by_box:
            return by_box[item.called]
    return floor_a_db - 20 * math.log10(listener.distance.value)


def _quiet(listener: Listener, hiss_db: float) -> LimitState:
    return LimitState(
        listener.background_a.value - hiss_db,
        "dB",
        lambda: [
            Doubt("background of the room", "fact", listener.background_a, +1.0),
            Doubt("distance of the nearest listener", "fact", listener.distance, +1.0),
        ],
    )


def _hiss(
    reading: Reading, address: str, heard: tuple[float, Listener], state: LimitState
) -> Finding:
    """Noise at the nearest listener against the background of the room."""
    hiss_db, room = heard[0], heard[1].background_a
    parts = hiss_parts(reading, address)
    words = {
        "from_where": _from_where(parts),
        "loudspeaker": reading.rig.items[address.partition(".")[0]].label,
        "hiss": format_level(hiss_db, "dB(A)"),
        "room": format_level(room.value, "dB(A)"),
        "least": format_level(room.low, "dB(A)"),
        "most": format_level(room.high, "dB(A)"),
    }
    sentence = UNDER_THE_ROOM if hiss_db < room.value and room.low < room.high else SENTENCES[HISS]
    return Finding(
        code=HISS,
        severity=Severity.CARE,
        where=address,
        what=sentence.format(**words),
        why=(
            Compared(
                "A-weighted noise at the listener",
                hiss_db,
                room.value,
                "dB(A)",
            ),
            Compared("share of its power that comes with the signal", parts.with_signal, 0.5, "1"),
        ),
        state=state,
        source="noise of everything before the loudspeaker, at the loudest seat or so many metres",
        basis=PRACTICE,
    )


def _from_where(parts: HissParts) -> str:
    """What is to be done about it, by where most of it arises."""
    if parts.with_signal > _MOST and parts.most is not None:
        return WITH_SIGNAL.format(most=parts.most)
    return BEHIND.format(less=format_level(min(parts.less_db, _MOST_TOLD_DB), "dB"))


def check_noise(reading: Reading) -> Iterator[Finding]:
    """Inputs: how far does the loud passage stand over the A-weighted noise behind the gain?"""
    for strip in reading.strips:
        over_db = reading.solution.levels(strip.metered.address).signal_over_noise
        if over_db is not None and over_db < COVERED_DB - ROUNDING:
            yield _noisy(reading, strip, over_db)


def _noisy(reading: Reading, strip: Strip, over_db: float) -> Finding:
    return Finding(
        code=NOISE,
        severity=Severity.CARE,
        where=strip.port,
        what=SENTENCES[NOISE].format(
            input=reading.rig.ports[strip.port].label, snr=format_level(over_db, "dB")
        ),
        why=(Compared("signal over A-weighted noise", over_db, COVERED_DB, "dB"),),
        state=LimitState(over_db - COVERED_DB, "dB"),
        source="loud passage over the noise of everything up to the meter",
        basis=PRACTICE,
        ports=(strip.port,),
    )


EXPLAINED: Final = (
    Explained(
        HISS,
        "A-weighted noise of a loudspeaker with everything silent, at the nearest listener, "
        "against the background of the room; only where the programme is not far over it. Told "
        "with it is how much comes with the signal, from before the first mix.",
        (
            Threshold("programme over noise: nobody complains", CLEAN_DB, "dB", PRACTICE),
            Threshold("hiss under the room: nobody hears it", HISS_PLENTY_DB, "dB", PRACTICE),
        ),
    ),
    Explained(
        NOISE,
        "Loud passage over A-weighted noise behind the gain of an input.",
        (Threshold("heard between the words below", COVERED_DB, "dB", PRACTICE),),
    ),
)
