"""Single points of failure, told on request: what stops the show, and what to have at hand.

What carries everything is read off the ways of all signals to all loudspeakers: an item or a lead
that lies on every one of them. What lies in the stock is at hand already.
"""

from __future__ import annotations

from collections import Counter, defaultdict, deque
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import reduce
from itertools import pairwise, permutations
from typing import Final

from levelhead.rig.model import RigItem, RigLink, RigPort
from levelhead.verdicts.explain import PRACTICE, Explained, Threshold
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity

__all__ = ["EXPLAINED", "FAMILY", "SENTENCES", "SPARES_RULES"]

FAMILY: Final = "spares"
ITEM, LEAD, BATTERY = "spares.one-item", "spares.one-lead", "spares.battery"
CHARGER, PHANTOM, CIRCUIT = "spares.charger", "spares.phantom", "spares.one-circuit"

SENTENCES: Final = {
    ITEM: "Everything passes {what}. Have at hand: another one, or a way round it ({type}).",
    LEAD: "Everything passes one lead, {what}. Have at hand: a second {type}.",
    BATTERY: "{what} runs on {battery} and stops with it. Have at hand: a new one, tried.",
    CHARGER: "{what} runs on its charger. Have at hand: that charger, or the battery full.",
    PHANTOM: "{what} feeds the phantom power of {count}. Have at hand: a phantom supply, or "
    "dynamic "
    "microphones.",
    CIRCUIT: "Everything that has a supply hangs on circuit {what}. Have at hand: an outlet on "
    "another "
    "circuit, shown by whoever looks after the house.",
}
Rule = Callable[[Reading], Iterable[Finding]]


def _finding(
    code: str, where: str, what: str, why: Compared, ports: tuple[str, ...] = ()
) -> Finding:
    return Finding(
        code=code,
        severity=Severity.CARE,
        where=where,
        what=what,
        why=(why,),
        source="ways of every signal to every loudspeaker, and what feeds each item",
        basis="common practice",
        ports=ports,
    )


def _in_stock(reading: Reading, type_id: str) -> bool:
    """Whether the stock has one: of an item, or of a cable of any length."""
    stock = reading.rig.show.stock
    return any(count > 0 and thing.split(" ")[0] == type_id for thing, count in stock.items())


# --- what carries everything ---


def what_carries_everything(reading: Reading) -> Iterator[Finding]:
    """Items and leads that lie on every way from whoever sounds to a loudspeaker."""
    solution = reading.solution
    ways = [way for way in solution.paths if solution.point(way[-1]).unit == "Pa"]
    if not ways:
        return
    count = Compared("ways to a loudspeaker that pass it", float(len(ways)), float(len(ways)), "")
    for item in reading.rig.items.values():
        is_passed = all(any(solution.point(each).item == item.id for each in way) for way in ways)
        if is_passed and not _in_stock(reading, item.plan.type_id):
            words = SENTENCES[ITEM].format(what=item.label, type=item.plan.label)
            yield _finding(ITEM, item.id, words, count)
    for link in _leads_of_all(reading, ways):
        first = link.segments[0].cable if link.segments else None
        if first is not None and not _in_stock(reading, first.type_id):
            port = reading.rig.ports[link.ports[-1]]
            what = f"that into {port.label}"
            words = SENTENCES[LEAD].format(what=what, type=first.label)
            yield _finding(LEAD, port.address, words, count, link.ports)


def _leads_of_all(reading: Reading, ways: list[tuple[str, ...]]) -> list[RigLink]:
    """Links that every way passes."""
    copper = _copper(reading)
    passed = [_leads_of(reading, copper, way) for way in ways]
    common = reduce(set.intersection, passed)
    return [link for link in reading.rig.links if link.number in common]


_Copper = Mapping[str, Sequence[tuple[str, int | None]]]
"""By port, the ports that its wire leads to, and the link on the way (none within a box)."""


def _copper(reading: Reading) -> _Copper:
    found: dict[str, list[tuple[str, int | None]]] = defaultdict(list)
    for link in reading.rig.links:
        for one, other in permutations(link.ports, 2):
            found[one].append((other, link.number))
    for port in reading.rig.ports.values():
        for other in _same_wire(port):
            found[port.address].append((other, None))
            found[other].append((port.address, None))
    return found


def _same_wire(port: RigPort) -> Iterator[str]:
    """Ports of a box to which the wire of one leads: through sockets, and by its parts."""
    if port.plan.joined is not None:
        yield port.sibling(port.plan.joined)
    elif port.block.plan.parts and not port.block.plan.paths:
        yield from (port.sibling(each) for each in port.block.plan.ports if each != port.plan.name)


def _leads_of(reading: Reading, copper: _Copper, way: tuple[str, ...]) -> set[int]:
    """Links on the shortest wire between the sockets that a way names, one after another."""
    ports = [each if each in reading.rig.ports else each.rpartition(".")[0] for each in way]
    sockets = [each for each in ports if each in reading.rig.ports]
    return {
        number
        for one, other in pairwise(sockets)
        for number in _wire_between(copper, one, other)
        if number is not None
    }


def _wire_between(copper: _Copper, one: str, other: str) -> tuple[int | None, ...]:
    """Links from socket to socket; none where no wire leads there."""
    seen = {one}
    ahead: deque[tuple[str, tuple[int | None, ...]]] = deque([(one, ())])
    while ahead:
        port, steps = ahead.popleft()
        if port == other:
            return steps
        for reached, link in copper.get(port, ()):
            if reached not in seen:
                seen.add(reached)
                ahead.append((reached, (*steps, link)))
    return ()


# --- what feeds ---


def what_runs_on_batteries(reading: Reading) -> Iterator[Finding]:
    """Items in use that run on a battery, or on a battery that a charger fills."""
    for item in _in_use(reading):
        kinds = {way.kind: way for way in item.plan.powered_by}
        if kinds.keys() & {"phantom", "bias"}:
            continue
        if "battery" in kinds and "mains" in kinds:
            words = SENTENCES[CHARGER].format(what=item.label)
            yield _finding(CHARGER, item.id, words, Compared("chargers", 1.0, 2.0, ""))
        elif "battery" in kinds or item.plan.batteries:
            words = SENTENCES[BATTERY].format(what=item.label, battery=_battery(item))
            yield _finding(BATTERY, item.id, words, Compared("batteries", 1.0, 2.0, ""))


def _battery(item: RigItem) -> str:
    """What it runs on: its cells where the book knows them, else its volts."""
    if item.plan.batteries:
        return " and ".join(f"a set of {each.count} {each.cell}" for each in item.plan.batteries)
    volts = next(way.minimum for way in item.plan.powered_by if way.kind == "battery")
    return "a battery of its kind" if volts is None else f"a battery of {volts.value:g} V"


def _in_use(reading: Reading) -> Iterator[RigItem]:
    plugged = {port.item.id for port in reading.rig.ports.values() if port.link is not None}
    return (item for item in reading.rig.items.values() if item.id in plugged)


def phantom_from_one(reading: Reading) -> Iterator[Finding]:
    """Phantom power of several items, all from one."""
    fed = [each for each in reading.solution.copper.phantom if each.volts >= each.needed_v]
    feeders: Counter[str] = Counter()
    for arrival in fed:
        feeders.update(_feeders(reading, arrival.item))
    for feeder, count in feeders.items():
        if count == len(fed) > 1:
            words = SENTENCES[PHANTOM].format(
                what=reading.rig.items[feeder].label, count=f"all {count} that need it"
            )
            yield _finding(PHANTOM, feeder, words, Compared("items fed", float(count), 1.0, ""))


def _feeders(reading: Reading, item: str) -> set[str]:
    """Items with a phantom-fed input on a link chain of one step from an item."""
    found = set()
    for link in reading.rig.links:
        ports = [reading.rig.ports[each] for each in link.ports]
        if any(port.item.id == item for port in ports):
            found |= {port.item.id for port in ports if port.plan.figure("phantom") is not None}
    return found


def supplies_on_one_circuit(reading: Reading) -> Iterator[Finding]:
    """Whether all supplies that are named hang on one breaker."""
    show = reading.rig.show
    used: dict[str, set[str]] = defaultdict(set)
    for item in _in_use(reading):
        supply = show.supplies.get(item.supply or "")
        if supply is not None and supply.circuit is not None:
            used[supply.circuit].add(item.id)
    if len(used) == 1:
        (circuit, items), *_ = used.items()
        if len(items) > 1:
            words = SENTENCES[CIRCUIT].format(what=circuit)
            why = Compared("circuits in use", 1.0, 2.0, "")
            yield _finding(CIRCUIT, min(items), words, why)


SPARES_RULES: Final[tuple[Rule, ...]] = (
    what_carries_everything,
    what_runs_on_batteries,
    phantom_from_one,
    supplies_on_one_circuit,
)

_ALL: Final = Threshold("share of the ways that pass it", 100.0, "%", PRACTICE)
EXPLAINED: Final = (
    Explained(
        ITEM,
        "Items on every way from whoever sounds to a loudspeaker, none of them in stock.",
        (_ALL,),
    ),
    Explained(
        LEAD,
        "Leads on every way from whoever sounds to a loudspeaker, none of them in stock.",
        (_ALL,),
    ),
    Explained(
        BATTERY,
        "Items in use that run on a battery alone, or a part of which does: radio sets.",
    ),
    Explained(CHARGER, "Items in use whose battery a charger fills."),
    Explained(PHANTOM, "Items that get their phantom power, all of them from one."),
    Explained(CIRCUIT, "Circuits of the supplies that feed what is in use."),
)
