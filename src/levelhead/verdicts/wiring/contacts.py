"""Contacts that plugs switch: the battery of an instrument, and sockets that carry both sides."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Final

from levelhead.chain.wired.lanes import lanes
from levelhead.circuit.direct.switches import CLOSED_OHM, between_ohm
from levelhead.circuit.drawn.islands import cut
from levelhead.circuit.placed.assembly import draw_piece
from levelhead.circuit.placed.pieces import Piece, pieces_of
from levelhead.gear.plan import BlockInstance, ContactPlan, PathPlan, PowerPlan, Target
from levelhead.quantity.formatting import format_level
from levelhead.rig.model import RigItem, RigPort
from levelhead.verdicts.explain import PRACTICE, Explained, Threshold
from levelhead.verdicts.read.places import kept_while, plugged
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import ROUNDING, LimitState
from levelhead.verdicts.told.words import other_ends

__all__ = [
    "BATTERY",
    "EXPLAINED",
    "MISSING_DB",
    "ONE_SIDE",
    "SENTENCES",
    "check_battery_switches",
    "check_one_side_alone",
]

BATTERY, ONE_SIDE = "wiring.battery", "wiring.one-side"
MISSING_DB: Final = 20.0  # what lies further below the whole is a trace, common practice
_OPEN_OHM: Final = 1e9  # insulation: nothing joins the two

SENTENCES: Final[Mapping[str, Mapping[Severity, str]]] = {
    BATTERY: {
        Severity.FAILS: "The plug in {socket} leaves the battery of {item} switched off: it does "
        "not join ring and sleeve, as a two-pole plug does. The preamplifier is silent.",
        Severity.FINE: "The plug in {socket} switches the battery of {item} on, and it drains "
        "until the plug is pulled.",
    },
    "unfed": {Severity.FAILS: "{item} has no battery: it is silent."},
    "giving": {
        Severity.CARE: "{socket} alone carries its own side only: what {item} plays on the other "
        "one, {missing} below the whole, is not heard. {better} alone carries both. It works for "
        "sounds in the middle.",
    },
    "taking": {
        Severity.CARE: "{socket} alone feeds one side only; {better} alone feeds both. It works "
        "where that side is enough.",
    },
}


# --- batteries that the plug switches ---


@kept_while(plugged)
def check_battery_switches(reading: Reading) -> Iterator[Finding]:
    """Instruments that run on a battery: is one in, and does the plug switch it on?"""
    for item in reading.rig.items.values():
        ways = item.plan.powered_by
        switched = [way for way in ways if way.switch is not None]
        if not ways and item.id in reading.solution.dead:
            yield from _without_battery(reading, item)
        for way in switched:
            port = reading.rig.ports[f"{item.id}.{way.switch[0][0]}"] if way.switch else None
            if port is not None and port.link is not None:
                yield _judge_battery(reading, item, way, port)


def _without_battery(reading: Reading, item: RigItem) -> Iterator[Finding]:
    """An item without any way to be fed, at its plugged output."""
    for port in reading.rig.ports.values():
        if port.item.id == item.id and port.plan.role == "out" and port.link is not None:
            yield Finding(
                code=BATTERY,
                severity=Severity.FAILS,
                where=port.address,
                what=SENTENCES["unfed"][Severity.FAILS].format(item=item.label),
                why=(Compared("batteries that are in", 0.0, 1.0, ""),),
                source="ways to feed it, as its switches stand",
                basis=PRACTICE,
                ports=(port.address, *other_ends(reading.rig, port.address)),
            )
            return


def _has(piece: Piece, port: RigPort) -> bool:
    return any(each.address == port.address for each in piece.ports)


def _judge_battery(reading: Reading, item: RigItem, way: PowerPlan, port: RigPort) -> Finding:
    sketch = draw_piece(next(each for each in pieces_of(reading.rig) if _has(each, port)))
    ohm = between_ohm(item, way, sketch, list(cut(sketch)))
    severity = Severity.FAILS if item.id in reading.solution.dead else Severity.FINE
    return Finding(
        code=BATTERY,
        severity=severity,
        where=port.address,
        what=SENTENCES[BATTERY][severity].format(socket=port.label, item=item.label),
        why=(
            Compared(
                "resistance between the contacts of its switch",
                ohm if ohm < _OPEN_OHM else None,
                CLOSED_OHM,
                "ohm",
            ),
        ),
        source="what is plugged, at direct current, between the two contacts of the switch",
        basis=PRACTICE,
        ports=(port.address, *other_ends(reading.rig, port.address)),
    )


# --- left-only sockets ---


@kept_while(plugged)
def check_one_side_alone(reading: Reading) -> Iterator[Finding]:
    """Pairs of sockets of which one alone carries both sides, and only the other is plugged."""
    yield from _giving(reading)
    for item in reading.rig.items.values():
        for block in item.plan.blocks:
            if len(block.plan.paths) > 1:
                for contact in block.plan.contacts:
                    yield from _taking(reading, item, block, contact)


def _giving(reading: Reading) -> Iterator[Finding]:
    """Outputs: the first side would sum both, if it were plugged alone."""
    for lane in lanes(reading.rig):
        mono, own = lane.path.mono, lane.path.to_port
        if mono is not None and own is not None:
            better = reading.rig.ports[lane.port_of(own)]
            port = reading.rig.ports[lane.port_of(Target(mono.empty, None))]
            if better.link is None and port.link is not None:
                missing_db = _missing_db(lane.path)
                if missing_db < MISSING_DB - ROUNDING:
                    yield _one_side(reading, "giving", port, better, missing_db)


def _missing_db(path: PathPlan) -> float:
    """What one of two sides has to itself, below the power of both. [dB]"""
    apart = max(
        (1 - each.generator.shared for each in path.origins if each.generator is not None),
        default=0.0,
    )
    return -10 * math.log10(apart / 2) if apart > 0 else math.inf


def _taking(
    reading: Reading, item: RigItem, block: BlockInstance, contact: ContactPlan
) -> Iterator[Finding]:
    """Inputs of two sides: the contact would feed both, if the other socket were plugged."""
    (one, pin), (other, _) = contact.pins
    pair = {each: reading.rig.ports[f"{item.id}.{block.address(each)}"] for each in (one, other)}
    is_first = pin == pair[one].plan.pins_of(None).plus  # one finding a pair, not one a pin
    is_pair = is_first and all(each.plan.role == "in" for each in pair.values())
    if is_pair and len(contact.empty) == 1 and contact.empty[0] in pair and one != other:
        port = pair.pop(contact.empty[0])
        (better,) = pair.values()
        if port.link is not None and better.link is None:
            yield _one_side(reading, "taking", port, better, None)


def _one_side(
    reading: Reading, kind: str, port: RigPort, better: RigPort, missing_db: float | None
) -> Finding:
    words = {
        "socket": port.label,
        "better": better.plan.label.capitalize(),
        "item": port.item.label,
        "missing": "" if missing_db is None else format_level(missing_db, "dB"),
    }
    if missing_db is None:
        why, state = Compared("sides that are fed", 1.0, 2.0, ""), None
    else:
        why = Compared("missing side, below the whole", missing_db, MISSING_DB, "dB")
        state = LimitState(missing_db - MISSING_DB, "dB")
    return Finding(
        code=ONE_SIDE,
        severity=Severity.CARE,
        where=port.address,
        what=SENTENCES[kind][Severity.CARE].format(**words),
        why=(why,),
        state=state,
        source="contacts of the two sockets, and what the sides have in common",
        basis=PRACTICE,
        ports=(port.address, *other_ends(reading.rig, port.address)),
    )


EXPLAINED: Final = (
    Explained(
        BATTERY,
        "Resistance, through all that is plugged, between the two contacts that switch the battery "
        "of an instrument on.",
        (Threshold("resistance above which it is off", CLOSED_OHM, "ohm", "from memory"),),
    ),
    Explained(
        ONE_SIDE,
        "A socket plugged alone whose neighbour alone would carry both sides: power of the side "
        "that is missing, against the whole.",
        (Threshold("missing side from which it is care, below", MISSING_DB, "dB", PRACTICE),),
    ),
)
