"""The way of phantom power: both legs, one supply for all, and what runs on its battery instead."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from levelhead.circuit.drawn.islands import Island
from levelhead.gear.figures import Figure
from levelhead.quantity.formatting import format_level, format_si
from levelhead.rig.model import RigItem, RigPort
from levelhead.verdicts.explain import Explained, Threshold
from levelhead.verdicts.read.places import IslandAt, by_place, carrying_ways, islands, kept_while
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import Doubt, LimitState
from levelhead.verdicts.told.words import other_ends, place_words
from levelhead.verdicts.wiring.lost import LOST_FAILS_DB, lost_on_the_way_db

__all__ = [
    "BATTERY",
    "EXPLAINED",
    "ONE_LEG",
    "SUPPLY",
    "check_both_legs_feed",
    "check_legs_lead_somewhere",
    "check_supply_is_enough",
    "check_what_lives_on_its_battery",
]

ONE_LEG, SUPPLY, BATTERY = "phantom.one-leg", "phantom.supply", "phantom.on-battery"
UNEQUAL_V: Final = 5.0  # between the legs of one supply: a wire is lost, common practice
AMPLE_DB: Final = 3.0  # a third in hand, common practice
ONE_LEG_WORDS: Final = (
    "{input} feeds {item} through one leg only ({volts} between the legs): a wire is broken. It "
    "works until the other one goes, and without its balance."
)
OPEN_LEG_WORDS: Final = (
    "Phantom power is on at {input} and its lead has one leg open: {item} gets {loss} less than it "
    "gives, and a contact that comes and goes sends phantom current through it. Phantom off first, "
    "then another lead."
)
BATTERY_WORDS: Final = (
    "Phantom power of {input} does not reach {item}: it lives on its battery, and works while that "
    "lasts."
)
SUPPLY_WORDS: Final = {
    Severity.FAILS: "{item} is asked for {value} of phantom power and can feed {limit}: all that "
    "hangs on it starves.",
    Severity.CARE: "{item} feeds {value} of phantom power, near the {limit} it can.",
    Severity.FINE: "{item} feeds {value} of phantom power; it can feed {limit}.",
}
EXPLAINED: Final = (
    Explained(
        ONE_LEG,
        "direct volts between the two legs of an input that feeds phantom power; where nothing "
        "draws it, a leg that leads nowhere, and what that costs of the signal",
        (
            Threshold("a wire is lost from", UNEQUAL_V, "V", "common practice"),
            Threshold("signal lost from which it fails", LOST_FAILS_DB, "dB", "common practice"),
        ),
        "IEC 61938: both legs are fed alike",
    ),
    Explained(
        SUPPLY,
        "phantom current of all inputs of an item, against the most that its supply gives",
        (Threshold("fine from this far below", AMPLE_DB, "dB", "common practice"),),
        "direct current in the solved copper",
    ),
    Explained(
        BATTERY,
        "phantom volts that arrive at what has a battery as well, where its signal ends at an "
        "input with phantom power on",
        (),
        "direct current in the solved copper",
    ),
)


@by_place(islands, is_local=True)
def check_both_legs_feed(reading: Reading, at: IslandAt) -> Iterator[Finding]:
    """Inputs whose phantom power something draws: do both legs give it?"""
    drawn = [load.item for load in at.island.loads]
    for address in dict.fromkeys(feed.port for feed in at.island.feeds) if drawn else ():
        direct = reading.solution.dc_at(address)
        port = reading.rig.ports[address]
        if direct is None or not _is_phantom(port) or abs(direct.volts) < UNEQUAL_V:
            continue
        item = reading.rig.items[drawn[0]]
        yield Finding(
            code=ONE_LEG,
            severity=Severity.CARE,
            where=address,
            what=ONE_LEG_WORDS.format(
                input=port.label, item=item.label, volts=format_si(abs(direct.volts), "V")
            ),
            why=(Compared("volts between the legs", abs(direct.volts), UNEQUAL_V, "V"),),
            source="direct current in the solved copper",
            basis="IEC 61938",
            ports=(address, *other_ends(reading.rig, address)),
        )


@by_place(islands, is_local=True)
def check_legs_lead_somewhere(reading: Reading, at: IslandAt) -> Iterator[Finding]:
    """Inputs whose phantom power nothing draws: does each leg lead to the other end of the lead?

    No direct current tells of a leg that is open; the signal does.
    """
    island = at.island
    for address in dict.fromkeys(each.port for each in island.feeds if not island.loads):
        if _is_phantom(reading.rig.ports[address]) and _legs_at_an_end(island, address) == 1:
            for drive in island.drives[:1]:
                output = (drive.port, drive.signal)
                loss_db = lost_on_the_way_db(island, at.solved, output, address)
                if loss_db > LOST_FAILS_DB:
                    yield _open_leg(reading, address, drive.port, loss_db)


def _legs_at_an_end(island: Island, address: str) -> int:
    """How many legs of an input lead nowhere: through cable alone, to no other socket."""
    others = {
        node for port, pins in island.pins.items() if not port.startswith(address) for node in pins
    }
    return sum(not _by_cable(island, leg) & others for leg in island.pins[address][:2])


def _by_cable(island: Island, node: int) -> set[int]:
    """Nodes that conductors of cables join to a node, with itself."""
    wires = [(each.a, each.b) for each in island.drawn if each.stretch and not each.kind]
    found, new = {node}, {node}
    while new:
        new = {end for wire in wires if found.intersection(wire) for end in wire} - found
        found |= new
    return found


def _open_leg(reading: Reading, address: str, output: str, loss_db: float) -> Finding:
    port = reading.rig.ports[address]
    item = reading.rig.ports[output].item.label
    loss = format_level(loss_db, "dB")
    return Finding(
        code=ONE_LEG,
        severity=Severity.FAILS,
        where=address,
        what=OPEN_LEG_WORDS.format(input=port.label, item=item, loss=loss),
        why=(Compared("signal lost in the lead", loss_db, LOST_FAILS_DB, "dB"),),
        source="pins that conductors join; the signal through the solved copper",
        basis="IEC 61938",
        ports=(address, *other_ends(reading.rig, address)),
    )


def check_supply_is_enough(reading: Reading) -> Iterator[Finding]:
    """Items whose phantom supply has a limit: is more asked of it?"""
    asked = _asked(reading)
    for item in reading.rig.items.values():
        limit = item.plan.phantom_supply
        if limit is not None and asked.get(item.id):
            yield _of_supply(reading, item, limit, asked[item.id])


_Asked = Sequence[tuple[str, Figure, float]]
"""Who hangs on a supply, the current that it wants, and which share of that the supply gives."""


def _asked(reading: Reading) -> Mapping[str, _Asked]:
    """What everything that hangs on each item wants by its own figures, starved or not."""
    asked: dict[str, list[tuple[str, Figure, float]]] = defaultdict(list)
    for island in reading.solution.islands:
        feeding = {reading.rig.ports[feed.port].item.id for feed in island.feeds}
        for item in feeding:
            asked[item] += [(load.item, load.current, 1 / len(feeding)) for load in island.loads]
    return asked


def _of_supply(reading: Reading, item: RigItem, limit: Figure, asked: _Asked) -> Finding:
    asked_a = sum(share * current.value for _, current, share in asked)

    def doubts() -> Iterator[Doubt]:
        yield Doubt(f"phantom supply of {place_words(item.label)}", "fact", limit, +1.0)
        for load, current, share in asked:
            words = f"current of {place_words(reading.rig.items[load].label)}"
            yield Doubt(words, "fact", current, -share * current.value / asked_a)

    state = LimitState(20 * math.log10(limit.value / asked_a), "dB", doubts)
    severity = state.severity(ample=AMPLE_DB)
    return Finding(
        code=SUPPLY,
        severity=severity,
        where=item.id,
        what=SUPPLY_WORDS[severity].format(
            item=item.label, value=format_si(asked_a, "A"), limit=format_si(limit.value, "A")
        ),
        why=(Compared("current of phantom power", asked_a, limit.value, "A"),),
        state=state,
        source="currents of all that is fed, against what the supply gives",
        basis=limit.source,
    )


@kept_while(carrying_ways)
def check_what_lives_on_its_battery(reading: Reading) -> Iterator[Finding]:
    """Boxes that phantom power would feed as well: does it fail to reach them though it is on?"""
    ways = reading.solution.paths
    for item in reading.rig.items.values():
        kinds = {way.kind for way in item.plan.powered_by}
        if kinds != {"phantom", "battery"} or _is_fed(reading, item):
            continue
        onward = (way[place:] for way in ways for place in _places(way, item))
        inputs = (reading.rig.ports.get(each) for way in onward for each in way)
        feeding = next((each for each in inputs if each is not None and _is_phantom(each)), None)
        if feeding is not None:
            yield Finding(
                code=BATTERY,
                severity=Severity.CARE,
                where=item.id,
                what=BATTERY_WORDS.format(input=feeding.label, item=item.label),
                why=(Compared("volts of phantom power at the item", 0.0, None, "V"),),
                source="direct current in the solved copper",
                basis="common practice",
                ports=(feeding.address,),
            )


def _places(way: tuple[str, ...], item: RigItem) -> list[int]:
    """Where a way leaves an item."""
    return [at for at, each in enumerate(way) if each.partition(".")[0] == item.id][-1:]


def _is_fed(reading: Reading, item: RigItem) -> bool:
    arrival = reading.solution.phantom_at(item.id)
    return arrival is not None and arrival.volts >= arrival.needed_v


def _is_phantom(port: RigPort) -> bool:
    return "phantom" in port.plan.figures
