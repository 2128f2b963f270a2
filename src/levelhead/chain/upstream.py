"""The part of a rig that a few sockets hang on: what is plugged there, and all that leads there.

What can be told of a socket without the rest of the rig is told by this part alone: its circuits
are whole, every path that drives them is there, and whatever feeds an item by a lead. What lies
behind is left out. Where a digital socket leads there, or a mix of many inputs, most of the rig
does, and nothing is cut.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from typing import Final

from levelhead.circuit.placed.pieces import live_ports
from levelhead.gear.plan import BlockInstance, PathPlan, Target
from levelhead.rig.model import Rig, RigItem, RigLink, RigPort

__all__ = ["part_leading_to"]

# A part with more saves nothing: the whole rig may as well be solved.
_MOST_LINKS: Final = 12
_MOST_OF_ALL: Final = 2 / 3
_FEW_LINKS: Final = 4  # are a part, be they all


def part_leading_to(rig: Rig, ports: Iterable[str]) -> Rig | None:
    """The part of a rig that some of its ports hang on; ``None`` where that is most of it."""
    part = _Part(rig)
    if not all(part.takes(rig.ports[each]) for each in ports):
        return None
    return part.rig()


@dataclass(slots=True)
class _Part:
    """What was found so far."""

    whole: Rig
    links: dict[int, RigLink] = field(default_factory=dict)
    blocks: dict[tuple[str, str], BlockInstance] = field(default_factory=dict)
    paths: set[tuple[str, str, int]] = field(default_factory=set)

    @property
    def _most(self) -> float:
        return max(_FEW_LINKS, min(_MOST_LINKS, _MOST_OF_ALL * len(self.whole.links)))

    def takes(self, port: RigPort) -> bool:
        """A port with its paths and what is plugged there; false where that leads too far."""
        self._keep(port)
        starting = [
            (block, path)
            for block, path in _paths_at(port)
            if any(_is_at(port, block, origin.port) for origin in path.origins)
        ]
        is_whole = all(self._takes_path(port.item, *each) for each in starting)
        return is_whole and self._takes_plugs(self.whole.links_at.get(port.address, ()))

    def rig(self) -> Rig:
        """A rig of these parts alone; everything in it is called as it was."""
        blocks: dict[str, list[BlockInstance]] = {}
        for (item, _), block in self.blocks.items():
            blocks.setdefault(item, []).append(block)
        items = {
            name: replace(item, plan=replace(item.plan, blocks=_in_order(item, blocks[name])))
            for name, item in self.whole.items.items()
            if name in blocks
        }
        ports = {
            address: port
            for address, port in self.whole.ports.items()
            if (port.item.id, port.block.name) in self.blocks
        }
        return replace(
            self.whole,
            items=items,
            ports=ports,
            links=tuple(self.links[number] for number in sorted(self.links)),
            misfits=(),
            sources=tuple(each for each in self.whole.sources if each.at in items),
            contacts=tuple(each for each in self.whole.contacts if each[0][1] in ports),
        )

    def _keep(self, port: RigPort) -> None:
        self.blocks[port.item.id, port.block.name] = port.block

    def _takes_plugs(self, links: Iterable[RigLink]) -> bool:
        """What hangs together with some links, and all that drives it."""
        waiting = [link for link in links if link.number not in self.links]
        found: dict[str, RigPort] = {}
        while waiting:
            link = waiting.pop()
            if link.number in self.links:
                continue
            self.links[link.number] = link
            if len(self.links) > self._most:
                return False
            for port in live_ports(self.whole, [link]):
                found[port.address] = port
                waiting += self._beside(port)
        return all(self._takes_driver(port) for port in found.values())

    def _beside(self, port: RigPort) -> Iterator[RigLink]:
        """Links at a port; of what has no earth, or is fed by a lead, all of them."""
        yield from self.whole.links_at.get(port.address, ())
        plan = port.item.plan
        if plan.earth != "mains" or any(way.port or way.switch for way in plan.powered_by):
            for block in plan.blocks:
                for name in block.plan.ports:
                    address = f"{port.item.id}.{block.address(name)}"
                    yield from self.whole.links_at.get(address, ())

    def _takes_driver(self, port: RigPort) -> bool:
        self._keep(port)
        if port.plan.is_digital or port.plan.carries != "audio":
            return False
        leaving = [
            (block, path)
            for block, path in _paths_at(port)
            if any(_is_at(port, block, target) for target in _ends(path))
        ]
        return all(self._takes_path(port.item, *each) for each in leaving)

    def _takes_path(self, item: RigItem, block: BlockInstance, path: PathPlan) -> bool:
        """A path of an item, with all that it begins with or that is inserted."""
        name = (item.id, block.name, id(path))
        if name in self.paths:
            return True
        self.paths.add(name)
        self.blocks[item.id, block.name] = block
        if any(origin.kind == "mix" for origin in path.origins) and not self._takes_all(item):
            return False
        begins = (origin.port for origin in path.origins)
        resumes = (stage.insert.back for stage in path.stages if stage.insert is not None)
        for target in (*begins, *resumes):
            if target is not None and not self._takes_entry(item, block, target):
                return False
        return True

    def _takes_all(self, item: RigItem) -> bool:
        """Everything that is mixed in an item, whatever it is mixed into."""
        return all(
            self._takes_path(item, block, path)
            for block in item.plan.blocks
            for path in block.plan.paths
        )

    def _takes_entry(self, item: RigItem, block: BlockInstance, target: Target) -> bool:
        is_own = target.port in block.plan.ports
        port = self.whole.ports[
            f"{item.id}.{block.address(target.port) if is_own else target.port}"
        ]
        self._keep(port)
        if port.plan.is_digital:
            return False
        return self._takes_plugs(self.whole.links_at.get(port.address, ()))


def _in_order(item: RigItem, blocks: Iterable[BlockInstance]) -> tuple[BlockInstance, ...]:
    kept = {block.name for block in blocks}
    return tuple(block for block in item.plan.blocks if block.name in kept)


def _paths_at(port: RigPort) -> Iterator[tuple[BlockInstance, PathPlan]]:
    """Paths that may name a port: those of its block; of a port of the item, all of them."""
    blocks = port.item.plan.blocks if not port.block.name else (port.block,)
    for block in blocks:
        for path in block.plan.paths:
            yield block, path


def _is_at(port: RigPort, block: BlockInstance, target: Target | None) -> bool:
    if target is None or target.port != port.plan.name:
        return False
    return block.name == port.block.name or target.port not in block.plan.ports


def _ends(path: PathPlan) -> Iterator[Target]:
    if path.to_port is not None:
        yield path.to_port
    yield from (stage.insert.send for stage in path.stages if stage.insert is not None)
