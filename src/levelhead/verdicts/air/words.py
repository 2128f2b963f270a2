"""Codes and sentences of what the air does, and where the numbers come from at which they turn."""

from __future__ import annotations

from typing import Final

from levelhead.acoustics.listening.exposure import WHO_VENUES_DB
from levelhead.acoustics.sound.delay import LEAST_SHARE, LOUDER_DB
from levelhead.verdicts.air.limits import (
    APART_DB,
    COLOUR_DB,
    EXPOSURE_HARM_DB,
    LIMIT_OF_STAFF_DB,
    OFF_DB,
    STI_FAILS,
    STI_FINE,
    SUB_CARE_DEG,
)
from levelhead.verdicts.explain import PRACTICE, Explained, Threshold
from levelhead.verdicts.people.words import DOSE
from levelhead.verdicts.told.finding import Severity

__all__ = [
    "COMB",
    "DELAYED",
    "EXPLAINED",
    "EXPOSURE",
    "INSIDE",
    "NOWHERE",
    "NO_WALLS",
    "RINGS",
    "SENTENCES",
    "SPEECH",
    "SUB",
    "TOO_LOUD",
    "TOO_LOW",
    "UNEVEN",
    "WALLS",
]

RINGS: Final = "air.rings"
TOO_LOW: Final = "air.too-low"
TOO_LOUD: Final = "air.too-loud"
UNEVEN: Final = "air.uneven"
SPEECH: Final = "air.speech"
EXPOSURE: Final = "air.exposure"
SUB: Final = "air.subwoofer"
COMB: Final = "air.comb"
DELAYED: Final = "air.delayed"
INSIDE: Final = "air.inside-loudspeaker"
WALLS: Final = "air.room"
NOWHERE: Final = "air.no-loudspeaker"

NO_WALLS: Final = " Walls, of which nothing is told, bring it nearer."
SENTENCES: Final = {
    (RINGS, Severity.FAILS): "It rings as it stands, more likely than not: around {band}, from "
    "{boxes} into {mics}, even odds are {by} lower, and {sure} lower nineteen of twenty such "
    "places are quiet.",
    (RINGS, Severity.CARE): "It may ring around {band}, from {boxes} into {mics}: in one of "
    "twenty such places or more it does as it stands. It works {sure} lower, or once sound check "
    "has shown that this place is a kind one.",
    (RINGS, Severity.FINE): "It is {sure} from ringing in nineteen of twenty such places; first "
    "around {band}, from {boxes} into {mics}.",
    (TOO_LOW, Severity.FAILS): "{area}: {level} in the loud passage, {by} less than the "
    "{target} that are wanted, and nothing before the loudspeakers has so much left.",
    (TOO_LOW, Severity.CARE): "{area}: {level} in the loud passage, {by} less than the "
    "{target} that are wanted. {works}",
    (TOO_LOUD, Severity.CARE): "{area}: {level} in the loud passage, {by} more than the "
    "{target} that are wanted. It works turned down by that.",
    (TOO_LOW, Severity.FINE): "{area}: {level} in the loud passage; {target} are wanted.",
    (UNEVEN, Severity.CARE): "{area}: loud and soft seats lie {apart} apart, from {low} to {high}; "
    "what is right for some is too little for others. It works for those who may move.",
    (UNEVEN, Severity.FINE): "{area}: eight of ten seats lie within {apart}.",
    (SPEECH, Severity.FAILS): "{area}: speech is hardly understood, with a speech transmission "
    "index of {sti}, {rating}, because {because}.",
    (SPEECH, Severity.CARE): "{area}: speech is understood with some effort, with a speech "
    "transmission index of {sti}, {rating}, because {because}. It works for slow and clear "
    "speakers.",
    (SPEECH, Severity.FINE): "{area}: speech is understood, with a speech transmission index of "
    "{sti}, {rating}.",
    (EXPOSURE, Severity.HARM): "{who}: {level} in the loud passage, a day's dose of sound "
    "(NIOSH) in {time}. {doses}",
    (EXPOSURE, Severity.CARE): "{who}: {level} in the loud passage. {doses} It works with "
    "hearing protection on, or softer than that for most of the time.",
    (EXPOSURE, Severity.FINE): "{who}: {level} in the loud passage. {doses}",
    (SUB, Severity.CARE): "Around {crossover} {sub} and {main} are against each other at {place} "
    "({phase} apart): together {less} less than in phase. It works with {cure}.",
    (SUB, Severity.FINE): "Around {crossover} {sub} and {main} add up at {place} ({phase} apart).",
    (COMB, Severity.CARE): "{area}: {one} and {other} play the same and colour each other at "
    "{share} of the seats: {ripple} from peak to dip at a quarter of them, first nulls from {null} "
    "on. It works where one of them is {down} down there, or comes 10 to 20 ms behind.",
    (COMB, Severity.FINE): "{area}: no colour is heard of {one} and {other}, which play the same.",
    (DELAYED, Severity.CARE): "{area}: at {share} of the seats sound comes from {name} and not "
    "from the front: {louder} than {front} and {behind}, where {may_be} lets it pass unnoticed. It "
    "works {cure}.",
    (DELAYED, Severity.FINE): "{area}: sound is heard from {front}, not from {name}, which is "
    "{louder} and {behind}.",
    (INSIDE, Severity.FAILS): "{what}: no level holds there. Move one of them.",
    (WALLS, Severity.FAILS): "{what}: nothing can be told of the seats until it is mended.",
    (WALLS, Severity.CARE): "{what}: levels and rings are reckoned as if they were inside.",
    (NOWHERE, Severity.CARE): "Nothing that has a place plays, so nothing can be told of {areas}. "
    "It works once loudspeakers have 'at' and 'aim'.",
}

_SEATS: Final = "docs/acoustics.md: loudspeakers as they are driven, direct and reverberant sound"
EXPLAINED: Final = (
    Explained(
        RINGS,
        "The loop from every open microphone through the desk and the air, by mean squares in each "
        "band: how likely its phase comes round beyond a gain of one as everything stands. Judged "
        "of microphones and loudspeakers with a place; without a room by straight sound alone.",
        (
            Threshold("chance of ringing that fails", 0.5, "1", PRACTICE),
            Threshold("chance of ringing that is care", 0.05, "1", PRACTICE),
        ),
        "Schroeder 1954; Rice 1944; docs/acoustics.md, section 7",
    ),
    Explained(
        TOO_LOW,
        "Mean level at the seats of an area in the loud passage, A-weighted, against the `level` "
        "that the area states.",
        (
            Threshold("less than wanted that is care", OFF_DB, "dB", PRACTICE),
            Threshold("less than wanted that fails, with nothing left", OFF_DB, "dB", PRACTICE),
        ),
        _SEATS,
    ),
    Explained(
        TOO_LOUD,
        "Mean level at the seats of an area in the loud passage, A-weighted, against the `level` "
        "that the area states.",
        (Threshold("more than wanted that is care", OFF_DB, "dB", PRACTICE),),
        _SEATS,
    ),
    Explained(
        UNEVEN,
        "How far apart eight of ten seats of an area lie, A-weighted.",
        (Threshold("apart from which it is care", APART_DB, "dB", PRACTICE),),
        _SEATS,
    ),
    Explained(
        SPEECH,
        "Speech transmission index of talkers at the middle seat of an area: every arrival, the "
        "room, noise, masking. Singers are not judged by it.",
        (
            Threshold("index below which it fails", STI_FAILS, "1", "IEC 60268-16, poor"),
            Threshold("index from which it is fine", STI_FINE, "1", PRACTICE),
        ),
        "IEC 60268-16:2020",
    ),
    Explained(
        EXPOSURE,
        "Level of the loud passage where people listen, at the desk and where performers stand, "
        "as if it lasted the whole stay, by four rules. Which of them binds is local law.",
        (
            Threshold("level that is harm", EXPOSURE_HARM_DB, "dB(A)", DOSE),
            Threshold("level that is care", WHO_VENUES_DB, "dB(A)", "WHO 2022, feature 1"),
            Threshold(
                "LEX,8h that is care at the desk and on stage",
                LIMIT_OF_STAFF_DB,
                "dB(A)",
                "Directive 2003/10/EC, art. 3",
            ),
        ),
        "NIOSH 98-126; 29 CFR 1910.95; Directive 2003/10/EC; WHO 2022",
    ),
    Explained(
        SUB,
        "Phase between a subwoofer and the loudspeakers of the same signal at the first area, in "
        "the band where both are equally loud: filters, delays, polarity and places. What drivers "
        "turn is not known.",
        (Threshold("phase from which it is care", SUB_CARE_DEG, "degrees", "geometry"),),
        "docs/acoustics.md, section 6",
    ),
    Explained(
        COMB,
        "Two loudspeakers of one signal at the seats of an area: how far the power of that signal "
        "swings about its mean from 500 Hz to 4 kHz, as far as an ear tells peaks from dips "
        "(critical bands), both ears agree, and reverberation leaves the dips open; at a quarter "
        "of the seats.",
        (
            Threshold(
                "swing that is care: that of a copy 10 dB down",
                COLOUR_DB,
                "dB",
                "Rec. ITU-R BS.1116: early reflections 10 dB down",
            ),
            Threshold("share of the seats", LEAST_SHARE, "1", PRACTICE),
        ),
        "Everest, Master Handbook of Acoustics; Glasberg and Moore 1990; Zurek 1979",
    ),
    Explained(
        DELAYED,
        "A loudspeaker 3 m or more behind others of the same signal, at seats before it that hear "
        "those, too: how much louder it is and when it comes. Later than 30 ms it may be an "
        "echo (`routing.echo`); one that is 20 dB above the front at every seat has a place of its "
        "own.",
        (
            Threshold("louder from 5 to 30 ms behind that is care", LOUDER_DB, "dB", "Haas 1949"),
            Threshold("louder at the same time that is care", 0.0, "dB", "Haas 1949"),
            Threshold("share of the seats", LEAST_SHARE, "1", PRACTICE),
        ),
        "Haas 1949 (J. Audio Eng. Soc. 20, 146-159)",
    ),
    Explained(INSIDE, "A seat or a microphone within 25 cm of a loudspeaker.", (), PRACTICE),
    Explained(
        WALLS,
        "A room that cannot be: walls that cross, nothing that swallows sound, an area without "
        "room for a seat. Care is what stands outside the walls, over the ceiling or under the "
        "floor: a digit too many, or another room.",
        (Threshold("beyond a wall that is care", 1.0, "m", PRACTICE),),
        PRACTICE,
    ),
    Explained(NOWHERE, "Areas to which no loudspeaker with a place plays.", (), PRACTICE),
)
