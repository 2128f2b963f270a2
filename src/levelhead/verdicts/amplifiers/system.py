"""Loudspeakers among others: pairs alike, subwoofers without voices, level for an amplifier."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np

from levelhead.chain.graph.points import UNITS, Edge
from levelhead.chain.most import Most
from levelhead.quantity.bands import ONE_KHZ_BAND, mid_hz
from levelhead.quantity.decibels import DBU_REFERENCE_V
from levelhead.quantity.formatting import format_level, format_si
from levelhead.verdicts.amplifiers.driven import Driven, driven, fed_by, input_of
from levelhead.verdicts.explain import PRACTICE, Explained, Threshold
from levelhead.verdicts.read.doubts import strongest_way
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import ROUNDING, LimitState
from levelhead.verdicts.told.words import place_words

__all__ = [
    "EXPLAINED",
    "PAIR",
    "PAIR_FINE_DB",
    "RANGE",
    "RANGE_FINE_DB",
    "SENSITIVITY",
    "SENSITIVITY_FINE_DB",
    "SENTENCES",
    "check_input_sensitivity",
    "check_pairs",
    "check_range",
]

PAIR, RANGE, SENSITIVITY = "loudspeaker.pair", "loudspeaker.range", "amplifier.sensitivity"
PAIR_FINE_DB: Final = 3.0  # the image moves a little, common practice
RANGE_FINE_DB: Final = -15.0  # what plays an octave above, under what is wanted: common practice
SENSITIVITY_FINE_DB: Final = 10.0  # short of full output: half as loud, ISO 532 (10 phon)
_SIDE: Final = re.compile(r"-(left|right)(?=[.\d]|$)")

SENTENCES: Final = {
    PAIR: {
        Severity.CARE: "{one} plays {db} louder than {other}, left and right of one pair: the "
        "image moves there, and it clips first. It works once they are set alike.",
        Severity.FINE: "{one} and {other}, left and right of one pair, play alike within {db}.",
    },
    RANGE: {
        Severity.CARE: "{input} is made to play up to {limit} and gets everything: voices through "
        "a woofer sound boomy and smeared. It works with a low-pass before its amplifier.",
        Severity.FINE: "{input} is made to play up to {limit}; what lies above is kept away.",
    },
    SENSITIVITY: {
        Severity.CARE: "{output} gives all that it has at {needed} on its input; {most} can come "
        "there. It works while {short} less than its full output is loud enough.",
        Severity.FINE: "{output} gives all that it has at {needed} on its input; {most} can come "
        "there.",
    },
}


# --- pairs ---


@dataclass(frozen=True, slots=True)
class _Side:
    """A loudspeaker of a pair: where its sound leaves, and how loud from the common output. [dB]"""

    address: str
    label: str
    item: str
    output: str
    type_id: str
    gain_db: float


def check_pairs(reading: Reading) -> Iterator[Finding]:
    """One loudspeaker of a type each on the left and the right of one output: equally loud?"""
    pairs: dict[str, dict[str, list[_Side]]] = {}
    solution = reading.solution
    wiring = solution.graph.wiring
    speaks = (wiring.columns.unit == UNITS.index("Pa")) & (solution.nominal > 0)
    for row in np.flatnonzero(speaks).tolist():
        found = _side(reading, row, wiring.addresses[row])
        if found is not None:
            key, side, loudspeaker = found
            pairs.setdefault(key, {}).setdefault(side, []).append(loudspeaker)
    for sides in pairs.values():
        if all(len(sides.get(each, ())) == 1 for each in ("left", "right")):
            left, right = sides["left"][0], sides["right"][0]
            if left.type_id == right.type_id and left.item != right.item:
                yield _pair(left, right)


def _side(reading: Reading, row: int, address: str) -> tuple[str, str, _Side] | None:
    """The output of another item, left or right, that a loudspeaker is fed by; what follows it."""
    solution, rig = reading.solution, reading.rig
    item = solution.graph.points[row].item
    if item not in rig.items:
        return None
    gain_db = 0.0
    for edge in reversed(strongest_way(solution, row).edges):
        gain_db += _gain_db(edge)
        output = "" if edge.through is None else edge.through.port
        found = _SIDE.search(output)
        if found is not None and output.partition(".")[0] != item:
            label, type_id = rig.items[item].label, rig.show.items[item].type
            side = _Side(address, label, item, output, type_id, gain_db)
            return _SIDE.sub("-*", output), found[1], side
    return None


def _gain_db(edge: Edge) -> float:
    size = float(np.broadcast_to(np.abs(np.asarray(edge.gain)), mid_hz().shape)[ONE_KHZ_BAND])
    return 20 * math.log10(size) if size > 0 else -math.inf


def _pair(left: _Side, right: _Side) -> Finding:
    louder, softer = (left, right) if left.gain_db >= right.gain_db else (right, left)
    apart_db = louder.gain_db - softer.gain_db
    severity = Severity.CARE if apart_db > PAIR_FINE_DB + ROUNDING else Severity.FINE
    words = {
        "one": place_words(louder.label),
        "other": place_words(softer.label),
        "db": format_level(apart_db, "dB"),
    }
    return Finding(
        code=PAIR,
        severity=severity,
        where=louder.address,
        what=SENTENCES[PAIR][severity].format(**words),
        why=(Compared("difference in level", apart_db, PAIR_FINE_DB, "dB"),),
        state=LimitState(PAIR_FINE_DB - apart_db, "dB"),
        source="gain from the common output to each loudspeaker, at 1 kHz",
        basis=PRACTICE,
        ports=(louder.output, softer.output),
    )


# --- what a loudspeaker is made to play ---


def check_range(reading: Reading) -> Iterator[Finding]:
    """Loudspeakers made for a part of the range: does what lies far above it come as well?"""
    for each in driven(reading):
        limit = each.load.plan.figures.get("usable-to")
        if limit is None:
            continue
        power = reading.solution.power_at(each.load.address)
        above = power[mid_hz() >= 2 * limit.value].sum()
        below = power[mid_hz() <= limit.value].sum()
        if above + below > 0:
            ratio_db = 10 * math.log10(max(float(above), 1e-12) / max(float(below), 1e-12))
            yield _range(reading, each, limit.value, ratio_db)


def _range(reading: Reading, each: Driven, limit_hz: float, ratio_db: float) -> Finding:
    severity = Severity.CARE if ratio_db > RANGE_FINE_DB else Severity.FINE
    words = {"input": each.load.label, "limit": format_si(limit_hz, "Hz")}
    return Finding(
        code=RANGE,
        severity=severity,
        where=each.load.address,
        what=SENTENCES[RANGE][severity].format(**words),
        why=(
            Compared(
                "an octave above its range, over what it is for", ratio_db, RANGE_FINE_DB, "dB"
            ),
        ),
        state=LimitState(RANGE_FINE_DB - ratio_db, "dB"),
        source="spectrum of what comes to the loudspeaker, against the range it is made for",
        basis=PRACTICE,
        ports=(each.entry.address, each.output.address, *input_of(reading, each)),
    )


# --- what an amplifier wants ---


def check_input_sensitivity(reading: Reading) -> Iterator[Finding]:
    """Amplifiers with a signal: can what feeds them bring the level for their full output?"""
    most = reading.most(trusts_limiters=True)
    seen: set[str] = set()
    for each in driven(reading):
        if each.output.address not in seen:
            seen.add(each.output.address)
            yield from _sensitivity(reading, each, most)


def _sensitivity(reading: Reading, each: Driven, most: Most) -> Iterator[Finding]:
    """Back from the output to the socket by which its item is fed, every control up."""
    points, way = reading.solution.graph.points, fed_by(reading, each)
    own = [edge for edge in way if edge.through is None]
    gain_db = sum(_gain_db(edge) + _room_db(reading, edge) for edge in own)
    if way and math.isfinite(gain_db):
        most_v = float(most.by_band(way[-1].source).max())
        if 0 < most_v < math.inf:
            needed_v = each.ceiling_v / 10 ** (gain_db / 20)
            yield _wanted(each, points[way[-1].source].address, needed_v, most_v)


def _room_db(reading: Reading, edge: Edge) -> float:
    """How far a control goes up from where it stands; a locked one stays."""
    if edge.control is None:
        return 0.0
    plan = reading.rig.controls[edge.control]
    if plan.kind != "range" or edge.control in reading.rig.show.locks:
        return 0.0
    return plan.high - reading.rig.setting_db(edge.control)


def _wanted(each: Driven, port: str, needed_v: float, most_v: float) -> Finding:
    short_db = 20 * math.log10(needed_v / most_v)
    severity = Severity.CARE if short_db > SENSITIVITY_FINE_DB else Severity.FINE
    needed_dbu, most_dbu = (20 * math.log10(v / DBU_REFERENCE_V) for v in (needed_v, most_v))
    words = {
        "output": each.output.label,
        "needed": format_level(needed_dbu, "dBu"),
        "most": format_level(most_dbu, "dBu"),
        "short": format_level(short_db, "dB"),
    }
    return Finding(
        code=SENSITIVITY,
        severity=severity,
        where=port,
        what=SENTENCES[SENSITIVITY][severity].format(**words),
        why=(Compared("input level for full output", needed_dbu, most_dbu, "dBu"),),
        state=LimitState(SENSITIVITY_FINE_DB - short_db, "dB"),
        source="ceiling of the output less its gain, against the most that can come to its input",
        basis=PRACTICE,
        ports=(port, each.output.address),
    )


EXPLAINED: Final = (
    Explained(
        PAIR,
        "Gain at 1 kHz from the left and the right of one output to one loudspeaker each, of one "
        "type: cables, knobs and sensitivities.",
        (Threshold("difference that is fine", PAIR_FINE_DB, "dB", PRACTICE),),
    ),
    Explained(
        RANGE,
        "Power of what plays an octave and more above the range of a loudspeaker, against that "
        "within it.",
        (Threshold("ratio from which it is care", RANGE_FINE_DB, "dB", PRACTICE),),
    ),
    Explained(
        SENSITIVITY,
        "Level at an amplifier's input for its full output, controls up, against the most that "
        "can come there.",
        (
            Threshold(
                "short of it from which it is care", SENSITIVITY_FINE_DB, "dB", "ISO 532 (10 phon)"
            ),
        ),
    ),
)
