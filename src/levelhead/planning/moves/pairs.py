"""A stereo lead moved to two strips that have gain, where a pair of fixed inputs lacks it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from levelhead.planning.moves.boxes import fans
from levelhead.planning.moves.candidate import COST_OF_SOCKET, Candidate
from levelhead.planning.trial import Trial
from levelhead.rig.model import Rig, RigPort
from levelhead.show.edits import Plug, Set, Unplug
from levelhead.verdicts.enough.gain import TOO_LOW
from levelhead.verdicts.told.finding import Finding

__all__ = ["pairs_moved"]

_SIDES: Final = ("left", "right")
_FAN: Final = {"a", *_SIDES}
_PAIR: Final = 2


def pairs_moved(trial: Trial, finding: Finding) -> Iterator[Candidate]:
    """Both sides of a Y lead into two free strips beside each other, panned to the sides."""
    if finding.code != TOO_LOW:
        return
    rig = trial.solution.rig
    for link in trial.show.links:
        is_about = {*finding.ports, finding.where} & set(link.ends.values())
        if set(link.ends) != _FAN or not is_about:
            continue
        start, near = rig.ports[link.ends["a"]], rig.ports[link.ends["left"]]
        for left, right in _strips(rig, near):
            lead = next(fans(trial.book, start.plan, left.plan, right.plan), None)
            if lead is not None:
                ends = {"a": start.address, "left": left.address, "right": right.address}
                plug = Plug(link.another_lead(lead.type_id, ends))
                yield Candidate((Unplug(link), plug, *_panned(left, right)), COST_OF_SOCKET)


def _strips(rig: Rig, near: RigPort) -> Iterator[tuple[RigPort, RigPort]]:
    """The first two free inputs of each kind of strip but its own, those of its connector first."""
    free: dict[tuple[str, str], list[RigPort]] = {}
    for port in rig.ports.values():
        is_own = port.item.id == near.item.id and port.block.block != near.block.block
        if is_own and port.plan.role == "in" and _is_free(rig, port):
            free.setdefault((port.block.block, port.plan.name), []).append(port)
    kinds = sorted(free.values(), key=lambda ports: ports[0].plan.socket != near.plan.socket)
    for ports in kinds:
        if len(ports) >= _PAIR:
            yield ports[0], ports[1]


def _is_free(rig: Rig, port: RigPort) -> bool:
    beside = [rig.ports[port.sibling(name)] for name in port.block.plan.ports]
    return all(each.link is None for each in beside)


def _panned(*ports: RigPort) -> Iterator[Set]:
    for port, side in zip(ports, _SIDES, strict=True):
        for name, control in port.block.plan.controls.items():
            if control.kind == "pan":
                yield Set(port.sibling(name), side)
