"""Level lost in a lead: what stands at an input against what the output at its other end gives.

Only links from socket to socket are judged here: boxes, pads and leads with resistors are made to
lose level, but none loses as much as a way that is not there. All is read off the solved island.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from levelhead.circuit.drawn.islands import Island
from levelhead.circuit.loads.loading import Output, address_of, columns_of
from levelhead.circuit.solving.solved import Solved
from levelhead.quantity.bands import ONE_KHZ_BAND
from levelhead.quantity.formatting import format_level
from levelhead.rig.model import RigLink
from levelhead.show.lengths import length_text
from levelhead.verdicts.explain import PRACTICE, Explained, Threshold
from levelhead.verdicts.read.places import At, by_place
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import ROUNDING, LimitState
from levelhead.verdicts.told.words import output_words

__all__ = [
    "EXPLAINED",
    "LOST",
    "LOST_CARE_DB",
    "LOST_FAILS_DB",
    "LOST_MADE_DB",
    "LOST_WHOLLY_DB",
    "NOTHING_LEFT_DB",
    "SENTENCES",
    "check_leads_bring_the_signal",
    "is_input",
    "lost_on_the_way_db",
    "senses_of",
]

LOST: Final = "wiring.level-lost"
LOST_CARE_DB: Final = 7.0  # an open leg of a driven pair costs 6 dB and nobody minds: Rayburn
LOST_FAILS_DB: Final = 20.0  # more than a fader and a master make up, common practice
LOST_MADE_DB: Final = 60.0  # leads with resistors are made to lose 40 dB, common practice
_HANDS_ON: Final = frozenset({"out", "through"})  # what boxes and splitters give
_LONG_M: Final = 500.0  # from here on a lead in order takes some of it: 75 ohm and 0.05 uF
_LEAST: Final = 1e-9  # 180 dB down: nothing
NOTHING_LEFT_DB: Final = 120.0  # +4 dBu are under the noise of every input then
LOST_WHOLLY_DB: Final = -20 * math.log10(_LEAST)  # no contact of the lead joins the two

SENTENCES: Final = {
    LOST: {
        Severity.FAILS: "{input} gets {loss} less than {output} gives: the lead has no complete "
        "way for the signal.",
        Severity.CARE: "{input} gets {loss} less than {output} gives, for want of a way back in "
        "the lead, and what hums comes with it. It works while {loss} can be made up.",
        Severity.FINE: "{input} gets what {output} gives, less {loss}.",
        "cut": "{input} gets nothing of what {output} gives: the lead has no way for the signal.",
        "long": "{input} gets {loss} less than {output} gives at the other end of {length}: copper "
        "and capacitance of so much lead take that. It works with a driver for long lines, or a "
        "digital line, between.",
    },
}


def _leads(reading: Reading, where: str | None) -> Iterator[At[RigLink]]:
    """Leads, with the circuits that outputs drive through them, and those of boxes between."""
    copper = reading.solution.copper
    for link in reading.rig.links:
        if where is None or where in link.ports:
            driven = (each for port in link.ports for each in copper.driven_from.get(port, ()))
            sensed = (each for port in link.ports for each in copper.sensed_at.get(port, ()))
            islands = (*(island for island, *_ in driven), *(island for island, _ in sensed))
            yield At(link.ports, link, (reading.stamps.gear, *dict.fromkeys(islands)))


@by_place(_leads, is_local=True)
def check_leads_bring_the_signal(reading: Reading, link: RigLink) -> Iterator[Finding]:
    """Inputs at the far end of a lead: do they get what stands at the output?"""
    for port in link.ports:
        if is_input(reading, port):
            yield from _brought(reading, link, port)


def is_input(reading: Reading, port: str) -> bool:
    """Whether a port is an input with a circuit behind it."""
    plan = reading.rig.ports[port].plan
    return plan.role == "in" and plan.circuit is not None


def senses_of(reading: Reading, port: str) -> list[str]:
    """Where its signals are sensed: the port, or each side of it."""
    signals = reading.rig.ports[port].plan.signals
    return [f"{port}.{signal}" for signal in signals] or [port]


def _brought(reading: Reading, link: RigLink, port: str) -> Iterator[Finding]:
    """What the best output of the link brings to the best side of an input, against its own."""
    found: list[tuple[float, Output]] = []
    for giving in dict.fromkeys(link.ports):
        for island, solved, output, own in _giving(reading, giving, port):
            there = output if own == address_of(output) else (own, None)  # that of a box
            found += [
                (_lost_between_db(island, solved, output, (own, sense)), there)
                if sense in island.senses
                else (LOST_WHOLLY_DB, there)
                for sense in senses_of(reading, port)
            ]
    if not found:
        return
    loss_db, output = min(found)
    is_made_to_lose = any(segment.cable.parts for segment in link.segments)
    if not is_made_to_lose or loss_db > LOST_MADE_DB:
        yield _judge_lost(reading, loss_db, output, (port, link))


def _giving(
    reading: Reading, giving: str, into: str
) -> Iterator[tuple[Island, Solved, Output, str]]:
    """Networks with an output that gives a socket its signal, and where that stands there.

    A box without a supply gives what somebody before it gives, but never the item that it feeds.
    """
    copper, rig = reading.solution.copper, reading.rig
    driven = copper.driven_from.get(giving, ())
    for island, solved, output in driven:
        yield island, solved, output, address_of(output)
    if driven or rig.ports[giving].plan.role not in _HANDS_ON:
        return
    for island, solved in copper.sensed_at.get(giving, ()):
        for output in dict.fromkeys((each.port, each.signal) for each in island.drives):
            if rig.ports[output[0]].item is not rig.ports[into].item:
                yield island, solved, output, giving


def lost_on_the_way_db(island: Island, solved: Solved, output: Output, sense: str) -> float:
    """Level lost from an output's terminals to a sense, at 1 kHz. [dB]"""
    return _lost_between_db(island, solved, output, (address_of(output), sense))


def _lost_between_db(
    island: Island, solved: Solved, output: Output, senses: tuple[str, str]
) -> float:
    """Level of an output lost from one sense to another, at 1 kHz. [dB]"""
    rows = [island.sense_addresses.index(each) for each in senses]
    here, there = (
        abs(
            sum(
                island.drives[column].weight * solved.transfer[row, column, ONE_KHZ_BAND]
                for column in columns_of(island, output)
            )
        )
        for row in rows
    )
    return float(20 * math.log10(max(here, _LEAST) / max(there, _LEAST)))


def _judge_lost(
    reading: Reading, loss_db: float, output: Output, at: tuple[str, RigLink]
) -> Finding:
    port, link = at
    severity = Severity.FINE
    if loss_db > LOST_CARE_DB + ROUNDING:
        severity = Severity.FAILS if loss_db > LOST_FAILS_DB + ROUNDING else Severity.CARE
    limit_db = LOST_FAILS_DB if severity is Severity.FAILS else LOST_CARE_DB
    long_m = sum(segment.length_m for segment in link.segments)
    words = {
        "input": reading.rig.ports[port].label,
        "output": output_words(reading.rig, output),
        "loss": format_level(max(loss_db, 0.0), "dB"),
        "length": length_text(long_m),
    }
    is_long = long_m >= _LONG_M and severity is not Severity.FINE
    return Finding(
        code=LOST,
        severity=severity,
        where=port,
        what=SENTENCES[LOST][_told_as(loss_db, severity, is_long=is_long)].format(**words),
        why=(Compared("lost between the two sockets", loss_db, limit_db, "dB"),),
        state=LimitState(limit_db - loss_db, "dB"),
        source="voltage at the input, against that between the output's own pins, at 1 kHz",
        basis="Rayburn, Balanced to unbalanced; Self, Small Signal Audio Design",
        ports=(port, output[0]),
    )


def _told_as(loss_db: float, severity: Severity, *, is_long: bool) -> Severity | str:
    if loss_db > NOTHING_LEFT_DB:
        return "cut"
    return "long" if is_long else severity


EXPLAINED: Final = (
    Explained(
        LOST,
        "Voltage at an input at 1 kHz, against the voltage between the pins of the output at the "
        "other end of a lead.",
        (
            Threshold("loss from which it is care", LOST_CARE_DB, "dB", "Rayburn"),
            Threshold("loss from which it fails", LOST_FAILS_DB, "dB", PRACTICE),
            Threshold("the same of a lead with resistors", LOST_MADE_DB, "dB", PRACTICE),
        ),
        "Rayburn, Balanced to unbalanced; Self, Small Signal Audio Design",
    ),
)
