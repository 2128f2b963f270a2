"""Crossings of mixers that switches keep shut: mutes, routing switches, with what opens each.

A crossing that is switched away is no way of the solved rig at all; here it is found again, to
tell what could come.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from levelhead.chain.solution import Solution
from levelhead.chain.wired.mixing import Strips
from levelhead.gear.compile.mixes import mix_start
from levelhead.gear.model import MixEntry
from levelhead.gear.plan import BlockInstance
from levelhead.rig.model import RigItem

__all__ = ["ShutCrossing", "shut_crossings"]


@dataclass(frozen=True, slots=True)
class ShutCrossing:
    """A way from a stage into a sum that is there once its switches stand as in ``opened_by``."""

    source: int
    target: int
    opened_by: Mapping[str, str]


def shut_crossings(solution: Solution) -> Iterator[ShutCrossing]:
    """Every crossing that some switch keeps shut as the rig stands."""
    rig = solution.rig
    strips = Strips(solution.graph.wiring.banks)
    for item in rig.items.values():
        switched = [each for each in rig.book.entry(item.plan.type_id).mix if each.when]
        for mix in switched:
            yield from _shut(solution, strips, item, mix)


def _shut(
    solution: Solution, strips: Strips, item: RigItem, mix: MixEntry
) -> Iterator[ShutCrossing]:
    start, stage = mix_start(mix)
    for block in item.plan.blocks:
        opened_by = _opened_by(solution, item, block, mix) if start in _names(block) else {}
        source = strips.numbers(item, [block], stage) if opened_by else None
        if source is not None:
            for target in _sums(strips, item, mix.to):
                yield ShutCrossing(int(source[0]), target, opened_by)


def _names(block: BlockInstance) -> tuple[str, str]:
    return block.block, block.name


def _opened_by(
    solution: Solution, item: RigItem, block: BlockInstance, mix: MixEntry
) -> dict[str, str]:
    """Switches of a crossing that stand otherwise than it wants, as they would have to stand."""
    wanted = {
        solution.rig.control_of(item, block, name): option
        for name, option in (mix.when or {}).items()
    }
    return {
        control: option
        for control, option in wanted.items()
        if control in solution.rig.controls and solution.rig.setting(control) != option
    }


def _sums(strips: Strips, item: RigItem, to: str) -> Iterator[int]:
    for block in item.plan.blocks:
        if to in _names(block) and block.plan.paths:
            found = strips.numbers(item, [block], block.plan.paths[0].stages[0].name)
            if found is not None:
                yield int(found[0])
