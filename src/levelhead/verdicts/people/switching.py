"""Order of switching: what drives loudspeakers last on and first off."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from levelhead.rig.model import RigItem
from levelhead.show.addresses import item_of
from levelhead.verdicts.people.words import SENTENCES, SWITCHING
from levelhead.verdicts.read.places import At, by_place
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.words import place_words

__all__ = ["ON_MAINS", "check_switching_order"]

_NAMED: Final = 3
ON_MAINS: Final = frozenset({"mains", "class-2"})


def _once(reading: Reading, where: str | None) -> Iterator[At[None]]:
    """The whole show at once: it hangs on the ways of signals, and on no level."""
    del where
    yield At("show", None, (reading.stamps.gear, reading.solution.paths))


@by_place(_once)
def check_switching_order(reading: Reading, _: None) -> Iterator[Finding]:
    """Amplifiers and powered loudspeakers, with what is switched on before them."""
    last, first = _by_turn(reading)
    if not last or not first:
        return
    sentence = SENTENCES[SWITCHING, Severity.FINE].format(first=_names(first), last=_names(last))
    if _has_phantom(reading):
        sentence += SENTENCES[SWITCHING, "phantom"]
    yield Finding(
        code=SWITCHING,
        severity=Severity.FINE,
        where=last[0].id,
        what=sentence,
        why=(Compared("items that drive loudspeakers", float(len(last)), None, ""),),
        source="ways of the signal through everything that is plugged",
        basis="common practice",
    )


def _by_turn(reading: Reading) -> tuple[list[RigItem], list[RigItem]]:
    """Items on the mains that drive loudspeakers, and those before them on a way of a signal."""
    solution, items = reading.solution, reading.rig.items
    driving: dict[str, RigItem] = {}
    before: dict[str, RigItem] = {}
    for way in solution.paths:
        if way[-1] not in solution.in_air:
            continue
        on_way = dict.fromkeys(item_of(address) for address in way)
        fed = [items[each] for each in on_way if each in items]
        on_mains = [item for item in fed if item.plan.earth in ON_MAINS]
        if on_mains and not fed[-1].plan.is_worn:
            driving[on_mains[-1].id] = on_mains[-1]
            before |= {item.id: item for item in on_mains[:-1]}
    first = [item for name, item in before.items() if name not in driving]
    return list(driving.values()), first


def _has_phantom(reading: Reading) -> bool:
    """Whether phantom power stands at any plugged input."""
    ports = reading.rig.ports.values()
    return any(port.link is not None and "phantom" in port.plan.figures for port in ports)


def _names(items: Sequence[RigItem]) -> str:
    labels = [place_words(item.label) for item in items[:_NAMED]]
    if len(items) > _NAMED:
        labels[-1] = f"{len(items) - _NAMED + 1} more"
    return labels[0] if len(labels) == 1 else f"{', '.join(labels[:-1])} and {labels[-1]}"
