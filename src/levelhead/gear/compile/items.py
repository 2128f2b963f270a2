"""An item: every block with its switches as they stand, how it is fed, what it sounds like."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TypeAlias

from levelhead.gear.compile.addresses import check_figures
from levelhead.gear.compile.contacts import contact_plans
from levelhead.gear.compile.controls import (
    control_plans,
    instance_names,
    option_figures,
    options_chosen,
    repeated_controls,
)
from levelhead.gear.compile.mixes import mix_plans, mix_start
from levelhead.gear.compile.parts import part_plans, pin_place
from levelhead.gear.compile.paths import path_plans
from levelhead.gear.compile.ports import port_plans
from levelhead.gear.compile.standing import Chosen, Overrides, Standing
from levelhead.gear.compile.strips import STRIP, strip_of, tells_strips_apart
from levelhead.gear.figures import RawFigure
from levelhead.gear.model import BlockEntry, PowerEntry, TypeEntry
from levelhead.gear.plan import (
    AirPlan,
    BatteryPlan,
    BlockInstance,
    BlockPlan,
    ClockPlan,
    ItemPlan,
    MixPlan,
    PortPlan,
    PowerPlan,
)

__all__ = ["Planned", "compile_item"]


Planned: TypeAlias = dict[tuple[object, ...], tuple[BlockPlan, tuple[MixPlan, ...]]]
"""Plans of blocks and their crossings, by all that they follow from."""


def compile_item(
    type_id: str,
    entry: TypeEntry,
    chosen: Chosen,
    figures: Overrides,
    planned: Planned | None = None,
) -> ItemPlan:
    """Plan of an item.

    Parameters
    ----------
    chosen
        Option of each switch that is set, by its address below the item (``ch3.pad``).
    figures
        Figures of this very unit, by address below the item (``ch.power.gain``).
    planned
        Plans of blocks so far: a strip that stands as it stood is the same object.

    Raises
    ------
    GearError
        A figure cannot be read or is none of the type's, a port is not known.
    """
    if figures:
        check_figures(entry, figures, type_id)
    root_chosen = options_chosen(entry, chosen)
    root_figures = option_figures(entry, root_chosen) | dict(figures)
    root = Standing(type_id, entry.source, root_chosen, root_figures, repeated_controls(entry))
    plan = _block_plan(entry, root, {})
    whole = BlockInstance("", "", plan, tuple(mix_plans(entry, "", "", root)))
    strips = _Strips(entry, root, plan.ports, {} if planned is None else planned)
    return ItemPlan(
        type_id=type_id,
        label=entry.label,
        kind=entry.kind,
        earth=_earth(entry, root),
        blocks=(whole, *strips.instances(chosen)),
        powered_by=tuple(_power_plans(entry.powered_by, root)),
        air=_air_plan(entry, root),
        needs_power=bool(entry.powered_by),
        leakage=root.optional(entry.leakage, "A", "leakage"),
        draws=root.optional(entry.draws, "W", "draws"),
        thump=root.optional(entry.thump, "V", "thump"),
        pickup_area=root.optional(entry.pickup_area, "m2", "pickup-area"),
        is_worn=entry.worn,
        phantom_supply=root.optional(entry.phantom_supply, "A", "phantom-supply"),
        clock=_clock(entry, root),
        sample_rate=root.optional(entry.sample_rate, "Hz", "sample-rate"),
        listeners=entry.listeners,
        coverage_deg=entry.coverage,
        line_m=root.optional(entry.line, "m", "line"),
        directivity=entry.directivity,
        pattern=entry.pattern,
        batteries=tuple(
            BatteryPlan(each.cell, each.count) for each in entry.batteries if root.holds(each.when)
        ),
    )


def _block_plan(block: BlockEntry, standing: Standing, outer: Mapping[str, PortPlan]) -> BlockPlan:
    """A strip among the ports of the item that it stands in."""
    ports = port_plans(block, standing)
    return BlockPlan(
        ports=ports,
        controls=control_plans(block, standing.where),
        paths=tuple(path_plans(block, {**outer, **ports}, standing)),
        parts=tuple(part_plans(block, standing)),
        contacts=tuple(contact_plans(block, ports, standing)),
    )


@dataclass(frozen=True, slots=True)
class _Strips:
    """The blocks of an item, among the ports of the item itself."""

    entry: TypeEntry
    root: Standing
    outer: Mapping[str, PortPlan]
    planned: Planned

    def instances(self, chosen: Chosen) -> Iterator[BlockInstance]:
        """Every block as often as it is there; those that stand alike share one plan."""
        for name, block in self.entry.blocks.items():
            for instance in instance_names(name, block):
                own = _below(chosen, instance)
                local = {key: str(value) for key, value in own.items()}
                block_chosen = {**self.root.chosen, **options_chosen(block, local)}
                if tells_strips_apart(block):
                    block_chosen[STRIP] = strip_of(name, instance)
                yield BlockInstance(instance, name, *self._plan(name, instance, block_chosen))

    def _plan(
        self, name: str, instance: str, chosen: dict[str, str]
    ) -> tuple[BlockPlan, tuple[MixPlan, ...]]:
        block = self.entry.blocks[name]
        figures = option_figures(block, chosen)
        for owner in (name, instance):
            figures |= _below(self.root.overrides, owner)
        starts = {mix_start(mix)[0] for mix in self.entry.mix}
        alone = instance if instance in starts else name
        follows = (sorted(chosen.items()), sorted(figures.items()), self.root.overrides)
        key = (self.root.where, name, alone, repr(follows))
        if key not in self.planned:
            where = f"{self.root.where}, {name}"
            repeated = repeated_controls(self.entry, block)
            standing = Standing(where, self.entry.source, chosen, figures, repeated)
            plan = _block_plan(block, standing, self.outer)
            self.planned[key] = (plan, tuple(mix_plans(self.entry, name, instance, standing)))
        return self.planned[key]


def _below(
    settings: Mapping[str, str] | Mapping[str, RawFigure], owner: str
) -> dict[str, RawFigure]:
    """Settings of a block, by their addresses below it."""
    head = f"{owner}."
    return {key[len(head) :]: raw for key, raw in settings.items() if key.startswith(head)}


def _earth(entry: TypeEntry, standing: Standing) -> str:
    """How the item is earthed: by a way of being fed that is in use, else as its type is."""
    ways = (way.earth for way in entry.powered_by if standing.holds(way.when))
    return next((earth for earth in ways if earth is not None), entry.earth)


def _clock(entry: TypeEntry, standing: Standing) -> ClockPlan | None:
    """What sets its pace as the switches stand."""
    found = (each for each in entry.clock if standing.holds(each.when))
    return next((ClockPlan(each.port) for each in found), None)


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
            entry.switch and (pin_place(entry.switch[0]), pin_place(entry.switch[1])),
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
        within_db=standing.optional(air.within, "dB", "air.within"),
        under_zero_db=standing.optional(air.under_zero, "dB", "air.under-zero"),
    )
