"""What a loudspeaker line costs in its copper, and constant-voltage lines of the wrong voltage."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import Final

from levelhead.quantity.bands import ONE_KHZ_BAND
from levelhead.quantity.formatting import format_level, format_si
from levelhead.rig.model import RigLink
from levelhead.verdicts.amplifiers.driven import Driven, driven
from levelhead.verdicts.amplifiers.reached import leads_between
from levelhead.verdicts.explain import PRACTICE, Explained, Threshold
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import ROUNDING, Doubt, LimitState
from levelhead.verdicts.told.words import place_words

__all__ = [
    "CABLE",
    "CABLE_CARE_DB",
    "CABLE_FINE_DB",
    "EXPLAINED",
    "LINE",
    "LINE_FAILS_DB",
    "LINE_FINE_DB",
    "SENTENCES",
    "check_loudspeaker_lines",
]

CABLE, LINE = "loudspeaker.cable", "loudspeaker.line"
CABLE_FINE_DB: Final = 1.0  # a fifth less at the loudspeaker, nobody hears it, common practice
CABLE_CARE_DB: Final = 3.0  # half as much at the loudspeaker, common practice
LINE_FINE_DB: Final = 1.0  # what amplifiers for lines spread, common practice
LINE_FAILS_DB: Final = 10.0  # under it: half as loud, the sone scale, ISO 532
_WANTED_DB: Final = 0.5  # for which a section is told
_OHM_MM2_PER_M: Final = 0.01995  # IEC 60228 class 5: 7.98 ohm/km of 2.5 mm2
_SILENT: Final = 1e-12  # per volt
_OPEN_DB: Final = 60.0  # no copper loses so much: a contact is open, which the wiring tells
_DAMPED: Final = 1000.0  # from here nobody tells a damping factor

SENTENCES: Final = {
    CABLE: {
        Severity.FAILS: "The cable to {input} loses {loss}; {lost} of what the amplifier gives "
        "heats the copper{damping}.{section}",
        Severity.CARE: "The cable to {input} loses {loss}; {lost} of what the amplifier gives "
        "heats the copper{damping}. It works while so much may stay in the cable.{section}",
        Severity.FINE: "The cable to {input} loses {loss}{damping}.",
    },
    LINE: {
        Severity.HARM: "{output} can bring {volts} to {input}, made for a line of {limit}: each "
        "tap takes {over} more than it says, and its transformer is full on low notes.",
        Severity.FAILS: "{output} brings {volts} at most to {input}, made for a line of {limit}: "
        "{under} less than the tap says.",
        Severity.CARE: "{output} brings {volts} at most to {input}, made for a line of {limit}: "
        "{under} less than the tap says. It works if that is loud enough.",
        Severity.FINE: "{output} brings {volts} to {input}, made for a line of {limit}.",
    },
}


def check_loudspeaker_lines(reading: Reading) -> Iterator[Finding]:
    """Loudspeakers on their lines: level lost in copper, and volts against the line's own.

    Of the loudspeakers on one output the one that loses most is told; of those for one line
    voltage the nearest. Which stands first in the show changes nothing.
    """
    farthest: dict[str, Driven] = {}
    lines: dict[tuple[str, float], Driven] = {}
    for each in driven(reading):
        known = farthest.get(each.output.address)
        is_open = _loss_db(each) > _OPEN_DB
        if not is_open and (known is None or _nearness(each) > _nearness(known)):
            farthest[each.output.address] = each
        volts = each.entry.plan.figure("line-voltage")
        if volts is not None:
            nearest = lines.setdefault((each.output.address, volts), each)
            if _nearness(each) < _nearness(nearest):
                lines[each.output.address, volts] = each
    for each in farthest.values():
        if not each.is_joined:
            yield _cable(reading, each)
    for each in lines.values():
        if not each.is_joined:
            yield _line(each)


# --- copper ---


def _nearness(each: Driven) -> tuple[float, str]:
    return _loss_db(each), each.entry.address


def _loss_db(each: Driven) -> float:
    at_output, at_entry = (
        max(abs(complex(volts[ONE_KHZ_BAND])), _SILENT) for volts in (each.at_output, each.at_entry)
    )
    return max(20 * math.log10(at_output / at_entry), 0.0)


def _cable(reading: Reading, each: Driven) -> Finding:
    loss_db = _loss_db(each)
    severity = Severity.FAILS
    if loss_db <= CABLE_CARE_DB + ROUNDING:
        severity = Severity.CARE if loss_db > CABLE_FINE_DB + ROUNDING else Severity.FINE
    limit_db = CABLE_FINE_DB if severity is Severity.FINE else CABLE_CARE_DB
    share = 1 - 10 ** (-loss_db / 20)
    words = {
        "input": each.entry.label,
        "loss": format_level(loss_db, "dB"),
        "lost": f"{100 * share:.0f} %",
        "damping": _damping(each, loss_db),
        "section": _section(reading, each, loss_db),
    }
    return Finding(
        code=CABLE,
        severity=severity,
        where=each.entry.address,
        what=SENTENCES[CABLE][severity].format(**words),
        why=(
            Compared("level lost in the cable", loss_db, limit_db, "dB"),
            Compared("share of the power that stays in it", share, None, "1"),
        ),
        state=LimitState(limit_db - loss_db, "dB"),
        source="volts at the output against those at the loudspeaker, at 1 kHz",
        basis="IEC 60228 for the copper; common practice",
        ports=(each.entry.address, each.output.address),
        caution=None if severity is Severity.FINE else each.caution,
    )


def _damping(each: Driven, loss_db: float) -> str:
    """Damping factor: rated impedance over everything before it; of a plain line only."""
    own = each.output.plan.figure("impedance")
    if each.entry is not each.load or own is None:
        return ""
    ohm = each.load.plan.figures["impedance"].value
    before_ohm = own + ohm * (10 ** (loss_db / 20) - 1)
    factor = ohm / before_ohm if before_ohm > 0 else math.inf
    return f", with a damping factor of {factor:.2g}" if factor < _DAMPED else ""


def _section(reading: Reading, each: Driven, loss_db: float) -> str:
    """Copper that would lose 1 dB and half of one, in every cable from amplifier to socket."""
    ohm, length_m = _copper(leads_between(reading.rig, each.output.address, each.entry.address))
    if not length_m or loss_db <= CABLE_FINE_DB:
        return ""
    fine, plenty = (
        f"{_ratio(loss_db, wanted_db) * _OHM_MM2_PER_M * length_m / ohm:.2g} mm2"
        for wanted_db in (CABLE_FINE_DB, _WANTED_DB)
    )
    return f" 1 dB would take about {fine}, half a dB about {plenty}."


def _ratio(loss_db: float, wanted_db: float) -> float:
    """By how much the copper has to be thicker: what it loses grows with its resistance."""
    return float((10 ** (loss_db / 20) - 1) / (10 ** (wanted_db / 20) - 1))


def _copper(leads: Iterable[RigLink]) -> tuple[float, float]:
    """Resistance of one core and length of all cables of some leads. [ohm, m]"""
    cables = [
        (each.cable.core_ohm_per_m.value, each.length_m)
        for lead in leads
        for each in lead.segments
        if each.cable.core_ohm_per_m is not None
    ]
    return sum(ohm * length_m for ohm, length_m in cables), sum(each for _, each in cables)


# --- constant voltage ---


def _line(each: Driven) -> Finding:
    limit = each.entry.plan.figures["line-voltage"]
    volts = each.ceiling_v * abs(complex(each.at_output[ONE_KHZ_BAND]))
    over_db = 20 * math.log10(volts / limit.value)
    severity = Severity.FINE
    if over_db > LINE_FINE_DB:
        severity = Severity.HARM
    elif over_db < -LINE_FINE_DB:
        severity = Severity.FAILS if over_db < -LINE_FAILS_DB else Severity.CARE
    words = {
        "output": each.output.label,
        "input": each.entry.label,
        "volts": format_si(volts, "V"),
        "limit": format_si(limit.value, "V"),
        "over": format_level(over_db, "dB"),
        "under": format_level(-over_db, "dB"),
    }
    limit_db = LINE_FAILS_DB if severity is Severity.FAILS else LINE_FINE_DB
    return Finding(
        code=LINE,
        severity=severity,
        where=each.entry.address,
        what=SENTENCES[LINE][severity].format(**words),
        why=(Compared("level against the tap's watts", over_db, limit_db, "dB"),),
        state=LimitState(limit_db - abs(over_db), "dB", lambda: _doubts(each, over_db)),
        source="volts that the output brings to the line, against those of the line",
        basis="constant-voltage practice (U squared over P)",
        ports=(each.entry.address, each.output.address),
        caution=None if severity is Severity.FINE else each.caution,
    )


def _doubts(each: Driven, over_db: float) -> Iterator[Doubt]:
    if each.ceiling is not None:
        slope = -math.copysign(1.0, over_db)
        yield Doubt(f"ceiling of {place_words(each.output.label)}", "fact", each.ceiling, slope)


EXPLAINED: Final = (
    Explained(
        CABLE,
        "Volts at the amplifier's output against those at the loudspeaker's socket, at 1 kHz, "
        "where it shows its rated impedance.",
        (
            Threshold("loss from which it is care", CABLE_FINE_DB, "dB", PRACTICE),
            Threshold("loss from which it fails", CABLE_CARE_DB, "dB", PRACTICE),
        ),
        "IEC 60228 for the copper",
    ),
    Explained(
        LINE,
        "Largest volts that an output brings to a constant-voltage line, against those at which "
        "the taps on it take their watts.",
        (
            Threshold("over or under it that is fine", LINE_FINE_DB, "dB", PRACTICE),
            Threshold("under it from which it fails", LINE_FAILS_DB, "dB", "ISO 532 (10 phon)"),
        ),
        "constant-voltage practice: watts are U squared over impedance",
    ),
)
