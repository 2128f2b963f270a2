"""Which plugged sockets of an item a signal that comes in by one leaves by, and where it ends.

Read off the paths, the parts and the joined sockets of the item; levels do not count, so that a
connection stands on paper also while it is turned down.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from levelhead.exchange.paperwork.work import Lead, Paperwork
from levelhead.gear.plan import BlockInstance, PathPlan
from levelhead.rig.model import RigItem, RigPort

__all__ = ["Leaf", "Leg", "leaves", "leaves_by", "legs_before", "mixes_several", "upstream"]


@dataclass(frozen=True, slots=True)
class Leaf:
    """Where a way from an output ends: the port, the lead into it, and the ports passed before."""

    port: RigPort
    lead: Lead
    passed: tuple[RigPort, ...]


@dataclass(frozen=True, slots=True)
class Leg:
    """A lead on the way of a signal, with the sockets that it leaves and comes into."""

    lead: Lead
    out: RigPort
    into: RigPort


def leaves_by(work: Paperwork, port: RigPort) -> tuple[RigPort, ...]:
    """Plugged sockets by which a signal at a port of an item leaves it, joined ones too."""
    names = set(_by_paths(port)) | set(_joined(port))
    if port.block.plan.parts:
        names |= port.block.plan.ports.keys()
    found = [work.rig.ports[port.sibling(name)] for name in port.block.plan.ports if name in names]
    found += [work.rig.ports[f"{port.item.id}.{name}"] for name in dict.fromkeys(_mixed(port))]
    return tuple(
        each
        for each in found
        if each.address != port.address and each.plan.gives and each.address in work.lead_at
    )


def _by_paths(port: RigPort) -> Iterator[str]:
    for path in port.block.plan.paths:
        is_from = any(each.port and each.port.port == port.plan.name for each in path.origins)
        if is_from and path.to_port is not None:
            yield path.to_port.port


def _joined(port: RigPort) -> Iterator[str]:
    """Sockets on the same wire."""
    wire = port.plan.joined or port.plan.name
    for name, plan in port.block.plan.ports.items():
        if wire in (name, plan.joined):
            yield name


def _mixed(port: RigPort) -> Iterator[str]:
    """Sockets of the item behind the mixes that paths from this port lead into."""
    for path in port.block.plan.paths:
        is_from = any(each.port and each.port.port == port.plan.name for each in path.origins)
        if is_from and path.to_port is None and not path.to_air:
            yield from _behind_mixes(port.item, port.block, path, frozenset())


def _behind_mixes(
    item: RigItem, block: BlockInstance, path: PathPlan, seen: frozenset[str]
) -> Iterator[str]:
    """Sockets by which what passes a path leaves, through as many mixes as there are."""
    stages = {stage.name for stage in path.stages}
    into = {mix.to_block for mix in block.mixes if mix.from_stage in stages}
    for other in item.plan.blocks:
        if not {other.name, other.block} & into or other.name in seen:
            continue
        for onward in other.plan.paths:
            if onward.to_port is not None:
                name = onward.to_port.port
                yield other.address(name) if name in other.plan.ports else name
            yield from _behind_mixes(item, other, onward, seen | {other.name})


def leaves(work: Paperwork, out: RigPort, passed: tuple[RigPort, ...] = ()) -> Iterator[Leaf]:
    """Where the signal of an output goes in the end: loudspeakers, recorders, other mixers."""
    lead = work.lead_at.get(out.address)
    before = {each.item.id for each in passed}
    for port in () if lead is None else lead.others(out.address):
        if lead is None or port.plan.drives or port.item.id in before:
            continue
        onward = () if port.item.id in work.mixers else leaves_by(work, port)
        is_heard = any(path.to_air for _, path in port.item.paths())
        if is_heard or not onward:
            yield Leaf(port, lead, passed)
        for each in onward:
            yield from leaves(work, each, (*passed, port))


def upstream(work: Paperwork, port: RigPort) -> list[str]:
    """Items before an input, nearest first, as far as one item alone feeds each of them."""
    chain: list[str] = []
    fed = [port]
    while fed:
        giving = [each for each in (_giving(work, port) for port in fed) if each is not None]
        items = {each.item.id for each in giving}
        if len(items) != 1 or items & set(chain):
            break
        chain += items
        fed = _inputs_of(work, giving)
    return chain


def legs_before(work: Paperwork, port: RigPort) -> list[Leg]:
    """Leads before an input, from the source on; of two that a box takes the first counts."""
    found: list[Leg] = []
    ahead: RigPort | None = port
    while ahead is not None:
        out = _giving(work, ahead)
        if out is None or any(out.item.id == leg.out.item.id for leg in found):
            break
        found.append(Leg(work.lead_at[ahead.address], out, ahead))
        ahead = next(iter(_inputs_of(work, [out])), None)
    return found[::-1]


def mixes_several(work: Paperwork, out: RigPort) -> bool:
    """Whether an output of a mixer carries several plugged inputs: no one of them is its source."""
    return out.item.id in work.mixers and len(_inputs_of(work, [out])) > 1


def _giving(work: Paperwork, port: RigPort) -> RigPort | None:
    """The output at the other end of the lead that is plugged into an input."""
    lead = work.lead_at.get(port.address)
    others = () if lead is None else lead.others(port.address)
    return next((other for other in others if other.plan.role != "in"), None)


def _inputs_of(work: Paperwork, giving: list[RigPort]) -> list[RigPort]:
    """Plugged inputs of an item whose signal leaves by some of its outputs."""
    out = {port.address for port in giving}
    return [
        port
        for port in work.rig.ports.values()
        if port.item.id == giving[0].item.id
        and port.plan.role == "in"
        and port.address in work.lead_at
        and out & {each.address for each in leaves_by(work, port)}
    ]
