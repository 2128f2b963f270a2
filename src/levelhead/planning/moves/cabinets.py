"""Loudspeakers taken off an output that sees too many: to another one of the same amplifier.

An output that nothing feeds is fed on the way, by the link of the amplifier's own input. What
counts is what the solved copy says (``planning.remedy``).
"""

from __future__ import annotations

from collections.abc import Iterator

from levelhead.planning.trial import Trial
from levelhead.rig.model import Rig, RigPort
from levelhead.rig.usual import usual_cable
from levelhead.show.edits import Edit, Plug, Unplug
from levelhead.show.model import Cable, Link
from levelhead.verdicts.amplifiers.loads import LOAD
from levelhead.verdicts.finding import Finding

__all__ = ["cabinets_moved"]

_SHORT_M = 1.0  # a lead between two sockets of one item


def cabinets_moved(trial: Trial, finding: Finding) -> Iterator[tuple[Edit, ...]]:
    """Edits that move one loudspeaker and what hangs behind it, the last of the chain first."""
    rig = trial.solution.rig
    if finding.code != LOAD or finding.where not in rig.ports:
        return
    output = rig.ports[finding.where]
    for link in reversed(list(_chain(trial, output))):
        for other in _free_outputs(rig, output):
            new = _plug(trial, other, rig.ports[link.ends["b"]], link.length_m)
            if new is not None:
                yield (Unplug(link), Plug(new), *_feeding(trial, output, other))


def _chain(trial: Trial, output: RigPort) -> Iterator[Link]:
    """Links behind the first loudspeaker, in signal order."""
    rig = trial.solution.rig
    items = [output.item.id]
    for item in items:
        for link in trial.show.links:
            if set(link.ends) == {"a", "b"}:
                start, end = (rig.ports[link.ends[each]] for each in ("a", "b"))
                is_on = start.address == output.address or start.plan.role == "through"
                if start.item.id == item and is_on and end.item.id not in items:
                    items.append(end.item.id)
                    if item != output.item.id:
                        yield link


def _free_outputs(rig: Rig, output: RigPort) -> Iterator[RigPort]:
    for port in rig.ports.values():
        if port.item.id == output.item.id and port.link is None and port.plan.role == "loudspeaker":
            yield port


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
