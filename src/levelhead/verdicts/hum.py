"""Hum: is it heard over the room and the noise, and how far does the programme stand above it?

Earth potentials, leakages and rejection are known only as ranges, so the answer is one as well. A
mains earth is never part of a cure.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from levelhead.chain.hum import ChainHum, solve_hum
from levelhead.chain.levels import decibels
from levelhead.circuit.hum_sum import HumDoubt, HumSum
from levelhead.circuit.mains import Cause
from levelhead.gear.figures import Figure
from levelhead.quantity.levels import power_sum_db
from levelhead.rig.model import Rig, RigPort
from levelhead.verdicts.finding import Compared, Finding, Severity
from levelhead.verdicts.limit_state import ROUNDING, Doubt, LimitState
from levelhead.verdicts.reading import Reading
from levelhead.verdicts.words import place_words

__all__ = [
    "AMPLE_DB",
    "CAUTION",
    "CLEAN_DB",
    "COVERED_DB",
    "LISTENER",
    "SENTENCES",
    "Listener",
    "check_hum",
]

AMPLE_DB: Final = 10.0  # typical hum so far below what is heard: nobody acts, common practice
CLEAN_DB: Final = 60.0  # programme over A-weighted noise that nobody complains of, common practice
COVERED_DB: Final = 40.0  # less than this and noise is heard between the words, common practice

HEARD: Final = "hum.heard"
IN_SIGNAL: Final = "hum.in-signal"
SUM: Final = "hum.sum"

CAUTION: Final = (
    "Never lift, cut or tape over a mains earth to be rid of hum: it is deadly. With the earth "
    "gone, one fault puts the mains on metal that people hold. Every item keeps its protective "
    "earth; leave work on the mains to an electrician and keep to local rules."
)

SENTENCES: Final = {
    HEARD: {
        Severity.FAILS: "{input} hums: {cause} is heard from {loudspeaker} with {hum} at 1 m "
        "({range}), only {over} under the programme.",
        Severity.CARE: "{input} may hum: {cause} reaches {hum} at 1 m of {loudspeaker} ({range}); "
        "from {limit} on it is heard in the pauses, {over} under the programme.",
        Severity.FINE: "Hum at {input} is not heard: {hum} at 1 m of {loudspeaker} ({range}), where "
        "{limit} would be.",
    },
    IN_SIGNAL: {
        Severity.FAILS: "{input} hums: {cause} stands only {over} under the signal ({range}).",
        Severity.CARE: "{input} may hum: {cause} stands {over} under the signal ({range}).",
        Severity.FINE: "Hum at {input} stands {over} under the signal ({range}).",
    },
    SUM: {
        Severity.FAILS: "{loudspeaker} hums: many inputs together bring {hum} at 1 m ({range}), "
        "only {over} under the programme.",
        Severity.CARE: "{loudspeaker} may hum: many inputs together bring {hum} at 1 m ({range}); "
        "from {limit} on it is heard in the pauses, {over} under the programme.",
    },
}


@dataclass(frozen=True, slots=True)
class Listener:
    """The nearest listener in a quiet moment: background A-weighted, and the way to a loudspeaker."""

    background_a: Figure
    distance: Figure

    @property
    def at_1_m_db(self) -> float:
        """The background, moved to 1 m of the loudspeaker. [dB SPL]"""
        return self.background_a.value + 20 * math.log10(self.distance.value)


LISTENER: Final = Listener(
    Figure(35.0, 27.0, 43.0, "dB SPL", "common practice"),  # a hall with its audience in it
    Figure(4.0, 2.0, 8.0, "m", "common practice"),
)


def check_hum(reading: Reading, listener: Listener = LISTENER) -> Iterator[Finding]:
    """Every input that earths, screens and supplies make hum: is it heard, and how far under?"""
    judge = _Judge(reading, solve_hum(reading.solution), listener)
    found = list(judge.of_inputs())
    yield from found
    audible = {each.loudspeaker for each in judge.judged if each.severity is not Severity.FINE}
    yield from judge.of_sums(audible)


@dataclass(frozen=True, slots=True)
class _Judged:
    """Verdict on an input at the loudspeaker where it is loudest."""

    loudspeaker: str
    severity: Severity


class _Judge:
    def __init__(self, reading: Reading, hum: ChainHum, listener: Listener) -> None:
        self.rig: Rig = reading.rig
        self.solution = reading.solution
        self.hum = hum
        self.listener = listener
        self.judged: list[_Judged] = []
        self._goes_on = {edge.source for edge in self.solution.graph.edges}

    # --- inputs ---

    def of_inputs(self) -> Iterator[Finding]:
        """Inputs that are in use, one finding each."""
        for address in self.hum.inputs:
            port = self._port(address)
            is_used = self.solution.number(address) in self._goes_on
            if is_used and port.item.id not in self.solution.dead:
                loudspeaker = self.hum.loudest(address)
                if loudspeaker is None:
                    yield from self._in_signal(address, port)
                else:
                    yield from self._heard(address, port, loudspeaker)

    def _port(self, address: str) -> RigPort:
        return self.rig.ports.get(address) or self.rig.ports[address.rpartition(".")[0]]

    def _heard(self, address: str, port: RigPort, loudspeaker: str) -> Iterator[Finding]:
        brought = self.hum.brought_to(loudspeaker, address)
        state, levels = self._audibility(loudspeaker, brought)
        severity = _severity(state, levels.over_db)
        self.judged.append(_Judged(loudspeaker, severity))
        cause, who = brought.strongest()
        if severity is Severity.FINE and cause is Cause.FIELD:
            return
        words = self._words(levels, loudspeaker) | {
            "input": port.label,
            "cause": self._cause_words(address, port, cause, who),
        }
        at_input = decibels(self.hum.inputs[address].power.rms().value, "V")
        yield self._finding(
            HEARD,
            severity,
            address,
            words,
            state,
            (
                Compared("hum at 1 m of the loudspeaker", levels.hum_db, levels.limit_db, "dB(A)"),
                Compared("programme over hum, A-weighted", levels.over_db, COVERED_DB, "dB"),
                Compared("hum at the input", at_input, None, "dBu"),
            ),
            self._ports(address, port),
        )

    def _in_signal(self, address: str, port: RigPort) -> Iterator[Finding]:
        """Where no loudspeaker gives it: how far the signal stands above."""
        power = self.hum.inputs[address].power
        signal = self.hum.programme_a(address)
        level = power.rms_a()
        if signal <= 0 or level.value <= 0:
            return
        over_db = 20 * math.log10(signal / level.value)
        state = LimitState(over_db - CLEAN_DB, "dB", lambda: _doubts(power))
        severity = state.severity(ample=AMPLE_DB)
        if severity is Severity.FAILS and over_db >= COVERED_DB - ROUNDING:
            severity = Severity.CARE
        cause, who = power.strongest()
        if severity is Severity.FINE and cause is Cause.FIELD:
            return
        spread = [20 * math.log10(signal / end) for end in (level.high, level.low)]
        words = {
            "input": port.label,
            "cause": self._cause_words(address, port, cause, who),
            "over": f"{over_db:.0f} dB(A)",
            "range": f"{spread[0]:.0f} to {spread[1]:.0f} dB",
        }
        why = (
            Compared("signal over hum, A-weighted", over_db, CLEAN_DB, "dB"),
            Compared("hum at the input", decibels(power.rms().value, "V"), None, "dBu"),
        )
        ports = self._ports(address, port)
        yield self._finding(IN_SIGNAL, severity, address, words, state, why, ports)

    # --- loudspeakers ---

    def of_sums(self, audible: set[str]) -> Iterator[Finding]:
        """Loudspeakers at which no input is heard by itself, and all together are."""
        for loudspeaker in self.hum.loudspeakers:
            total = self.hum.at_loudspeaker(loudspeaker)
            if total is None or loudspeaker in audible:
                continue
            state, levels = self._audibility(loudspeaker, total)
            severity = _severity(state, levels.over_db)
            if severity is not Severity.FINE:
                why = (
                    Compared("hum at 1 m", levels.hum_db, levels.limit_db, "dB(A)"),
                    Compared("programme over hum, A-weighted", levels.over_db, COVERED_DB, "dB"),
                )
                words = self._words(levels, loudspeaker)
                yield self._finding(SUM, severity, loudspeaker, words, state, why, ())

    def _audibility(self, loudspeaker: str, hum: HumSum) -> tuple[LimitState, _Levels]:
        """What is heard at 1 m, less the hum there."""
        level = hum.rms_a()
        row = self.solution.number(loudspeaker)
        floor_db = decibels(float(self.solution.floor_a[row]), "Pa")
        background_db = self.listener.at_1_m_db
        limit_db = float(
            power_sum_db([background_db] if floor_db is None else [background_db, floor_db])
        )
        levels = _Levels.of(level, limit_db, self.hum.programme_a(loudspeaker))
        of_background = 10 ** ((background_db - limit_db) / 10)

        def doubts() -> Iterator[Doubt]:
            yield from _doubts(hum)
            background, distance = self.listener.background_a, self.listener.distance
            yield Doubt("background of the room", "fact", background, of_background)
            yield Doubt("distance of the nearest listener", "fact", distance, of_background)

        return LimitState(limit_db - levels.hum_db, "dB", doubts), levels

    # --- words ---

    def _words(self, levels: _Levels, loudspeaker: str) -> dict[str, str]:
        item = self.rig.items[self.solution.point(loudspeaker).item]
        over = "nothing plays," if levels.over_db is None else f"{levels.over_db:.0f} dB"
        return {
            "loudspeaker": item.label,
            "hum": f"{levels.hum_db:.0f} dB(A)",
            "range": f"{levels.low_db:.0f} to {levels.high_db:.0f}",
            "limit": f"{levels.limit_db:.0f} dB(A)",
            "over": over,
        }

    def _cause_words(self, address: str, port: RigPort, cause: Cause, who: str) -> str:
        """Where most of it comes from: a loop of two items, a supply, a field."""
        if cause is Cause.FIELD:
            return f"what {cause.value} brings in"
        if cause in {Cause.CLASS_1, Cause.CLASS_2, Cause.CHARGER}:
            return f"the {cause.value} ({place_words(self.rig.items[who].label)})"
        partner = self.hum.inputs[address].partner
        if partner is None:
            return f"the voltage between {cause.value}"
        both = f"{place_words(self.rig.items[partner].label)} and {place_words(port.item.label)}"
        return f"the voltage between {cause.value}, in the loop of {both},"

    def _ports(self, address: str, port: RigPort) -> tuple[str, ...]:
        """Both ends of the link that brings it."""
        links = [link for link in self.rig.links if port.address in link.ports]
        ends = [end for link in links for end in link.ports]
        return tuple(dict.fromkeys((port.address, *ends)))

    def _finding(
        self,
        code: str,
        severity: Severity,
        where: str,
        words: dict[str, str],
        state: LimitState,
        why: tuple[Compared, ...],
        ports: tuple[str, ...],
    ) -> Finding:
        return Finding(
            code=code,
            severity=severity,
            where=where,
            what=SENTENCES[code][severity].format(**words),
            why=why,
            state=state,
            assumed=self._assumed() if severity is not Severity.FINE else (),
            source="ground network of screens, earth conductors and leakages, against the room, "
            "the noise floor and the programme",
            basis="common practice",
            ports=ports,
            caution=CAUTION if severity is not Severity.FINE else None,
        )

    def _assumed(self) -> tuple[str, ...]:
        return tuple(
            f"outlet and circuit of {place_words(self.rig.items[item].label)}: not stated, taken as "
            "another outlet of one circuit"
            for item in self.hum.ground.unstated
        )


@dataclass(frozen=True, slots=True)
class _Levels:
    """A-weighted levels at 1 m of a loudspeaker. [dB SPL]"""

    hum_db: float
    low_db: float
    high_db: float
    limit_db: float
    over_db: float | None  # programme over hum; none when nothing plays

    @classmethod
    def of(cls, hum: Figure, limit_db: float, programme: float) -> _Levels:
        hum_db, low_db, high_db = (
            20 * math.log10(max(end, 1e-12) / 20e-6) for end in (hum.value, hum.low, hum.high)
        )
        level = decibels(programme, "Pa")
        return cls(hum_db, low_db, high_db, limit_db, None if level is None else level - hum_db)


def _severity(state: LimitState, over_db: float | None) -> Severity:
    """Heard and near the programme fails; heard in the pauses is what the programme covers."""
    severity = state.severity(ample=AMPLE_DB)
    is_covered = over_db is None or over_db >= COVERED_DB - ROUNDING
    return Severity.CARE if severity is Severity.FAILS and is_covered else severity


def _doubts(hum: HumSum) -> Iterator[Doubt]:
    """The figures that hum hangs on; more of each is more hum, but for rejection."""
    for doubt in hum.doubts_a():
        if doubt.figure is not None:
            slope = doubt.share if doubt.figure.unit == "dB" else -doubt.share
            yield Doubt(doubt.what, "fact", doubt.figure, slope)
        else:
            yield Doubt(doubt.what, "fact", _as_figure(doubt), -doubt.share)


def _as_figure(doubt: HumDoubt) -> Figure:
    """Rejection of several inputs as one factor."""
    return Figure(1.0, math.sqrt(doubt.low), math.sqrt(doubt.high), "1", "typical")
