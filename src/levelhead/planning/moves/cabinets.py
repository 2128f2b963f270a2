"""Loudspeakers off an output that sees too many, and onto one that must not be without.

To another output of the same amplifier first; one that nothing feeds is fed on the way, by the link
of the amplifier's own input. Where there is no other, the last of the chain stays silent: better
than the amplifier. What counts is what the solved copy says (``planning.remedy``).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import Final

from levelhead.gear.plan import PortPlan
from levelhead.planning.moves.candidate import (
    COST_OF_PURCHASE,
    COST_OF_SOCKET,
    COST_OF_STOCK,
    Candidate,
)
from levelhead.planning.trial import Trial
from levelhead.rig.model import Rig, RigPort
from levelhead.rig.usual import usual_cable
from levelhead.show.edits import AddItem, Edit, Plug, Set, Unplug
from levelhead.show.model import Cable, Item, Link
from levelhead.verdicts.amplifiers.loads import LOAD
from levelhead.verdicts.harm.needed_loads import NO_LOAD
from levelhead.verdicts.told.finding import Finding

__all__ = ["cabinets_added", "cabinets_moved", "cabinets_off", "cabinets_turned"]

_SHORT_M: Final = 1.0  # a lead between two sockets of one item
_COST_OF_SILENCE: Final = 2  # of each loudspeaker more that plays no longer


def cabinets_moved(trial: Trial, finding: Finding) -> Iterator[tuple[Edit, ...]]:
    """Edits that move one loudspeaker and what hangs behind it, the last of the chain first."""
    rig = trial.solution.rig
    if finding.code != LOAD or finding.where not in rig.ports:
        return
    output = rig.ports[finding.where]
    for link in reversed(list(_chain(trial, output))):
        for other in _free_outputs(rig, output):
            if _is_of_one_winding(output, other):
                continue
            new = _plug(trial, other, rig.ports[link.ends["b"]], link.length_m)
            if new is not None:
                yield (Unplug(link), Plug(new), *_feeding(trial, output, other))


def cabinets_off(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """The last loudspeaker of a chain taken off, then the last two, and so on but for the first.

    Of another output of the same stage the first as well: something plays still.
    """
    rig = trial.solution.rig
    for output in _outputs(rig, finding):
        is_other = output.address != finding.where
        links = list(_fed(trial, output) if is_other else _chain(trial, output))
        for more in range(len(links)):
            last = links[len(links) - 1 - more :]
            edits = tuple(Unplug(each) for each in last)
            yield Candidate(edits, COST_OF_STOCK + more * _COST_OF_SILENCE)


def cabinets_turned(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """A switch of all loudspeakers of one kind on an output moved alike: their taps, a step down.

    One loudspeaker alone is what any switch is.
    """
    rig = trial.solution.rig
    for output in _outputs(rig, finding):
        alike: dict[tuple[str, str], list[str]] = {}
        for item in dict.fromkeys(_end_of(rig, each).item.id for each in _fed(trial, output)):
            for address, control in rig.controls.items():
                is_free = address not in rig.show.locks and address not in rig.facts
                owner, _, name = address.partition(".")
                if owner == item and control.kind == "switch" and is_free:
                    alike.setdefault((rig.items[item].plan.type_id, name), []).append(address)
        for switches in alike.values():
            for option in rig.controls[switches[0]].options if len(switches) > 1 else ():
                edits = tuple(Set(each, option) for each in switches if rig.setting(each) != option)
                if len(edits) > 1:
                    yield Candidate(edits, COST_OF_SOCKET)


def _outputs(rig: Rig, finding: Finding) -> Iterator[RigPort]:
    """Outputs that a finding about too much load is about."""
    if finding.code == LOAD and finding.where in rig.ports:
        ports = (rig.ports[each] for each in dict.fromkeys((finding.where, *finding.ports)))
        yield from (each for each in ports if each.plan.role == "loudspeaker")


def cabinets_added(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """A loudspeaker for an output that must not be without: out of the stock, or any that fits."""
    rig = trial.solution.rig
    if finding.code != NO_LOAD or finding.where not in rig.ports:
        return
    for type_id in trial.book.of_kind("loudspeaker"):
        is_stock = trial.show.stock.get(type_id, 0) > 0
        name = trial.show.next_id(type_id)
        for port in trial.book.plan(type_id, {}, {}).block("").plan.ports.values():
            for output in _best_first(_free_outputs(rig, rig.ports[finding.where]), port):
                if port.role != "in" or not (is_stock or port.socket == output.plan.socket):
                    continue
                cable = usual_cable(trial.book, output.plan, port)
                if cable is not None:
                    ends = {"a": output.address, "b": f"{name}.{port.name}"}
                    plug = Plug(Link(ends, (Cable(cable.type_id, None),)))
                    cost = COST_OF_STOCK if is_stock else COST_OF_PURCHASE
                    yield Candidate((AddItem(Item(name, type_id)), plug), cost)


def _best_first(outputs: Iterable[RigPort], load: PortPlan) -> list[RigPort]:
    """The tap that is made for a load first."""
    ohm = load.figure("impedance")

    def off_ohm(output: RigPort) -> float:
        made_for = output.plan.figure("matched-load") or output.plan.figure("min-load")
        return math.inf if made_for is None or ohm is None else abs(made_for - ohm)

    return sorted(outputs, key=off_ohm)


def _chain(trial: Trial, output: RigPort) -> Iterator[Link]:
    """Links behind the first loudspeaker, in signal order."""
    yield from (each for each in _fed(trial, output) if output.address not in each.ends.values())


def _fed(trial: Trial, output: RigPort) -> Iterator[Link]:
    """Links by which an output feeds one loudspeaker after the other, in signal order."""
    rig = trial.solution.rig
    items = [output.item.id]
    for item in items:
        for link in trial.show.links:
            if set(link.ends) == {"a", "b"}:
                start, end = (rig.ports[link.ends[each]] for each in ("a", "b"))
                is_on = start.address == output.address or start.plan.role == "through"
                is_on = is_on and (start.address == output.address or item != output.item.id)
                if start.item.id == item and is_on and end.item.id not in items:
                    items.append(end.item.id)
                    yield link


def _end_of(rig: Rig, link: Link) -> RigPort:
    return rig.ports[link.ends["b"]]


def _free_outputs(rig: Rig, output: RigPort) -> Iterator[RigPort]:
    for port in rig.ports.values():
        if port.item.id == output.item.id and port.link is None and port.plan.role == "loudspeaker":
            yield port


def _is_of_one_winding(one: RigPort, other: RigPort) -> bool:
    """Whether both are taps of one transformer, behind which the amplifier sees it all anyway."""
    is_tap = one.plan.circuit is None and other.plan.circuit is None
    return is_tap and one.block.name == other.block.name


def _feeding(trial: Trial, output: RigPort, other: RigPort) -> Iterator[Edit]:
    """The link of the fed input into the input of the other channel, if nothing is plugged there.

    Only where both channels have sockets of one kind each.
    """
    rig = trial.solution.rig
    through = [
        each for each in _of(rig, output) if each.plan.role == "through" and each.link is None
    ]
    inputs = [each for each in _of(rig, other) if each.plan.role == "in"]
    is_idle = inputs and all(each.link is None for each in inputs)
    if output.block.name != other.block.name and through and is_idle:
        new = _plug(trial, through[0], inputs[0], _SHORT_M)
        if new is not None:
            yield Plug(new)


def _of(rig: Rig, port: RigPort) -> list[RigPort]:
    """Sockets of the strip that a port is part of."""
    return [
        each
        for each in rig.ports.values()
        if each.item.id == port.item.id and each.block.name == port.block.name
    ]


def _plug(trial: Trial, start: RigPort, end: RigPort, length_m: float | None) -> Link | None:
    cable = usual_cable(trial.book, start.plan, end.plan)
    if cable is None:
        return None
    ends = {"a": start.address, "b": end.address}
    return Link(ends, (Cable(cable.type_id, length_m),))
