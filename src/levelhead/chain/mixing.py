"""Mixers: crossings from strips to sums, and the law of a pan control."""

from __future__ import annotations

import math
from collections.abc import Iterator

from levelhead.chain.graph import Edge, Graph, factor_of_db
from levelhead.gear.plan import BlockInstance, MixPlan
from levelhead.rig.model import Rig, RigItem

__all__ = ["add_crossings", "pan_gain"]


def add_crossings(graph: Graph, rig: Rig, item: RigItem) -> None:
    """Every crossing of an item that is not off."""
    for block in item.plan.blocks:
        for mix in block.mixes:
            source = graph.index.get(f"{item.id}.{block.address(mix.from_stage)}")
            if source is not None:
                for edge in _crossings(graph, rig, item, block, mix, source):
                    graph.join(edge)


def _crossings(
    graph: Graph, rig: Rig, item: RigItem, block: BlockInstance, mix: MixPlan, source: int
) -> Iterator[Edge]:
    columns = [each for each in item.plan.blocks if mix.to_block in (each.block, each.name)]
    for column, sum_block in enumerate(columns):
        first = sum_block.plan.paths[0].stages[0]
        target = graph.index[f"{item.id}.{sum_block.address(first.name)}"]
        gain = factor_of_db(mix.gain_db) * graph.points[target].gain
        control = _control(rig, item, block, mix, column)
        if control is not None:
            gain *= _control_gain(rig, mix, control, column)
        yield Edge(source, target, gain, control=control)


def _control(
    rig: Rig, item: RigItem, block: BlockInstance, mix: MixPlan, column: int
) -> str | None:
    """Address of the control of a crossing: one for all columns, or one each (``send3``)."""
    if mix.control is None:
        return None
    control = rig.control_of(item, block, mix.control)
    if control in rig.controls:
        return control
    return rig.control_of(item, block, f"{mix.control}{column + 1}")


def _control_gain(rig: Rig, mix: MixPlan, control: str, column: int) -> float:
    if mix.law == "pan":
        position = float(rig.setting(control))
        return pan_gain(position, side=column % 2, law_db=rig.controls[control].law_db)
    return factor_of_db(rig.setting_db(control))


def pan_gain(position: float, *, side: int, law_db: float) -> float:
    """Gain to one side (0 left, 1 right) of a pan from -1 to +1, ``law_db`` down in the middle.

    >>> round(20 * math.log10(pan_gain(0.0, side=0, law_db=-3.0)), 2)
    -3.0
    >>> pan_gain(-1.0, side=0, law_db=-3.0), pan_gain(-1.0, side=1, law_db=-3.0)
    (1.0, 0.0)
    """
    toward = (1 + position) / 2 if side else (1 - position) / 2
    if toward <= 0:
        return 0.0
    exponent = law_db / (20 * math.log10(0.5))  # cos-like for -3 dB, straight for -6 dB
    return min(1.0, float(toward**exponent))
