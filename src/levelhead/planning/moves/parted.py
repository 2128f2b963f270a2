"""Left and right that are joined on one wire, each on its own way: its own box, its own input."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from levelhead.planning.moves.candidate import COST_OF_CABLE, COST_OF_SOCKET, Candidate
from levelhead.planning.trial import Trial
from levelhead.rig.model import Rig, RigPort
from levelhead.rig.usual import usual_cable
from levelhead.show.edits import AddItem, Edit, Plug, Set, Unplug
from levelhead.show.model import Cable, Item, Link
from levelhead.verdicts.loading.joined import JOINED
from levelhead.verdicts.told.finding import Finding
from levelhead.verdicts.wiring.cancelling import CANCELS

__all__ = ["sides_parted"]

_SIDES: Final = ("left", "right")
_OF_BOTH_SIDES: Final = frozenset({JOINED, CANCELS})


def sides_parted(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """Two outputs of one item that a lead joins: the second into the next input of that kind.

    Where they meet in a box, such as a DI box, the second gets another one. Or the first alone:
    many carry both sides on it while the second is empty.
    """
    if finding.code not in _OF_BOTH_SIDES:
        return
    rig = trial.solution.rig
    for link in trial.show.links:
        if not {*finding.ports, finding.where} & set(link.ends.values()):
            continue
        ports = [rig.ports[each] for each in link.ends.values()]
        outputs = [each for each in ports if each.plan.role == "out"]
        inputs = [each for each in ports if each.plan.role == "in"]
        is_pair = len({each.item.id for each in outputs}) == 1 and len(outputs) == len(_SIDES)
        if is_pair and len(inputs) == 1:
            edits = _parted(trial, link, outputs, inputs[0])
            if edits is not None:
                yield Candidate(tuple(edits), COST_OF_SOCKET)
            alone = _plug(trial, outputs[0], inputs[0], link)
            if alone is not None:
                yield Candidate((Unplug(link), alone), COST_OF_CABLE)


def _parted(trial: Trial, link: Link, outputs: list[RigPort], end: RigPort) -> list[Edit] | None:
    """Edits for both sides; ``None`` where no lead fits or no input is free."""
    first, second = outputs
    rig = trial.solution.rig
    plain = _next_free(rig, end)
    if plain is not None:
        plugs = [_plug(trial, side, to, link) for side, to in ((first, end), (second, plain))]
        found = [each for each in plugs if each is not None]
        both = [Unplug(link), *found, *_panned(end, plain)]
        return both if len(found) == len(plugs) else None
    return _by_another_box(trial, link, (first, second), end)


def _by_another_box(
    trial: Trial, link: Link, outputs: tuple[RigPort, RigPort], end: RigPort
) -> list[Edit] | None:
    rig = trial.solution.rig
    onward = next((each for each in trial.show.links if _leaves(rig, each, end)), None)
    if onward is None:
        return None
    near = next(each for each in onward.ends.values() if rig.ports[each].item.id == end.item.id)
    far = rig.ports[next(each for each in onward.ends.values() if each != near)]
    free = _next_free(rig, far)
    lead = _plug(trial, outputs[0], end, link)
    cable = usual_cable(trial.book, outputs[1].plan, end.plan)
    if free is None or lead is None or cable is None:
        return None
    name = trial.show.next_id(end.item.plan.type_id)
    local, leaving = (each.partition(".")[2] for each in (end.address, near))
    into = Link({"a": outputs[1].address, "b": f"{name}.{local}"}, (Cable(cable.type_id, None),))
    out = Link({"a": f"{name}.{leaving}", "b": free.address}, onward.via)
    box = AddItem(Item(name, end.item.plan.type_id))
    return [Unplug(link), lead, box, Plug(into), Plug(out), *_panned(far, free)]


def _leaves(rig: Rig, link: Link, end: RigPort) -> bool:
    """Whether a plain link leads out of the box of an input."""
    ports = [rig.ports[each] for each in link.ends.values()]
    own = [each for each in ports if each.item.id == end.item.id and each.plan.role != "in"]
    return set(link.ends) == {"a", "b"} and len(own) == 1


def _next_free(rig: Rig, port: RigPort) -> RigPort | None:
    """The next free input of that kind in another strip of its item."""
    for each in rig.ports.values():
        is_like = each.item.id == port.item.id and each.plan.name == port.plan.name
        is_other = each.block.block == port.block.block and each.block.name != port.block.name
        if (
            is_like
            and is_other
            and all(rig.ports[each.sibling(name)].link is None for name in each.block.plan.ports)
        ):
            return each
    return None


def _plug(trial: Trial, start: RigPort, end: RigPort, instead_of: Link) -> Plug | None:
    """By the usual lead, as long as the one whose place it takes."""
    cable = usual_cable(trial.book, start.plan, end.plan)
    if cable is None:
        return None
    ends = {"a": start.address, "b": end.address}
    return Plug(Link(ends, (Cable(cable.type_id, instead_of.length_m),)))


def _panned(*ports: RigPort) -> Iterator[Set]:
    for port, side in zip(ports, _SIDES, strict=True):
        for name, control in port.block.plan.controls.items():
            if control.kind == "pan":
                yield Set(port.sibling(name), side)
