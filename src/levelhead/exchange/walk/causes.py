"""What may be wrong between two places of a channel: found in the circuits, leads and controls.

The order is that of common practice: first what one looks at, then what one presses, then what one
exchanges.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from levelhead.exchange.paperwork.flow import Leg
from levelhead.exchange.sound_check.steps import set_of
from levelhead.exchange.walk.model import Candidate
from levelhead.exchange.walk.places import Ground, Place, is_loudspeaker
from levelhead.exchange.walk.words import unfed_words
from levelhead.gear.connectors import CONNECTORS
from levelhead.rig.model import RigPort
from levelhead.show.addresses import strip_of
from levelhead.show.edits import Edit, Set, SetPins, Unplug

__all__ = [
    "broken_wires",
    "phantom_off",
    "plugs",
    "power_off",
    "shut",
    "signal_pins_of",
    "silent_end",
    "turned_down",
]


def power_off(ground: Ground, place: Place) -> Iterator[Candidate]:
    """Items of a place that nothing feeds."""
    for item in place.items:
        words = unfed_words(item)
        if words:
            yield Candidate(f"{ground.work.called(item)} {words}")


def turned_down(ground: Ground, place: Place) -> Iterator[Candidate]:
    """Levels on the way that may stand lower than in the show."""
    rig = ground.work.rig
    for control in place.controls:
        plan = rig.controls[control]
        if plan.kind == "range":
            found = set_of(rig, control)
            off = "off" if plan.low == -math.inf else f"{plan.low:g} dB"
            yield Candidate(
                f"{_called(ground, control)} does not stand at "
                f"{_setting(found.setting, found.told)}",
                (Set(control, off),),
            )
        elif plan.kind == "switch" and control not in rig.facts:
            others = [each for each in plan.options if each != rig.setting(control)]
            yield Candidate(
                f"{_called(ground, control)} does not stand at {rig.setting(control)}",
                tuple(Set(control, each) for each in others[:1]),
            )


def _setting(setting: str, told: str) -> str:
    return f"{setting} ({told})" if told else setting


def _called(ground: Ground, control: str) -> str:
    """A control with its strip: ``Main-left level``."""
    local = control.partition(".")[2].rpartition(".")[0]
    label = ground.work.rig.controls[control].label
    return f"{local} {label}" if local else label


def shut(ground: Ground) -> Iterator[Candidate]:
    """The switch that takes the strip out of every mix, and inserts with a plug in."""
    work, port = ground.work, ground.route.port
    muting = ground.desk.muting(port.block)
    if muting is not None:
        yield Candidate(f"{_called(ground, muting[0])} is {muting[1]}", (Set(*muting),))
    for insert in _inserts(ground):
        lead = work.lead_at[insert.address]
        yield Candidate(
            f"what is plugged into {work.end(insert)} (lead {lead.number}) gives nothing back: "
            "pull it and listen",
            (Unplug(lead.link),) if len(lead.link.ends) > 1 else (),
        )


def _inserts(ground: Ground) -> Iterator[RigPort]:
    """Plugged inserts of the strip and of the sums on the way."""
    work = ground.work
    blocks = {strip_of(each) for each in ground.route.after}
    for port in work.rig.ports.values():
        if port.strip in blocks and port.plan.role == "insert" and port.address in work.lead_at:
            yield port


def plugs(ground: Ground, leg: Leg) -> Iterator[Candidate]:
    """A lead in another socket, or not pushed home, or broken altogether."""
    work = ground.work
    yield Candidate(
        f"lead {leg.lead.number} is in another socket: its ends belong into {work.end(leg.out)} "
        f"and {work.end(leg.into)}",
        (Unplug(leg.lead.link),),
    )
    yield Candidate(
        f"a plug of lead {leg.lead.number} is not pushed home", (Unplug(leg.lead.link),)
    )
    link, pins = leg.lead.link, dict.fromkeys(signal_pins_of(leg), "open")
    yield Candidate(
        f"lead {leg.lead.number} is broken: exchange it for one that is known to work",
        (SetPins(leg.into.address, {**link.pins, **pins}),) if pins else (),
    )


def broken_wires(leg: Leg, *, screen: bool = False) -> Iterator[tuple[str, Edit]]:
    """Each wire of a lead broken at its first plug: the pin, and the edit that breaks it."""
    pins = signal_pins_of(leg)
    ground = [each for each in ("1", "sleeve") if each in _pins(leg)]
    for pin in ground if screen else pins:
        link = leg.lead.link
        yield pin, SetPins(leg.into.address, {**link.pins, pin: "open"})


def _pins(leg: Leg) -> tuple[str, ...]:
    """Pins of the first plug of a lead."""
    pieces = leg.lead.pieces
    if not pieces:
        return ()
    return CONNECTORS[next(iter(pieces[0].plan.ends.values()))].pins


def signal_pins_of(leg: Leg) -> tuple[str, ...]:
    """Pins of the first plug that carry the signal, as far as they are joined at all."""
    pieces = leg.lead.pieces
    joined = {pin for pair in pieces[0].plan.joins for _, pin in pair} if pieces else set()
    grounds = {"1", "sleeve"}
    return tuple(each for each in _pins(leg) if each not in grounds and each in joined)


def phantom_off(ground: Ground) -> Iterator[Candidate]:
    """Switches by which the phantom power of the input goes."""
    rig, port = ground.work.rig, ground.route.port
    item = rig.show.items[port.item.id]
    chosen = dict(rig.chosen.get(port.item.id, {}))
    for address, control in rig.controls.items():
        owner, _, local = address.partition(".")
        strip = local.rpartition(".")[0]
        if owner != port.item.id or control.kind != "switch" or strip not in ("", port.block.name):
            continue
        for option in control.options:
            plan = rig.book.plan(item.type, {**chosen, local: option}, {})
            fed = plan.block(port.block.name).plan.ports[port.plan.name].figure("phantom")
            if fed is None and port.plan.figure("phantom") is not None:
                yield Candidate(f"{_called(ground, address)} is {option}", (Set(address, option),))


def silent_end(ground: Ground, place: Place) -> Iterator[Candidate]:
    """An amplifier that protects itself, a loudspeaker without voice."""
    if is_loudspeaker(ground, place):
        called = ground.work.called(place.items[0])
        yield Candidate(f"{called} itself: exchange it for another one to see")
