"""Hum: is it heard over the room and the noise, and how far does the programme stand above it?

Earth potentials, leakages and rejection are known only as ranges, so the answer is one as well. A
mains earth is never part of a cure.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

from levelhead.chain.hum import ChainHum
from levelhead.chain.levels import decibels
from levelhead.circuit.hum_sum import HumDoubt, HumSum
from levelhead.circuit.mains import Cause
from levelhead.gear.figures import Figure
from levelhead.quantity.levels import P_REFERENCE_PA
from levelhead.rig.model import RigPort
from levelhead.verdicts.finding import Compared, Finding, Severity
from levelhead.verdicts.hum.lifts import lifted
from levelhead.verdicts.hum.words import (
    CAUTION,
    HEARD,
    IN_SIGNAL,
    SENTENCES,
    SUM,
    WITH_SWITCH,
    cause_words,
    range_words,
    spl_words,
)
from levelhead.verdicts.limit_state import ROUNDING, Doubt, LimitState
from levelhead.verdicts.reading import Reading
from levelhead.verdicts.words import control_words, place_words

__all__ = ["AMPLE_DB", "CLEAN_DB", "COVERED_DB", "LISTENER", "Listener", "check_hum", "is_hum"]

AMPLE_DB: Final = 10.0  # typical hum so far below what is heard: nobody acts, common practice
CLEAN_DB: Final = 60.0  # signal over A-weighted hum that nobody complains of, common practice
COVERED_DB: Final = 40.0  # less than this and it is heard between the words, common practice
_SILENT_PA: Final = 1e-12


@dataclass(frozen=True, slots=True)
class Listener:
    """The nearest listener in a quiet moment: A-weighted background, and the way to the box."""

    background_a: Figure
    distance: Figure

    @property
    def at_1_m_db(self) -> float:
        """The background, as if the listener stood at 1 m of the loudspeaker. [dB SPL]"""
        return self.background_a.value + 20 * math.log10(self.distance.value)


LISTENER: Final = Listener(
    Figure(35.0, 27.0, 43.0, "dB SPL", "common practice"),  # a hall with its audience in it
    Figure(4.0, 2.0, 8.0, "m", "common practice"),
)


def check_hum(reading: Reading, listener: Listener = LISTENER) -> Iterator[Finding]:
    """Every input that earths, screens and supplies make hum: is it heard, and how far under?

    An input that no loudspeaker gives is judged by how far its signal stands above the hum.
    """
    hum = reading.hum
    audible: set[str] = set()
    for address, port in _inputs_in_use(reading, hum):
        loudspeaker = hum.loudest(address)
        if loudspeaker is None:
            found = _in_signal(hum, address, port)
        else:
            found = _heard(hum, listener, address, port, loudspeaker)
            if found.severity is Severity.FAILS:
                found = _unless_lifted(reading, listener, found, port, loudspeaker)
            if found.severity is not Severity.FINE:
                audible.add(loudspeaker)
        if found is not None and _is_worth_telling(hum, address, found):
            yield found
    for loudspeaker in hum.loudspeakers:
        if loudspeaker not in audible:
            yield from _of_all(hum, listener, loudspeaker)


def is_hum(finding: Finding) -> bool:
    """Whether a finding is one of these."""
    return finding.code in {HEARD, IN_SIGNAL, SUM}


def _inputs_in_use(reading: Reading, hum: ChainHum) -> Iterator[tuple[str, RigPort]]:
    """Plugged inputs that something listens to."""
    solution, ports = reading.solution, reading.rig.ports
    goes_on = set(solution.graph.columns.source.tolist())
    for address in hum.inputs:
        port = ports.get(address) or ports[address.rpartition(".")[0]]
        if solution.number(address) in goes_on and port.item.id not in solution.dead:
            yield address, port


def _is_worth_telling(hum: ChainHum, address: str, finding: Finding) -> bool:
    """Fields that do nothing are not worth a line on every microphone."""
    cause, _ = hum.inputs[address].power.strongest()
    return finding.severity is not Severity.FINE or cause is not Cause.FIELD


# --- at a loudspeaker ---


@dataclass(frozen=True, slots=True)
class _Sound:
    """Hum at 1 m of a loudspeaker, A-weighted, against what is heard there. [dB SPL]"""

    typical_db: float
    low_db: float
    high_db: float
    limit_db: float
    over_db: float | None  # programme less hum; none when nothing plays
    state: LimitState

    @property
    def severity(self) -> Severity:
        """Heard and near the programme fails; what is heard in the pauses only is care.

        Nobody acts on what is typically under the room and far under the programme.
        """
        severity = self.state.severity(ample=AMPLE_DB)
        if severity is Severity.FAILS:
            return Severity.CARE if self._is_under_programme(COVERED_DB) else Severity.FAILS
        is_clean = self.over_db is not None and self._is_under_programme(CLEAN_DB)
        return Severity.FINE if is_clean else severity

    def _is_under_programme(self, by_db: float) -> bool:
        """Whether the programme stands so far above; without one nothing is disturbed."""
        return self.over_db is None or self.over_db >= by_db - ROUNDING

    @property
    def words(self) -> dict[str, str]:
        """Levels for a sentence."""
        under = "" if self.over_db is None else f"{self.over_db:.0f} dB under the programme"
        return {
            "hum": spl_words(self.typical_db),
            "most": spl_words(self.high_db),
            "range": range_words(self.low_db, self.high_db),
            "limit": spl_words(self.limit_db),
            "over": under or "and nothing plays",
        }

    @property
    def compared(self) -> tuple[Compared, ...]:
        """The numbers that led here."""
        return (
            Compared("hum at 1 m of the loudspeaker", self.typical_db, self.limit_db, "dB(A)"),
            Compared("hum there at worst", self.high_db, self.limit_db, "dB(A)"),
            Compared("programme over hum, A-weighted", self.over_db, COVERED_DB, "dB"),
        )


def _sound(hum: ChainHum, listener: Listener, loudspeaker: str, power: HumSum) -> _Sound:
    room_db, limit_db = listener.at_1_m_db, _limit_db(hum, listener, loudspeaker)
    level = power.rms_a()
    typical_db, low_db, high_db = (
        20 * math.log10(max(end, _SILENT_PA) / P_REFERENCE_PA)
        for end in (level.value, level.low, level.high)
    )
    of_room = 10 ** ((room_db - limit_db) / 10)

    def doubts() -> Iterator[Doubt]:
        yield from _doubts(power)
        yield Doubt("background of the room", "fact", listener.background_a, of_room)
        yield Doubt("distance of the nearest listener", "fact", listener.distance, of_room)

    programme_db = decibels(hum.programme_a(loudspeaker), "Pa")
    over_db = None if programme_db is None else programme_db - typical_db
    state = LimitState(limit_db - typical_db, "dB", doubts)
    return _Sound(typical_db, low_db, high_db, limit_db, over_db, state)


def _limit_db(hum: ChainHum, listener: Listener, loudspeaker: str) -> float:
    """Room and noise floor at 1 m of a loudspeaker: what hum must pass to be heard. [dB SPL]"""
    floor_db = decibels(float(hum.solution.floor_a[hum.solution.number(loudspeaker)]), "Pa")
    if floor_db is None:
        return listener.at_1_m_db
    return 10 * math.log10(10 ** (listener.at_1_m_db / 10) + 10 ** (floor_db / 10))


def _heard(
    hum: ChainHum, listener: Listener, address: str, port: RigPort, loudspeaker: str
) -> Finding:
    """One input at the loudspeaker where it is loudest."""
    power = hum.brought_to(loudspeaker, address)
    sound = _sound(hum, listener, loudspeaker, power)
    words = sound.words | {
        "input": port.label,
        "cause": cause_words(hum, address, power),
        "loudspeaker": _item_label(hum, loudspeaker),
    }
    return Finding(
        code=HEARD,
        severity=sound.severity,
        where=address,
        what=SENTENCES[HEARD][sound.severity].format(**words),
        why=(*sound.compared, _at_input(hum, address)),
        state=sound.state,
        assumed=_assumed(hum, sound.severity),
        source="ground network, carried to the loudspeaker, against the room, the noise floor "
        "and the programme",
        basis="common practice",
        ports=_ends(hum, port),
        caution=_caution(sound.severity),
    )


def _unless_lifted(
    reading: Reading, listener: Listener, found: Finding, port: RigPort, loudspeaker: str
) -> Finding:
    """What is no failure with a switch of a box moved is care, on that condition."""
    for control, option, hum in lifted(reading, port.address):
        if found.where not in hum.inputs or loudspeaker not in hum.loudspeakers:
            continue
        power = hum.brought_to(loudspeaker, found.where)
        if _sound(hum, listener, loudspeaker, power).severity is Severity.FINE:
            works = WITH_SWITCH.format(control=control_words(reading.rig, control), position=option)
            return replace(found, severity=Severity.CARE, what=f"{found.what} {works}")
    return found


def _of_all(hum: ChainHum, listener: Listener, loudspeaker: str) -> Iterator[Finding]:
    """All inputs together, where none of them is heard by itself."""
    most_db = decibels(hum.most_a(loudspeaker), "Pa")
    if most_db is None or most_db < _limit_db(hum, listener, loudspeaker) - AMPLE_DB:
        return
    power = hum.at_loudspeaker(loudspeaker)
    if power is None:
        return
    sound = _sound(hum, listener, loudspeaker, power)
    if sound.severity is Severity.FINE:
        return
    words = sound.words | {"loudspeaker": _item_label(hum, loudspeaker)}
    yield Finding(
        code=SUM,
        severity=sound.severity,
        where=loudspeaker,
        what=SENTENCES[SUM][sound.severity].format(**words),
        why=sound.compared,
        state=sound.state,
        assumed=_assumed(hum, sound.severity),
        source="hum of all inputs at the loudspeaker, against the room, the noise floor and the "
        "programme",
        basis="common practice",
        caution=_caution(sound.severity),
    )


# --- at an input ---


def _in_signal(hum: ChainHum, address: str, port: RigPort) -> Finding | None:
    """Where no loudspeaker gives it: how far the signal stands above.

    Ranges of hum are so wide by nature that the typical value decides; the chance is told beside.
    """
    power, signal = hum.inputs[address].power, hum.programme_a(address)
    level = power.rms_a()
    if signal <= 0 or level.value <= 0:
        return None
    least_db, over_db, most_db = (
        20 * math.log10(signal / end) for end in (level.high, level.value, level.low)
    )
    state = LimitState(over_db - CLEAN_DB, "dB", lambda: _doubts(power))
    severity = state.severity(ample=0.0)
    if severity is Severity.FAILS and over_db >= COVERED_DB - ROUNDING:
        severity = Severity.CARE
    words = {
        "input": port.label,
        "cause": cause_words(hum, address, power),
        "over": f"{over_db:.0f} dB",
        "range": f"{least_db:.0f} to {most_db:.0f}, A-weighted",
    }
    over = Compared("signal over hum, A-weighted", over_db, CLEAN_DB, "dB")
    return Finding(
        code=IN_SIGNAL,
        severity=severity,
        where=address,
        what=SENTENCES[IN_SIGNAL][severity].format(**words),
        why=(over, _at_input(hum, address)),
        state=state,
        assumed=_assumed(hum, severity),
        source="ground network, against the signal at the input",
        basis="common practice",
        ports=_ends(hum, port),
        caution=_caution(severity),
    )


# --- parts of findings ---


def _doubts(power: HumSum) -> Iterator[Doubt]:
    """The figures that hum hangs on; more of each is more hum, but for rejection."""
    for doubt in power.doubts_a():
        figure = _as_figure(doubt) if doubt.figure is None else doubt.figure
        slope = doubt.share if figure.unit == "dB" else -doubt.share
        yield Doubt(doubt.what, "fact", figure, slope)


def _as_figure(doubt: HumDoubt) -> Figure:
    """Rejections of several inputs as one factor."""
    return Figure(1.0, math.sqrt(doubt.low), math.sqrt(doubt.high), "1", "typical")


def _at_input(hum: ChainHum, address: str) -> Compared:
    return Compared(
        "hum at the input", decibels(hum.inputs[address].power.rms().value, "V"), None, "dBu"
    )


def _item_label(hum: ChainHum, loudspeaker: str) -> str:
    return hum.ground.rig.items[hum.solution.point(loudspeaker).item].label


def _ends(hum: ChainHum, port: RigPort) -> tuple[str, ...]:
    """Both ends of the link that brings it."""
    if port.link is None:
        return (port.address,)
    ends = hum.ground.rig.show.links[port.link].ends.values()
    return tuple(dict.fromkeys((port.address, *ends)))


def _assumed(hum: ChainHum, severity: Severity) -> tuple[str, ...]:
    """Where people did not say on which outlet things hang."""
    if severity is Severity.FINE:
        return ()
    labels = (place_words(hum.ground.rig.items[item].label) for item in hum.ground.unstated)
    return tuple(
        f"mains of {label}: not stated, taken as a few millivolts from the others"
        for label in labels
    )


def _caution(severity: Severity) -> str | None:
    return None if severity is Severity.FINE else CAUTION
