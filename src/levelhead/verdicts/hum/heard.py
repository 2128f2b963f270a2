"""Hum: is it heard over the room and the noise, and how far does the programme stand above it?

Earth potentials, leakages and rejection are known only as ranges, so the answer is one as well. A
mains earth is never part of a cure.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from levelhead.chain.levels import decibels
from levelhead.chain.noise.hum import ChainHum
from levelhead.chain.solution import Solution
from levelhead.circuit.ground.mains import Cause
from levelhead.rig.model import RigPort
from levelhead.verdicts.hum.lifts import lifted
from levelhead.verdicts.hum.listener import Listener, Listening, listening_in
from levelhead.verdicts.hum.sound import (
    AMPLE_DB,
    CLEAN_DB,
    COVERED_DB,
    hum_doubts,
    is_ample,
    limit_of,
    sound_of,
)
from levelhead.verdicts.hum.words import (
    BESIDE,
    CAUTION,
    HEARD,
    IN_SIGNAL,
    NEAR,
    SENTENCES,
    SUM,
    WITH_SWITCH,
    cause_words,
)
from levelhead.verdicts.read.own_leak import hears_only_itself
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.read.strips import is_leak
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import ROUNDING, LimitState
from levelhead.verdicts.told.words import control_words, place_words

__all__ = ["check_hum", "is_hum"]

_LEAK_DB: Final = 80.0  # under the other side of a socket: a shared sleeve, from memory


def check_hum(reading: Reading, listener: Listener | None = None) -> Iterator[Finding]:
    """Every input that earths, screens and supplies make hum: is it heard, and how far under?

    An input that no loudspeaker gives is judged by how far its signal stands above the hum. The
    listener is the one of the show, unless one is given.
    """
    hum = reading.hum
    at = listening_in(reading) if listener is None else _everywhere(listener)
    audible: set[str] = set()
    for address, port in _inputs_in_use(reading, hum):
        loudspeaker = hum.loudest(address)
        if loudspeaker is None:
            is_leaked = is_leak(reading.solution.levels(address))
            is_leaked = is_leaked or hears_only_itself(reading.solution, address)
            is_leaked = is_leaked or _is_beside(reading.solution, address, port)
            found = None if is_leaked else _in_signal(hum, address, port)
        elif _is_nothing(hum, at(loudspeaker), address, loudspeaker):
            continue
        else:
            found = _heard(hum, at(loudspeaker), address, port, loudspeaker)
            if found.severity is Severity.FAILS:
                found = _unless_lifted(reading, at(loudspeaker), found, port, loudspeaker)
            if found.severity is not Severity.FINE:
                audible.add(loudspeaker)
        if found is not None and _is_worth_telling(hum, address, found):
            yield found
    for loudspeaker in hum.loudspeakers:
        if loudspeaker not in audible:
            yield from _of_all(hum, at(loudspeaker), loudspeaker)


def _everywhere(listener: Listener) -> Listening:
    return lambda _: listener


def is_hum(finding: Finding) -> bool:
    """Whether a finding is one of these."""
    return finding.code in {HEARD, IN_SIGNAL, SUM, BESIDE, NEAR}


def _inputs_in_use(reading: Reading, hum: ChainHum) -> Iterator[tuple[str, RigPort]]:
    """Plugged inputs that something listens to."""
    solution, ports = reading.solution, reading.rig.ports
    goes_on = set(solution.graph.columns.source.tolist())
    for address in hum.inputs:
        port = ports.get(address) or ports[address.rpartition(".")[0]]
        if solution.number(address) in goes_on and port.item.id not in solution.dead:
            yield address, port


def _is_beside(solution: Solution, address: str, port: RigPort) -> bool:
    """Whether a side of a socket gets only what leaks from the other one: no signal to judge."""
    sides = (f"{port.address}.{signal}" for signal in port.plan.signals)
    levels = [solution.levels(each).nominal for each in sides if each in solution.graph.index]
    own = solution.levels(address).nominal
    loudest = max((each for each in levels if each is not None), default=None)
    return own is not None and loudest is not None and own < loudest - _LEAK_DB


def _is_worth_telling(hum: ChainHum, address: str, finding: Finding) -> bool:
    """Fields that do nothing are not worth a line on every microphone."""
    cause, _ = hum.inputs[address].power.strongest()
    return finding.severity is not Severity.FINE or cause is not Cause.FIELD


def _is_nothing(hum: ChainHum, listener: Listener, address: str, loudspeaker: str) -> bool:
    """Fields that are typically so far below what is heard that nobody acts: not worth a line."""
    cause, _ = hum.inputs[address].power.strongest()
    typical_pa = hum.typical_a(loudspeaker, address)
    return cause is Cause.FIELD and is_ample(hum, listener, loudspeaker, typical_pa)


# --- at a loudspeaker ---


def _heard(
    hum: ChainHum, listener: Listener, address: str, port: RigPort, loudspeaker: str
) -> Finding:
    """One input at the loudspeaker where it is loudest."""
    power = hum.brought_to(loudspeaker, address)
    sound = sound_of(hum, listener, loudspeaker, power)
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
        if sound_of(hum, listener, loudspeaker, power).severity is Severity.FINE:
            works = WITH_SWITCH.format(control=control_words(reading.rig, control), position=option)
            return replace(found, severity=Severity.CARE, what=f"{found.what} {works}")
    return found


def _of_all(hum: ChainHum, listener: Listener, loudspeaker: str) -> Iterator[Finding]:
    """All inputs together, where none of them is heard by itself."""
    most_db = decibels(hum.most_a(loudspeaker), "Pa")
    if most_db is None or most_db < limit_of(hum, listener, loudspeaker) - AMPLE_DB:
        return
    power = hum.at_loudspeaker(loudspeaker)
    if power is None:
        return
    sound = sound_of(hum, listener, loudspeaker, power)
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
    state = LimitState(over_db - CLEAN_DB, "dB", lambda: hum_doubts(power))
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
