"""Mixers: crossings from strips to sums, and the law of a pan control."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from levelhead.chain.graph.points import factor_of_db
from levelhead.chain.wired.banks import Bank
from levelhead.chain.wired.wiring import NO_PAN, NONE, Wires, wires
from levelhead.gear.plan import BlockInstance, MixPlan
from levelhead.rig.model import Rig, RigItem

__all__ = ["Strips", "crossings", "pan_gain"]

Real = NDArray[np.float64]
Whole = NDArray[np.int64]
Numbering = Callable[[str], int]

_HALF_DB: Final = 20 * math.log10(0.5)


class Strips:
    """Where the stages of each block of each item stand."""

    def __init__(self, banks: Sequence[Bank]) -> None:
        self._rows: dict[tuple[str, str], list[tuple[Bank, int]]] = {}
        for bank in banks:
            for row, lane in enumerate(bank.lanes):
                self._rows.setdefault((lane.item.id, lane.block.name), []).append((bank, row))

    def numbers(self, item: RigItem, blocks: Sequence[BlockInstance], stage: str) -> Whole | None:
        """Points of one stage of blocks that share a plan; ``None`` if there is no such stage."""
        for place, (bank, _) in enumerate(self._rows.get((item.id, blocks[0].name), ())):
            names = [each.name for each in bank.path.stages]
            if stage in names:
                rows = [self._rows[item.id, block.name][place][1] for block in blocks]
                return bank.numbers[rows, names.index(stage)]
        return None


def crossings(rig: Rig, item: RigItem, strips: Strips, number_of: Numbering) -> Iterator[Wires]:
    """Every crossing of an item; ``number_of`` gives the number of a control."""
    mixer = _Mixer(rig, item, strips, number_of)
    for blocks in _alike(item):
        for mix in blocks[0].mixes:
            source = strips.numbers(item, blocks, mix.from_stage)
            if source is not None:
                yield from mixer.columns(blocks, mix, source)


def _alike(item: RigItem) -> list[list[BlockInstance]]:
    """Blocks that share plan and crossings, together."""
    found: dict[tuple[int, int], list[BlockInstance]] = {}
    for block in item.plan.blocks:
        if block.mixes:
            found.setdefault((id(block.plan), id(block.mixes)), []).append(block)
    return list(found.values())


@dataclass(frozen=True, slots=True)
class _Mixer:
    """One item whose strips are mixed."""

    rig: Rig
    item: RigItem
    strips: Strips
    number_of: Numbering

    def columns(
        self, blocks: Sequence[BlockInstance], mix: MixPlan, source: Whole
    ) -> Iterator[Wires]:
        """From strips that are alike to each sum that a crossing leads to."""
        sums = [each for each in self.item.plan.blocks if mix.to_block in (each.block, each.name)]
        for column, sum_block in enumerate(sums):
            if not sum_block.plan.paths:  # switched away
                continue
            first = sum_block.plan.paths[0].stages[0]
            target = self.strips.numbers(self.item, [sum_block], first.name)
            if target is None:
                continue
            names = self._controls(blocks, mix, column)
            is_pan = mix.law == "pan" and bool(names)
            yield wires(
                source,
                np.broadcast_to(target, source.shape),
                factor=factor_of_db(mix.gain_db),
                control=[self.number_of(name) for name in names] or NONE,
                pan=(column % 2, self.rig.controls[names[0]].law_db) if is_pan else NO_PAN,
            )

    def _controls(self, blocks: Sequence[BlockInstance], mix: MixPlan, column: int) -> list[str]:
        """Controls of a crossing: one for all columns, or one each (``send3``); or none."""
        if mix.control is None:
            return []
        found = [self.rig.control_of(self.item, block, mix.control) for block in blocks]
        if found[0] in self.rig.controls:
            return found
        own = f"{mix.control}{column + 1}"
        return [self.rig.control_of(self.item, block, own) for block in blocks]


def pan_gain(position: ArrayLike, *, side: ArrayLike, law_db: ArrayLike) -> Real:
    """Gain to one side (0 left, 1 right) of a pan from -1 to +1, ``law_db`` down in the middle.

    All three broadcast together.

    >>> round(20 * math.log10(pan_gain(0.0, side=0, law_db=-3.0)), 2)
    -3.0
    >>> pan_gain(-1.0, side=[0, 1], law_db=-3.0).tolist()
    [1.0, 0.0]
    """
    at = np.asarray(position, dtype=np.float64)
    toward = np.where(np.asarray(side) > 0, 1 + at, 1 - at) / 2
    exponent = np.asarray(law_db) / _HALF_DB  # cos-like for -3 dB, straight for -6 dB
    gain: Real = np.minimum(1.0, np.where(toward > 0, np.maximum(toward, 0.0) ** exponent, 0.0))
    return gain
