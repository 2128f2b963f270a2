"""Order of switching: what drives loudspeakers last on and first off."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from levelhead.rig.model import RigItem
from levelhead.show.addresses import item_of
from levelhead.verdicts.people.words import SENTENCES, SWITCHING
from levelhead.verdicts.read.places import kept_while, open_ways
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.words import place_words

__all__ = ["check_switching_order"]

_NAMED: Final = 3


def _read(reading: Reading) -> tuple[object, ...]:
    """What is plugged, which ways are open, and where signals go; no level."""
    return *open_ways(reading), reading.solution.paths


@kept_while(_read)
def check_switching_order(reading: Reading) -> Iterator[Finding]:
    """What drives loudspeakers, with what is switched on before it."""
    last, first = reading.drivers, _before(reading)
    if not last or not first:
        return
    off = [item for turn in reversed(reading.drivers_in_turn) for item in turn]
    sentence = SENTENCES[SWITCHING, Severity.FINE].format(
        first=_names(first), last=_names(last), last_off=_names(off)
    )
    if _has_phantom(reading):
        sentence += SENTENCES[SWITCHING, "phantom"]
    yield Finding(
        code=SWITCHING,
        severity=Severity.FINE,
        where=min(item.id for item in last),  # whatever order the show has them in
        what=sentence,
        why=(Compared("items that drive loudspeakers", float(len(last)), None, ""),),
        source="ways of the signal through everything that is plugged",
        basis="common practice",
    )


def _before(reading: Reading) -> list[RigItem]:
    """Other items on the mains on the ways of signals to loudspeakers, in the order of the ways."""
    solution, items, drivers = reading.solution, reading.rig.items, reading.drivers
    heard = (
        way
        for way in solution.paths
        if way[-1] in solution.in_air and not items[item_of(way[-1])].plan.is_worn
    )
    on_ways = dict.fromkeys(item_of(address) for way in heard for address in way)
    passed = (items[name] for name in on_ways if name in items)
    return [item for item in passed if item.plan.is_on_mains and item not in drivers]


def _has_phantom(reading: Reading) -> bool:
    """Whether phantom power stands at any plugged input."""
    ports = reading.rig.ports.values()
    return any(port.link is not None and "phantom" in port.plan.figures for port in ports)


def _names(items: Sequence[RigItem]) -> str:
    labels = [place_words(item.label) for item in items[:_NAMED]]
    if len(items) > _NAMED:
        labels[-1] = f"{len(items) - _NAMED + 1} more"
    return labels[0] if len(labels) == 1 else f"{', '.join(labels[:-1])} and {labels[-1]}"
