"""Wiring: what a lead does between the output it comes from and the input it goes to.

Only links from socket to socket are judged here: boxes, pads and leads with resistors are made to
lose level. Everything is read off the solved island.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np

from levelhead.circuit.islands import Island
from levelhead.circuit.loading import SHORTED as HELD
from levelhead.circuit.loading import Output, address_of, columns_of, shorted_legs
from levelhead.circuit.solve import Solved
from levelhead.quantity.formatting import format_level, format_si
from levelhead.rig.model import RigLink
from levelhead.verdicts.explain import PRACTICE, Explained, Threshold
from levelhead.verdicts.finding import Compared, Finding, Severity
from levelhead.verdicts.limit_state import ROUNDING, Doubt, LimitState
from levelhead.verdicts.loading.joined import joined_currents
from levelhead.verdicts.places import At, IslandAt, by_place, islands
from levelhead.verdicts.reading import Reading
from levelhead.verdicts.words import other_ends, output_words, place_words

__all__ = [
    "EXPLAINED",
    "LOST",
    "LOST_CARE_DB",
    "LOST_FAILS_DB",
    "NO_INPUT",
    "NO_OUTPUT",
    "SENTENCES",
    "SHORTED",
    "check_ends_meet",
    "check_leads_bring_the_signal",
    "check_shorted_outputs",
    "lost_on_the_way_db",
    "shorted_current_a",
]

LOST, SHORTED = "wiring.level-lost", "wiring.shorted"
NO_OUTPUT, NO_INPUT = "wiring.inputs-only", "wiring.outputs-only"
LOST_CARE_DB: Final = 7.0  # an open leg of a driven pair costs 6 dB and nobody minds: Rayburn
LOST_FAILS_DB: Final = 20.0  # more than a fader and a master make up, common practice
_ONE_KHZ_BAND: Final = 17
_LEAST: Final = 1e-9  # 180 dB down: nothing

SENTENCES: Final = {
    LOST: {
        Severity.FAILS: "{input} gets {loss} less than {output} gives: the lead has no complete "
        "way for the signal.",
        Severity.CARE: "{input} gets {loss} less than {output} gives, for want of a way back in "
        "the lead, and what hums comes with it. It works while {loss} can be made up.",
        Severity.FINE: "{input} gets what {output} gives, less {loss}.",
    },
    "leg": {
        Severity.CARE: "The lead shorts one leg of {output}: at full level {current} flow there, "
        "and {limit} are at hand. It works at modest levels.",
        Severity.FINE: "The lead shorts one leg of {output}: {current} flow there at full level, "
        "which it stands.",
    },
    "side": {
        Severity.CARE: "The plug shorts {output} to ground: that side is lost, and at full level "
        "{current} flow where {limit} are at hand.",
    },
    "all": {Severity.FAILS: "The lead shorts {output} to ground: nothing comes out."},
    NO_OUTPUT: {Severity.FAILS: "{one} is joined to {other}: two inputs, and nothing drives them."},
    NO_INPUT: {
        Severity.FAILS: "{one} is joined to {other}: two outputs drive one another, and nothing "
        "listens."
    },
}


# --- level lost in the lead ---


def _plain_leads(reading: Reading, where: str | None) -> Iterator[At[RigLink]]:
    """Leads without parts in them, with the circuits that outputs drive through them."""
    driven = reading.solution.copper.driven_from
    for link in reading.rig.links:
        is_asked = where is None or where in link.ports
        if is_asked and not any(segment.cable.parts for segment in link.segments):
            circuits = (each for port in link.ports for each in driven.get(port, ()))
            reads = (reading.stamps.gear, *(island for island, *_ in circuits))
            yield At(link.ports, link, reads)


@by_place(_plain_leads)
def check_leads_bring_the_signal(reading: Reading, link: RigLink) -> Iterator[Finding]:
    """Inputs at the far end of a plain lead: do they get what stands at the output?"""
    for port in link.ports:
        if _is_input(reading, port):
            yield from _brought(reading, link, port)


_GIVING: Final = frozenset({"out", "loudspeaker"})


def _is_input(reading: Reading, port: str) -> bool:
    plan = reading.rig.ports[port].plan
    return plan.role == "in" and plan.circuit is not None


def _is_output(reading: Reading, port: str) -> bool:
    plan = reading.rig.ports[port].plan
    return plan.role != "in" and plan.circuit is not None


def _senses(reading: Reading, port: str) -> list[str]:
    signals = reading.rig.ports[port].plan.signals
    return [f"{port}.{signal}" for signal in signals] or [port]


def _brought(reading: Reading, link: RigLink, port: str) -> Iterator[Finding]:
    """What the best output of the link brings to the best side of an input, against its own."""
    found: list[tuple[float, Output]] = []
    for giving in dict.fromkeys(link.ports):
        for island, solved, output in reading.solution.copper.driven_from.get(giving, ()):
            found += [
                (lost_on_the_way_db(island, solved, output, sense), output)
                for sense in _senses(reading, port)
                if sense in island.senses
            ]
    if found:
        loss_db, output = min(found)
        yield _judge_lost(reading, loss_db, output, port)


def lost_on_the_way_db(island: Island, solved: Solved, output: Output, sense: str) -> float:
    """Level lost from an output's terminals to a sense, at 1 kHz. [dB]"""
    rows = [island.sense_addresses.index(each) for each in (address_of(output), sense)]
    here, there = (
        abs(
            sum(
                island.drives[column].weight * solved.transfer[row, column, _ONE_KHZ_BAND]
                for column in columns_of(island, output)
            )
        )
        for row in rows
    )
    return float(20 * math.log10(max(here, _LEAST) / max(there, _LEAST)))


def _judge_lost(reading: Reading, loss_db: float, output: Output, port: str) -> Finding:
    severity = Severity.FINE
    if loss_db > LOST_CARE_DB + ROUNDING:
        severity = Severity.FAILS if loss_db > LOST_FAILS_DB + ROUNDING else Severity.CARE
    limit_db = LOST_FAILS_DB if severity is Severity.FAILS else LOST_CARE_DB
    words = {
        "input": reading.rig.ports[port].label,
        "output": output_words(reading.rig, output),
        "loss": format_level(max(loss_db, 0.0), "dB"),
    }
    return Finding(
        code=LOST,
        severity=severity,
        where=port,
        what=SENTENCES[LOST][severity].format(**words),
        why=(Compared("lost between the two sockets", loss_db, limit_db, "dB"),),
        state=LimitState(limit_db - loss_db, "dB"),
        source="voltage at the input, against that between the output's own pins, at 1 kHz",
        basis="Rayburn, Balanced to unbalanced; Self, Small Signal Audio Design",
        ports=(port, output[0]),
    )


# --- outputs held by a wire ---


@by_place(islands)
def check_shorted_outputs(reading: Reading, at: IslandAt) -> Iterator[Finding]:
    """Outputs of which the wiring holds a leg, or all: does it stand the current?"""
    for output in dict.fromkeys((each.port, each.signal) for each in at.island.drives):
        held = shorted_legs(at.island, at.solved, output)
        if held and reading.rig.ports[output[0]].plan.role != "loudspeaker":
            emf_v = reading.own_ceilings_v.get(output, 0.0)
            current_a = shorted_current_a(at.island, at.solved, output, held) * emf_v
            is_all = len(held) == len(columns_of(at.island, output))
            yield _judge_short(reading, output, current_a, is_all=is_all)


def shorted_current_a(island: Island, solved: Solved, output: Output, legs: list[int]) -> float:
    """Largest current of the legs that are held, in any band, for 1 V of the own signal. [A]"""
    drives = [(each, island.drives[each].weight) for each in columns_of(island, output)]
    return max(
        float(
            np.abs(
                sum(weight * solved.source_current[leg, column] for column, weight in drives)
            ).max()
        )
        for leg in legs
    )


@dataclass(frozen=True, slots=True)
class _Short:
    """How an output is held, and what that means."""

    kind: str
    severity: Severity


def _kind_of_short(reading: Reading, output: Output, *, is_over: bool, is_all: bool) -> _Short:
    if not is_all:
        return _Short("leg", Severity.CARE if is_over else Severity.FINE)
    if len(reading.rig.ports[output[0]].plan.signals) > 1:
        return _Short("side", Severity.CARE)
    return _Short("all", Severity.FAILS)


def _judge_short(reading: Reading, output: Output, current_a: float, *, is_all: bool) -> Finding:
    port = output[0]
    figure = reading.rig.ports[port].plan.figures.get("current")
    limit_a = math.inf if figure is None else figure.value / math.sqrt(2)
    short = _kind_of_short(reading, output, is_over=current_a > limit_a, is_all=is_all)
    label = output_words(reading.rig, output)
    words = {
        "output": label,
        "current": format_si(current_a, "A"),
        "limit": "an unknown current" if figure is None else format_si(limit_a, "A"),
    }
    state = None
    if figure is not None and current_a > 0:
        doubt = Doubt(f"current that {place_words(label)} can give", "fact", figure, +1.0)
        state = LimitState(20 * math.log10(limit_a / current_a), "dB", lambda: [doubt])
    limit = None if figure is None else limit_a
    return Finding(
        code=SHORTED,
        severity=short.severity,
        where=address_of(output),
        what=SENTENCES[short.kind][short.severity].format(**words),
        why=(Compared("current into the short at full level", current_a, limit, "A"),),
        state=state,
        source="current of the output's leg at its ceiling, against what it can give",
        basis="Rayburn, Balanced to unbalanced; common practice",
        ports=(port, *other_ends(reading.rig, port)),
    )


# --- ends of one kind ---


def check_ends_meet(reading: Reading) -> Iterator[Finding]:
    """Leads that join inputs only, or outputs only."""
    for link in reading.rig.links:
        audio = [each for each in link.ports if reading.rig.ports[each].plan.circuit is not None]
        if len(audio) == len(link.ports):
            if all(_is_input(reading, each) for each in audio):
                yield from _undriven(reading, link)
            elif all(_is_output(reading, each) for each in audio):
                yield _unheard(reading, link)
        elif any(_is_output(reading, each) for each in audio) and _gives_only(reading, link):
            yield _unheard(reading, link)


def _gives_only(reading: Reading, link: RigLink) -> bool:
    """Outputs all, of boxes without power too, on a network where no input listens."""
    ports = reading.rig.ports
    if not all(ports[each].plan.role in _GIVING for each in link.ports):
        return False
    for island in reading.solution.islands:
        names = {name if name in ports else name.rpartition(".")[0] for name in island.pins}
        if not names.isdisjoint(link.ports):
            return not any(_is_input(reading, name) for name in names if name in ports)
    return False


def _undriven(reading: Reading, link: RigLink) -> Iterator[Finding]:
    """Two inputs on a lead to which nothing else on the island brings a signal."""
    senses = {sense for port in link.ports for sense in _senses(reading, port)}
    for island in reading.solution.islands:
        if senses & set(island.senses) and not island.drives:
            yield _one_kind(reading, link, NO_OUTPUT, None)
            return


def _unheard(reading: Reading, link: RigLink) -> Finding:
    first = link.ports[0]
    joined = next((each for each in joined_currents(reading) if each.output[0] == first), None)
    current = None
    if joined is not None:
        current = Compared(
            "current when the signals differ fully", joined.total_a, joined.limit_a, "A"
        )
    return _one_kind(reading, link, NO_INPUT, current)


def _one_kind(reading: Reading, link: RigLink, code: str, current: Compared | None) -> Finding:
    one, other = link.ports[:2]
    missing = "outputs on this lead" if code == NO_OUTPUT else "inputs on this lead"
    return Finding(
        code=code,
        severity=Severity.FAILS,
        where=one,
        what=SENTENCES[code][Severity.FAILS].format(
            one=reading.rig.ports[one].label, other=reading.rig.ports[other].label
        ),
        why=(current or Compared(missing, 0.0, 1.0, ""),),
        source="roles of the sockets at the ends of the lead",
        basis="common practice",
        ports=link.ports,
    )


EXPLAINED: Final = (
    Explained(
        LOST,
        "Voltage at an input at 1 kHz, against the voltage between the pins of the output at the "
        "other end of a plain lead.",
        (
            Threshold("loss from which it is care", LOST_CARE_DB, "dB", "Rayburn"),
            Threshold("loss from which it fails", LOST_FAILS_DB, "dB", PRACTICE),
        ),
        "Rayburn, Balanced to unbalanced; Self, Small Signal Audio Design",
    ),
    Explained(
        SHORTED,
        "Legs of an output of whose voltage the wiring leaves nothing, with their current at full "
        "level, against the current that the output can give.",
        (
            Threshold("share of the voltage left: shorted", 100 * HELD, "%", "a load leaves more"),
            Threshold("current over the limit that is care", 0.0, "dB", "current of the output"),
        ),
        "Rayburn, Balanced to unbalanced",
    ),
    Explained(NO_OUTPUT, "Outputs among the ends of a lead that joins inputs: is there one?"),
    Explained(NO_INPUT, "Inputs among the ends of a lead that joins outputs: is there one?"),
)
