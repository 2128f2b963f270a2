"""Adaptors that exchange two contacts, put before a lead that ends in the wrong order of poles."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from levelhead.gear.plan import CablePlan
from levelhead.planning.trial import Trial
from levelhead.rig.usual import usual_cable
from levelhead.show.edits import Edit, Plug, Unplug
from levelhead.show.model import Cable, Link
from levelhead.verdicts.told.finding import Finding
from levelhead.verdicts.wiring.poles import POLES

__all__ = ["adaptors_put_in"]

_PLAIN_ENDS: Final = 2


def adaptors_put_in(trial: Trial, finding: Finding) -> Iterator[tuple[Edit, ...]]:
    """Each adaptor whose plug and socket are alike, before the cables that are there."""
    rig = trial.solution.rig
    if finding.code != POLES:
        return
    for number in {rig.ports[each].link for each in finding.ports if each in rig.ports}:
        link = None if number is None else rig.show.links[number]
        if link is None:
            continue
        start, end = (rig.ports[each].plan for each in link.ends.values())
        usual = usual_cable(trial.book, start, end)
        via = link.via or (() if usual is None else (Cable(usual.type_id, None),))
        for type_id in trial.book.of_kind("adaptor"):
            if _exchanges(trial.book.cable(type_id)):
                yield Unplug(link), Plug(Link(dict(link.ends), (Cable(type_id, None), *via)))


def _exchanges(cable: CablePlan) -> bool:
    """Whether it leads from a plug to a socket of the same kind, on other contacts."""
    is_alike = len(cable.ends) == _PLAIN_ENDS and len(set(cable.ends.values())) == 1
    has_both = len(cable.sockets) == 1
    return is_alike and has_both and any(one[1] != other[1] for one, other in cable.joins)
