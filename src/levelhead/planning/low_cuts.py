"""Low cuts of the strips that microphones come into: bass that no voice needs rings no more."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from levelhead.acoustics.of_gear import Ear
from levelhead.chain.solution import Solution
from levelhead.gear.plan import BlockInstance
from levelhead.planning.desks import Desk
from levelhead.rig.model import RigItem
from levelhead.show.edits import Set

__all__ = ["low_cut_edits", "strips_of"]


def low_cut_edits(solution: Solution, ears: Sequence[Ear]) -> tuple[Set, ...]:
    """Every low cut that some microphones pass and that is out, switched in; none where locked."""
    rig = solution.rig
    found = dict[str, str]()
    for ear in ears:
        for item, strip in strips_of(solution, ear):
            for control, option in Desk(rig, item).low_cuts(strip):
                if control not in rig.show.locks and control not in rig.facts:
                    found[control] = option
    return tuple(Set(control, option) for control, option in found.items())


def strips_of(solution: Solution, ear: Ear) -> Iterator[tuple[RigItem, BlockInstance]]:
    """Strips that a microphone comes into, on their way to a mix; each once."""
    rig, addresses = solution.rig, solution.graph.wiring.addresses
    told = set[tuple[str, str]]()
    for point in _reached(solution, ear.number):
        item_id, _, local = addresses[point].partition(".")
        item = rig.items.get(item_id)
        for block in () if item is None else item.plan.blocks:
            is_here = bool(block.name) and local.startswith(f"{block.name}.")
            if item is None or not is_here or (item_id, block.name) in told:
                continue
            if block.mixes and _is_plugged_into(block):
                told.add((item_id, block.name))
                yield item, block


def _is_plugged_into(block: BlockInstance) -> bool:
    """Whether a block begins at a socket: it is a strip and no sum."""
    return any(origin.port for path in block.plan.paths for origin in path.origins)


def _reached(solution: Solution, start: int) -> list[int]:
    """Points behind a point, nearest first."""
    columns = solution.graph.columns
    onward: dict[int, list[int]] = {}
    for source, target in zip(columns.source.tolist(), columns.target.tolist(), strict=True):
        onward.setdefault(source, []).append(target)
    found = {start: None}
    for point in (waiting := [start]):
        for target in onward.get(point, []):
            if target not in found:
                found[target] = None
                waiting.append(target)
    return list(found)
