"""Sockets that fit and speak another language; digital lines on the wrong cable."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Final

from levelhead.quantity.decibels import DBU_REFERENCE_V
from levelhead.quantity.formatting import format_level
from levelhead.rig.model import RigLink, RigPort, Segment
from levelhead.verdicts.explain import PRACTICE, Explained, Threshold
from levelhead.verdicts.harm.lines import STRANGE
from levelhead.verdicts.read.places import kept_while, plugged
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import LimitState

__all__ = [
    "DATA_FINE_DB",
    "EXPLAINED",
    "EYE",
    "LANGUAGE",
    "NAMES",
    "SENTENCES",
    "check_data_lines",
    "check_languages",
    "eye_opening",
]

LANGUAGE, EYE = "wiring.language", "wiring.data-eye"
DATA_FINE_DB: Final = 6.0  # twice what the receiver needs, common practice
_LINE_OHM: Final = {"aes3": (88.0, 132.0), "spdif": (71.0, 79.0)}  # AES3: 110 ohm 20 %; IEC 60958-3
_TERMINATED_OHM: Final = {"aes3": 110.0, "spdif": 75.0}
_SPEED_M_PER_S: Final = 2e8  # in the usual insulations, handbook
_SWINGS: Final = {"aes3": (3.0, 0.2), "spdif": (0.5, 0.2)}  # V peak to peak, out and least in
_SHORTEST_S: Final = 1 / (128 * 96e3)  # half a bit cell at 96 kHz, AES3

NAMES: Final = {
    "audio": "analogue audio",
    "aes3": "digital audio (AES3)",
    "spdif": "digital audio (S/PDIF)",
    "network": "a network",
    "lighting-data": "lighting data",
    "intercom": "an intercom line",
    "usb": "data (USB)",
    "hdmi": "picture and sound (HDMI)",
}
SENTENCES: Final[Mapping[str, Mapping[Severity, str]]] = {
    LANGUAGE: {
        Severity.FAILS: "{one} carries {this}, {other} expects {that}: the plugs fit, but "
        "nothing that is music comes through.",
    },
    EYE: {
        Severity.FAILS: "The cable into {input} closes the eye of the data: clicks and mutes.",
        Severity.CARE: "The data arrive at {input} with {spare} to spare. It works while nothing "
        "is added to this cable.",
        Severity.FINE: "The data arrive at {input} with {spare} to spare.",
    },
}


def _name(carries: str) -> str:
    return NAMES.get(carries, carries)


@kept_while(plugged)
def check_languages(reading: Reading) -> Iterator[Finding]:
    """Links between sockets that carry different things."""
    for link in reading.rig.links:
        ports = [reading.rig.ports[each] for each in link.ports]
        first = ports[0]
        for other in ports[1:]:
            carried = {first.plan.carries, other.plan.carries}
            is_told = "audio" in carried and carried & set(STRANGE)  # as harm, with its volts
            if len(carried) > 1 and not is_told:
                yield _strangers(link, first, other)


def _strangers(link: RigLink, one: RigPort, other: RigPort) -> Finding:
    given = one if one.plan.role != "in" else other
    swing_v = given.plan.figure("swing") or 2 * (given.plan.figure("ceiling") or 0.0) * math.sqrt(2)
    is_data = given.plan.carries != "audio" and swing_v > 0
    level_dbu = 20 * math.log10(swing_v / 2 / DBU_REFERENCE_V) if is_data else None
    return Finding(
        code=LANGUAGE,
        severity=Severity.FAILS,
        where=other.address,
        what=SENTENCES[LANGUAGE][Severity.FAILS].format(
            one=one.label,
            this=_name(one.plan.carries),
            other=other.label,
            that=_name(other.plan.carries),
        ),
        why=(
            Compared("level of the data as a square wave", level_dbu, None, "dBu")
            if is_data
            else Compared("languages that both ends speak", 0.0, 1.0, ""),
        ),
        source="what each socket is said to carry in the gear book",
        basis="AES3, IEC 60958-3, TIA/EIA-485",
        ports=link.ports,
    )


# --- digital lines ---


@kept_while(plugged)
def check_data_lines(reading: Reading) -> Iterator[Finding]:
    """Digital audio from socket to socket: is the eye of the data still open at the far end?"""
    for link in reading.rig.links:
        ports = [reading.rig.ports[each] for each in link.ports]
        kinds = {each.plan.carries for each in ports}
        if len(kinds) == 1 and kinds <= set(_SWINGS):
            given = [each for each in ports if each.plan.role != "in"]
            taken = [each for each in ports if each.plan.role == "in"]
            for port in taken:
                if given:
                    yield _judge_eye(link, given[0], port)


def eye_opening(segments: tuple[Segment, ...], carries: str, shortest_s: float) -> float:
    """Share of the swing that is left after a run of cable, 0 where the eye is closed.

    A cable of the right impedance is a line and keeps its pulses. Any other one is reckoned as its
    capacitance behind source and load in parallel: after a long pulse the shortest one comes to
    ``1 - 2 exp(-t / RC)`` of the swing.
    """
    farad = sum(
        _pair_f_per_m(each) * each.length_m for each in segments if not _is_line(each, carries)
    )
    if farad <= 0:
        return 1.0
    constant_s = _TERMINATED_OHM[carries] / 2 * farad
    return max(0.0, 1 - 2 * math.exp(-shortest_s / constant_s))


def _pair_f_per_m(segment: Segment) -> float:
    """Between the two conductors: core to core, and through the screen. [F/m]"""
    cable = segment.cable
    between = 0.0 if cable.core_core_f_per_m is None else cable.core_core_f_per_m.value
    to_screen = 0.0 if cable.core_screen_f_per_m is None else cable.core_screen_f_per_m.value
    return between + to_screen / 2 if between else to_screen


def _is_line(segment: Segment, carries: str) -> bool:
    """Whether a cable has the impedance of the standard: from its capacitance and speed."""
    cable = segment.cable
    figure = cable.core_core_f_per_m or cable.core_screen_f_per_m
    if figure is None or segment.length_m <= 0:
        return True
    low, high = _LINE_OHM[carries]
    return low <= 1 / (_SPEED_M_PER_S * figure.value) <= high


def _judge_eye(link: RigLink, given: RigPort, port: RigPort) -> Finding:
    """What is left of a data signal at the end of its lead, against what the input needs."""
    carries = port.plan.carries
    swing, least = _SWINGS[carries]
    swing_v = given.plan.figure("swing") or swing
    least_v = port.plan.figure("least-swing") or least
    opening = eye_opening(link.segments, carries, given.plan.figure("pulse") or _SHORTEST_S)
    ample_db = 20 * math.log10(swing_v / least_v)
    margin_db = ample_db + 20 * math.log10(opening) if opening > 0 else -ample_db
    severity = Severity.FINE if margin_db >= DATA_FINE_DB else Severity.CARE
    if margin_db < 0:
        severity = Severity.FAILS
    words = {"input": port.label, "spare": format_level(margin_db, "dB")}
    return Finding(
        code=EYE,
        severity=severity,
        where=port.address,
        what=SENTENCES[EYE][severity].format(**words),
        why=(
            Compared("swing before the cable, over the least that is read", ample_db, 0.0, "dB"),
            Compared("eye left open by the cable", 100 * opening, 0.0, "%"),
        ),
        state=LimitState(margin_db, "dB"),
        source="swing of the output, capacitance of the cable, least swing that a receiver reads",
        basis="AES3, IEC 60958-3 and -4",
        ports=link.ports,
    )


EXPLAINED: Final = (
    Explained(
        LANGUAGE,
        "What the sockets at the ends of a lead carry: analogue or digital audio, a network, "
        "lighting data, an intercom line. They have to be the same.",
        source="AES3, IEC 60958-3, TIA/EIA-485",
    ),
    Explained(
        EYE,
        "Swing that a digital output sends, what the capacitance of the wrong cable leaves of the "
        "shortest pulse, and the least swing that the input reads.",
        (
            Threshold("swing to spare that is fine", DATA_FINE_DB, "dB", PRACTICE),
            Threshold("swing to spare below which it fails", 0.0, "dB", "AES3, IEC 60958-4"),
        ),
        "AES3, IEC 60958-3 and -4",
    ),
)
