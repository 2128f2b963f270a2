"""Crossings of a mixer."""

from __future__ import annotations

from collections.abc import Iterator

from levelhead.gear.compile.standing import Standing
from levelhead.gear.model import MixEntry, TypeEntry
from levelhead.gear.plan import MixPlan

__all__ = ["mix_plans", "mix_start"]


def mix_start(mix: MixEntry) -> tuple[str, str]:
    """Block and stage where a crossing begins; the item itself has no block name.

    >>> mix_start(MixEntry(from_="ch.fader", to="main"))
    ('ch', 'fader')
    """
    block, _, stage = mix.from_.rpartition(".")
    return block, stage


def mix_plans(entry: TypeEntry, block: str, instance: str, standing: Standing) -> Iterator[MixPlan]:
    """Crossings that begin in a block, or in this one of its strips, as the switches stand.

    One from a stage that is not there now begins at the stage before it.
    """
    for mix in entry.mix:
        from_block, from_stage = mix_start(mix)
        if from_block in (block, instance) and standing.holds(mix.when):
            gain = standing.optional(mix.gain, "dB", "mix.gain")
            yield MixPlan(
                from_block=from_block,
                from_stage=_standing_stage(entry, block, from_stage, standing),
                to_block=mix.to,
                control=mix.control,
                law=mix.law,
                gain_db=0.0 if gain is None else gain.value,
            )


def _standing_stage(entry: TypeEntry, block: str, name: str, standing: Standing) -> str:
    """The stage of this name, or the last one before it that is there as the switches stand."""
    strip = entry.blocks[block] if block else entry
    if strip.path is None:
        return name
    for side in ("", *(f"-{each}" for each in strip.path.sides)):
        found = name
        for stage in strip.path.stages:
            is_there = standing.holds(stage.when)
            found = f"{stage.stage}{side}" if is_there else found
            if f"{stage.stage}{side}" == name:
                return found
    return name
