"""Phantom power: does what needs it get enough of it?"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final, NamedTuple

from levelhead.circuit.direct.phantom import PhantomArrival
from levelhead.circuit.drawn.islands import Island
from levelhead.gear.figures import Figure
from levelhead.gear.plan import PowerPlan
from levelhead.quantity.formatting import format_si
from levelhead.rig.model import Rig, RigItem
from levelhead.verdicts.read.places import At, by_place
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import Doubt, LimitState
from levelhead.verdicts.told.words import figure_words, other_ends, place_words

__all__ = [
    "AMPLE_V",
    "MISSING",
    "PHANTOM",
    "SENTENCES",
    "TOO_FEW_VOLTS",
    "check_phantom_reaches",
]

_NEPERS_PER_DB: Final = math.log(10) / 20  # relative change of a figure for 1 dB
AMPLE_V: Final = 10.0  # spare volts beyond which no spread of currents matters, common practice
PHANTOM: Final = "phantom"  # the family
MISSING, TOO_FEW_VOLTS = "phantom.missing", "phantom.too-low"
POWER: Final = {"phantom": "phantom power", "bias": "plug-in power"}
_NOTHING_V: Final = (
    0.1  # behind a transformer, or on a broken wire: a supply that does not reach it
)
SENTENCES: Final = {
    "missing": "{item} needs {power} and gets none: it is dead.",
    "jack": " {input} feeds it on the XLR contacts alone, not on those of the jack.",
    "too-low": "{item} gets {volts} of {power} at its own current; it needs {needed}.",
    Severity.CARE: "{item} gets {volts} of {power} at its own current, little more than the "
    "{needed} it needs.",
    Severity.FINE: "{item} gets {volts} of {power} at its own current; it needs {needed}.",
}


class _Hungry(NamedTuple):
    """An item that lives on a supply at the other end of its lead, and what it is fed by."""

    item: RigItem
    way: PowerPlan
    island: Island | None
    arrival: PhantomArrival | None


def _places(reading: Reading, where: str | None) -> Iterator[At[_Hungry]]:
    """Items that live on phantom power or bias alone; all that tells is on their own copper.

    One that gives its signal by another output than the one it is fed at is dead without a plug in
    that; one of which nothing is taken is nobody's business.
    """
    solution = reading.solution
    drawn = {load.item: island for island in reversed(solution.islands) for load in island.loads}
    arrivals = {each.item: each for each in reversed(solution.copper.phantom)}
    for item in reading.rig.items.values():
        ways = item.plan.powered_by
        if not ways or any(way.port is None for way in ways):
            continue
        is_taken = _gives_where_it_is_not_fed(reading.rig, item)
        for way in ways:
            address = f"{item.id}.{way.port}"
            is_asked = reading.rig.plugged(address) or (is_taken and way is ways[0])
            if where in (None, address) and is_asked:
                hungry = _Hungry(item, way, drawn.get(item.id), arrivals.get(item.id))
                yield At(address, hungry, (reading.stamps.gear, hungry.island, hungry.arrival))


def _gives_where_it_is_not_fed(rig: Rig, item: RigItem) -> bool:
    """Whether something is taken of an item, and no plug is where it could be fed."""
    plugged = [name for name, _ in rig.ports_of[item.id] if rig.plugged(name)]
    if any(f"{item.id}.{way.port}" in plugged for way in item.plan.powered_by):
        return False
    return any(rig.ports[name].plan.drives for name in plugged)


@by_place(_places, is_local=True)
def check_phantom_reaches(reading: Reading, hungry: _Hungry) -> Iterator[Finding]:
    """Items that live on phantom power or bias alone: volts at their current, and the least."""
    item, way, _, arrival = hungry
    if way.minimum is None:
        return
    is_fed = arrival is not None and arrival.is_fed
    volts = arrival.volts if arrival is not None else 0.0
    least = way.minimum
    state = LimitState(volts - least.value, "V", lambda: _doubts(reading, hungry, least))
    severity = state.severity(ample=AMPLE_V)
    yield Finding(
        code=TOO_FEW_VOLTS if is_fed else MISSING,
        severity=severity,
        where=f"{item.id}.{way.port}",
        what=_sentence(severity, is_fed=is_fed and volts > _NOTHING_V).format(
            item=item.label,
            power=POWER[way.kind],
            volts=format_si(volts, "V"),
            needed=format_si(least.value, "V"),
        )
        + _beside_the_jack(reading, f"{item.id}.{way.port}"),
        why=(Compared("volts at the item", volts, least.value, "V"),),
        state=state,
        source="feed resistors, cable and the item's current at DC, against its least volts",
        basis="IEC 61938",
        ports=(f"{item.id}.{way.port}",),
    )


def _sentence(severity: Severity, *, is_fed: bool) -> str:
    if severity is Severity.FAILS:
        return SENTENCES["too-low" if is_fed else "missing"]
    return SENTENCES[severity]


def _beside_the_jack(reading: Reading, address: str) -> str:
    """That it stands in a combined socket by a jack, whose contacts are not fed."""
    for other in other_ends(reading.rig, address):
        port = reading.rig.ports[other]
        if port.switched.figure(PHANTOM) is not None and port.plan.figure(PHANTOM) is None:
            return SENTENCES["jack"].format(input=port.label)
    return ""


def _doubts(reading: Reading, hungry: _Hungry, least: Figure) -> Iterator[Doubt]:
    """Supply, current and least volts; a dead line hangs on its switch, or on its wires."""
    item, way, _, arrival = hungry
    if arrival is None or not arrival.is_fed or arrival.volts <= _NOTHING_V:
        return
    who = place_words(item.label)
    yield Doubt(f"least volts of {who}", "fact", least, -least.value * _NEPERS_PER_DB)
    for port, supply in _supplies(reading, hungry):
        dropped_v = supply.value - arrival.volts
        yield Doubt(
            figure_words(reading.rig, f"{port}.{way.kind}"),
            "fact",
            supply,
            supply.value * _NEPERS_PER_DB,
        )
        if way.current is not None:
            yield Doubt(f"current of {who}", "fact", way.current, -dropped_v * _NEPERS_PER_DB)
        return


def _supplies(reading: Reading, hungry: _Hungry) -> Iterator[tuple[str, Figure]]:
    """Inputs that feed the island on which the item draws."""
    for feed in () if hungry.island is None else hungry.island.feeds:
        supply = reading.rig.ports[feed.port].plan.figures.get(hungry.way.kind)
        if supply is not None:
            yield feed.port, supply
