"""An item: every block with its switches as they stand, how it is fed, what it sounds like."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from levelhead.gear.compile.addresses import check_figures
from levelhead.gear.compile.controls import (
    control_plans,
    instance_names,
    option_figures,
    options_chosen,
)
from levelhead.gear.compile.mixes import mix_plans, mix_start
from levelhead.gear.compile.parts import part_plans
from levelhead.gear.compile.paths import path_plans
from levelhead.gear.compile.ports import port_plans
from levelhead.gear.compile.standing import Chosen, Overrides, Standing
from levelhead.gear.figures import RawFigure
from levelhead.gear.model import BlockEntry, PowerEntry, TypeEntry
from levelhead.gear.plan import (
    AirPlan,
    BlockInstance,
    BlockPlan,
    ItemPlan,
    MixPlan,
    PortPlan,
    PowerPlan,
)

__all__ = ["compile_item"]


def compile_item(type_id: str, entry: TypeEntry, chosen: Chosen, figures: Overrides) -> ItemPlan:
    """Plan of an item.

    Parameters
    ----------
    chosen
        Option of each switch that is set, by its address below the item (``ch3.pad``).
    figures
        Figures of this very unit, by address below the item (``ch.power.gain``).

    Raises
    ------
    GearError
        A figure cannot be read or is none of the type's, a port is not known.
    """
    if figures:
        check_figures(entry, figures, type_id)
    root_chosen = options_chosen(entry, chosen)
    root_figures = option_figures(entry, root_chosen) | dict(figures)
    root = Standing(type_id, entry.source, root_chosen, root_figures)
    plan = _block_plan(entry, root, {})
    whole = BlockInstance("", "", plan, tuple(mix_plans(entry, "", "", root)))
    return ItemPlan(
        type_id=type_id,
        label=entry.label,
        kind=entry.kind,
        earth=entry.earth,
        blocks=(whole, *_instances(entry, chosen, root, plan.ports)),
        powered_by=tuple(_power_plans(entry.powered_by, root)),
        air=_air_plan(entry, root),
        needs_power=bool(entry.powered_by),
    )


def _block_plan(block: BlockEntry, standing: Standing, outer: Mapping[str, PortPlan]) -> BlockPlan:
    """A strip among the ports of the item that it stands in."""
    ports = port_plans(block, standing)
    return BlockPlan(
        ports=ports,
        controls=control_plans(block, standing.where),
        paths=tuple(path_plans(block, {**outer, **ports}, standing)),
        parts=tuple(part_plans(block, standing)),
    )


def _instances(
    entry: TypeEntry, chosen: Chosen, root: Standing, outer: Mapping[str, PortPlan]
) -> Iterator[BlockInstance]:
    """Every block as often as it is there; those that stand alike share one plan."""
    planned: dict[tuple[object, ...], tuple[BlockPlan, tuple[MixPlan, ...]]] = {}
    starts = {mix_start(mix)[0] for mix in entry.mix}
    for name, block in entry.blocks.items():
        for instance in instance_names(name, block):
            own = _below(chosen, instance)
            local = {key: str(value) for key, value in own.items()}
            block_chosen = {**root.chosen, **options_chosen(block, local)}
            block_figures = option_figures(block, block_chosen)
            for owner in (name, instance):
                block_figures |= _below(root.overrides, owner)
            alone = instance if instance in starts else name
            key = (alone, repr(sorted(block_chosen.items())), repr(sorted(block_figures.items())))
            if key not in planned:
                where = f"{root.where}, {name}"
                standing = Standing(where, entry.source, block_chosen, block_figures)
                plan = _block_plan(block, standing, outer)
                planned[key] = (plan, tuple(mix_plans(entry, name, instance, standing)))
            yield BlockInstance(instance, name, *planned[key])


def _below(
    settings: Mapping[str, str] | Mapping[str, RawFigure], owner: str
) -> dict[str, RawFigure]:
    """Settings of a block, by their addresses below it."""
    head = f"{owner}."
    return {key[len(head) :]: raw for key, raw in settings.items() if key.startswith(head)}


def _power_plans(entries: tuple[PowerEntry, ...], standing: Standing) -> Iterator[PowerPlan]:
    """Ways of being fed that are there as the switches stand."""
    for entry in entries:
        if not standing.holds(entry.when):
            continue
        yield PowerPlan(
            entry.kind,
            entry.phantom or entry.bias,
            standing.optional(entry.current, "A", "powered-by.current"),
            standing.optional(entry.minimum or entry.battery, "V", "powered-by.minimum"),
            standing.optional(entry.full, "V", "powered-by.full"),
        )


def _air_plan(entry: TypeEntry, standing: Standing) -> AirPlan | None:
    air = entry.air
    if air is None:
        return None
    return AirPlan(
        level_pa=standing.figure(air.level, "Pa", "air.level"),
        at_m=standing.figure(air.at, "m", "air.at").value,
        peak_to_rms_db=standing.figure(air.peak_to_rms, "dB", "air.peak-to-rms"),
        spectrum=air.spectrum,
        distance_m=standing.figure(air.distance, "m", "air.distance").value,
    )
