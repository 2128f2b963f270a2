"""From an entry of the gear book to its plan: ``like`` is already resolved, switches are applied here."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Literal

from levelhead.errors import GearError
from levelhead.gear.circuits import figure_rules
from levelhead.gear.figures import Figure, read_figure
from levelhead.gear.model import (
    BlockEntry,
    ControlEntry,
    GeneratorEntry,
    OriginEntry,
    PartEntry,
    PathEntry,
    PortEntry,
    RawFigure,
    SensitivityEntry,
    StageEntry,
    TypeEntry,
)
from levelhead.gear.plan import (
    AirPlan,
    BlockInstance,
    BlockPlan,
    CablePlan,
    ControlPlan,
    GeneratorPlan,
    ItemPlan,
    MeterPlan,
    MixPlan,
    OriginPlan,
    PartPlan,
    PathPlan,
    PortPlan,
    PowerPlan,
    StagePlan,
    Target,
)
from levelhead.quantity.parsing import parse_si

__all__ = ["compile_cable", "compile_item", "controls_of", "instance_names"]

Overrides = Mapping[str, RawFigure]
Chosen = Mapping[str, str]
PointUnit = Literal["V", "FS", "Pa"]

_PART_UNITS = {
    "value": {"resistor": "ohm", "capacitor": "F"},
    "ratio": "1",
    "magnetising": "H",
    "leakage": "H",
    "primary": "ohm",
    "secondary": "ohm",
}
_PAN = {"left": -1.0, "centre": 0.0, "right": 1.0}


class _Reader:
    """Reads figures of one entry; knows its customary source and where it stands."""

    def __init__(self, entry: TypeEntry, where: str) -> None:
        self.source = entry.source
        self.where = where

    def figure(self, raw: RawFigure, unit: str, name: str) -> Figure:
        return read_figure(raw, unit=unit, source=self.source, where=f"{self.where}.{name}")

    def optional(self, raw: RawFigure | None, unit: str, name: str) -> Figure | None:
        return None if raw is None else self.figure(raw, unit, name)


def instance_names(name: str, block: BlockEntry) -> tuple[str, ...]:
    """Names under which a block appears: ``ch`` times 4 is ch1..ch4, with sides ``main-left``.

    >>> instance_names("ch", BlockEntry(repeat=2))
    ('ch1', 'ch2')
    """
    if block.repeat is None:
        return (name,)
    if isinstance(block.repeat, int):
        return tuple(f"{name}{number}" for number in range(1, block.repeat + 1))
    return tuple(f"{name}-{side}" for side in block.repeat)


def _holds(when: Mapping[str, str] | None, chosen: Chosen) -> bool:
    return all(chosen.get(control) == option for control, option in (when or {}).items())


# --- controls -------------------------------------------------------------------------------------


def _control_plan(name: str, entry: ControlEntry) -> ControlPlan:
    if entry.options is not None:
        return ControlPlan(
            name=name,
            label=entry.label or name,
            kind="switch",
            low=0.0,
            high=0.0,
            default=entry.default,
            scale="even",
            options=tuple(entry.options),
            law_db=0.0,
            words=entry.words,
        )
    low_text, high_text = entry.range or ("off", "0 dB")
    is_pan = low_text in _PAN
    default = _PAN[entry.default] if is_pan else parse_si(entry.default, "dB")
    return ControlPlan(
        name=name,
        label=entry.label or name,
        kind="pan" if is_pan else "range",
        low=-1.0 if is_pan else parse_si(low_text, "dB"),
        high=1.0 if is_pan else parse_si(high_text, "dB"),
        default=default,
        scale=entry.scale,
        options=(),
        law_db=parse_si(entry.law, "dB") if entry.law else 0.0,
        words=entry.words,
    )


def _control_plans(block: BlockEntry) -> dict[str, ControlPlan]:
    plans = {}
    for name, entry in block.controls.items():
        numbered = (
            [name] if entry.repeat is None else [f"{name}{n + 1}" for n in range(entry.repeat)]
        )
        plans |= {each: _control_plan(each, entry) for each in numbered}
    return plans


def controls_of(entry: TypeEntry) -> dict[str, ControlPlan]:
    """All controls of a type by their address below the item, e.g. ``ch3.gain``."""
    found = dict(_control_plans(entry))
    for name, block in entry.blocks.items():
        plans = _control_plans(block)
        for instance in instance_names(name, block):
            found |= {f"{instance}.{control}": plan for control, plan in plans.items()}
    return found


def _option_figures(block: BlockEntry, chosen: Chosen) -> dict[str, RawFigure]:
    """Figures set by the options that are chosen; later controls win."""
    figures: dict[str, RawFigure] = {}
    for name, entry in block.controls.items():
        if entry.options is not None:
            figures |= entry.options.get(chosen.get(name, entry.default), {})
    return figures


def _chosen_of(block: BlockEntry, chosen: Chosen) -> dict[str, str]:
    return {
        name: chosen.get(name, entry.default)
        for name, entry in block.controls.items()
        if entry.options is not None
    }


# --- ports ----------------------------------------------------------------------------------------


def _below(overrides: Overrides, prefix: str) -> dict[str, RawFigure]:
    head = f"{prefix}."
    return {key[len(head) :]: raw for key, raw in overrides.items() if key.startswith(head)}


def _port_plan(name: str, entry: PortEntry, overrides: Overrides, read: _Reader) -> PortPlan:
    rules = figure_rules(entry.circuit)
    raw = entry.figures | _below(overrides, name)
    figures = {}
    for key, rule in rules.items():
        text = raw.get(key, rule.default)
        if text is not None:
            figures[key] = read.figure(text, rule.unit, f"{name}.{key}")
        elif not rule.optional:
            raise GearError(
                f"figure '{key}' is missing",
                where=f"{read.where}.{name}",
                expected=f"'{key}' of a {entry.circuit}, in {rule.unit}",
                remedy="Add the figure to the port.",
            )
    return PortPlan(
        name=name,
        label=entry.label or name,
        words=entry.words,
        socket=entry.socket,
        role=entry.role,
        circuit=entry.circuit,
        figures=figures,
        signals=entry.signals,
        joined=entry.joined,
        hole=entry.hole or name,
    )


def _target(name: str, side: str | None, ports: Mapping[str, PortPlan], where: str) -> Target:
    """A port named in a path: with sides, the port of that side or that signal of the port."""
    if side is not None and f"{name}-{side}" in ports:
        return Target(f"{name}-{side}", None)
    if name not in ports:
        raise GearError(
            f"unknown port '{name}'",
            where=where,
            expected=f"one of {', '.join(ports) or 'no ports'}",
            remedy="Name a port of this block or of the item.",
        )
    signal = side if side in ports[name].signals else None
    return Target(name, signal)


# --- paths ----------------------------------------------------------------------------------------


def _generator(entry: GeneratorEntry, overrides: Overrides, read: _Reader) -> GeneratorPlan:
    raw = entry.model_dump(by_alias=True) | _below(overrides, "generator")
    level = raw["level"]
    text = level if isinstance(level, str) else str(level["value"])
    unit: PointUnit = "FS" if "FS" in text else "V"
    return GeneratorPlan(
        level=read.figure(level, "dBFS" if unit == "FS" else "V", "generator.level"),
        unit="FS" if unit == "FS" else "V",
        peak_to_rms_db=read.figure(raw["peak-to-rms"], "dB", "generator.peak-to-rms"),
        spectrum=entry.spectrum,
        shared=read.figure(raw["shared"], "1", "generator.shared").value,
    )


def _origin(
    entry: OriginEntry,
    side: str | None,
    ports: Mapping[str, PortPlan],
    overrides: Overrides,
    read: _Reader,
) -> OriginPlan:
    gain = read.optional(entry.gain, "dB", "origin.gain")
    if entry.generator is not None:
        generator = _generator(entry.generator, overrides, read)
        return OriginPlan("generator", generator=generator, gain_db=gain)
    return OriginPlan(
        "port",
        port=_target(entry.port or "", side, ports, read.where),
        gain_db=gain,
        wins_when_plugged=entry.wins == "plugged",
    )


def _origins(
    path: PathEntry,
    side: str | None,
    ports: Mapping[str, PortPlan],
    chosen: Chosen,
    overrides: Overrides,
    read: _Reader,
) -> tuple[OriginPlan, ...]:
    if path.from_ == "air":
        return (OriginPlan("air"),)
    if path.from_ == "mix":
        return (OriginPlan("mix"),)
    if isinstance(path.from_, str):
        return (OriginPlan("port", port=_target(path.from_, side, ports, read.where)),)
    return tuple(
        _origin(entry, side, ports, overrides, read)
        for entry in path.from_
        if _holds(entry.when, chosen)
    )


def _unit_of_origin(origins: tuple[OriginPlan, ...]) -> PointUnit:
    first = origins[0] if origins else None
    if first is not None and first.kind == "air":
        return "Pa"
    if first is not None and first.generator is not None:
        return first.generator.unit
    return "V"


def _after(stage: StageEntry, unit: PointUnit) -> PointUnit:
    """Unit behind a stage: microphones, loudspeakers and converters change it."""
    if stage.full_scale is not None:
        return "V" if unit == "FS" else "FS"
    if stage.sensitivity is not None:
        return "V" if unit == "Pa" else "Pa"
    return unit


_LEVEL_UNIT: Mapping[str, str] = {"V": "V", "FS": "dBFS", "Pa": "Pa"}


def _ratio(stage: StageEntry, before: PointUnit, read: _Reader) -> Figure | None:
    """Factor by which the number changes where the unit does."""
    name = stage.stage
    if stage.full_scale is not None:
        volts = read.figure(stage.full_scale, "V", f"{name}.full-scale")
        return volts if before == "FS" else _inverse(volts)
    if isinstance(stage.sensitivity, SensitivityEntry):
        pascals = read.figure(stage.sensitivity.level, "Pa", f"{name}.sensitivity.level")
        volts = read.figure(stage.sensitivity.at, "V", f"{name}.sensitivity.at")
        return _scaled(pascals, 1 / volts.value, "Pa/V")
    if stage.sensitivity is not None:
        return read.figure(stage.sensitivity, "V/Pa", f"{name}.sensitivity")
    return None


def _scaled(figure: Figure, factor: float, unit: str) -> Figure:
    return Figure(
        figure.value * factor, figure.low * factor, figure.high * factor, unit, figure.source
    )


def _inverse(figure: Figure) -> Figure:
    return Figure(1 / figure.value, 1 / figure.high, 1 / figure.low, "1/V", figure.source)


def linear_full_scale(figure: Figure | None) -> Figure | None:
    """A level in dBFS as rms where a full-scale sine is 1 (AES17)."""
    if figure is None:
        return None
    value, low, high = (10 ** (db / 20) for db in (figure.value, figure.low, figure.high))
    return Figure(value, low, high, "FS", figure.source)


def _level(raw: RawFigure | None, unit: PointUnit, name: str, read: _Reader) -> Figure | None:
    figure = read.optional(raw, _LEVEL_UNIT[unit], name)
    return linear_full_scale(figure) if unit == "FS" else figure


def _stage_plan(stage: StageEntry, side: str | None, before: PointUnit, read: _Reader) -> StagePlan:
    name = f"{stage.stage}-{side}" if side else stage.stage
    unit = _after(stage, before)
    meter = None
    if stage.meter is not None:
        zero = _level(stage.meter.zero, unit, f"{name}.meter.zero", read)
        assert zero is not None
        meter = MeterPlan(stage.meter.kind, zero)
    return StagePlan(
        name=name,
        label=stage.label or stage.stage,
        unit=unit,
        control=stage.control,
        gain_db=read.optional(stage.gain, "dB", f"{name}.gain"),
        ratio=_ratio(stage, before, read),
        ceiling=_level(stage.ceiling, unit, f"{name}.ceiling", read),
        noise=_level(stage.noise, unit, f"{name}.noise", read),
        ein=read.optional(stage.ein, "V", f"{name}.ein"),
        self_noise=read.optional(stage.self_noise, "Pa", f"{name}.self-noise"),
        meter=meter,
    )


def _with_overrides(stage: StageEntry, overrides: Overrides) -> StageEntry:
    figures = _below(overrides, stage.stage)
    if not figures:
        return stage
    return StageEntry.model_validate(stage.model_dump(by_alias=True, exclude_none=True) | figures)


def _paths(
    block: BlockEntry,
    ports: Mapping[str, PortPlan],
    chosen: Chosen,
    overrides: Overrides,
    read: _Reader,
) -> Iterator[PathPlan]:
    path = block.path
    if path is None or not _holds(path.when, chosen):
        return
    for side in path.sides or (None,):
        origins = _origins(path, side, ports, chosen, overrides, read)
        unit = _unit_of_origin(origins)
        stages = []
        for entry in path.stages:
            if _holds(entry.when, chosen):
                plan = _stage_plan(_with_overrides(entry, overrides), side, unit, read)
                stages.append(plan)
                unit = plan.unit
        to_air = path.to == "air"
        to_port = None if path.to in (None, "air") else _target(path.to, side, ports, read.where)
        yield PathPlan(side, origins, tuple(stages), to_port, to_air)


# --- parts, blocks, items -------------------------------------------------------------------------


def _pin(text: str) -> tuple[str, str]:
    port, _, pin = text.rpartition(".")
    return port, pin


def _part_plan(entry: PartEntry, read: _Reader) -> PartPlan:
    kind: Literal["transformer", "wire", "resistor", "capacitor"]
    for kind in ("transformer", "wire", "resistor", "capacitor"):
        pins = getattr(entry, kind)
        if pins is not None:
            break
    figures = {}
    for name, unit in _PART_UNITS.items():
        raw = getattr(entry, name)
        if raw is not None:
            figures[name] = read.figure(raw, unit if isinstance(unit, str) else unit[kind], name)
    return PartPlan(kind, tuple(_pin(pin) for pin in pins), figures)


def _block_plan(
    block: BlockEntry,
    chosen: Chosen,
    overrides: Overrides,
    read: _Reader,
    outer: Mapping[str, PortPlan],
) -> BlockPlan:
    ports = {
        name: _port_plan(name, entry, overrides, read)
        for name, entry in block.ports.items()
        if _holds(entry.when, chosen)
    }
    return BlockPlan(
        ports=ports,
        controls=_control_plans(block),
        paths=tuple(_paths(block, outer | ports, chosen, overrides, read)),
        parts=tuple(_part_plan(part, read) for part in block.parts if _holds(part.when, chosen)),
    )


def _mixes(entry: TypeEntry, block: str, chosen: Chosen, read: _Reader) -> tuple[MixPlan, ...]:
    plans = []
    for mix in entry.mix:
        from_block, _, from_stage = mix.from_.rpartition(".")
        if from_block == block and _holds(mix.when, chosen):
            gain = read.optional(mix.gain, "dB", "mix.gain")
            plans.append(
                MixPlan(
                    from_block,
                    from_stage,
                    mix.to,
                    mix.control,
                    mix.law,
                    gain.value if gain else 0.0,
                )
            )
    return tuple(plans)


def _local(overrides: Overrides, names: tuple[str, ...]) -> dict[str, RawFigure]:
    """Overrides meant for a block, addressed by the block's name or by that of one instance."""
    found: dict[str, RawFigure] = {}
    for name in names:
        found |= _below(overrides, name)
    return found


def _air_plan(entry: TypeEntry, overrides: Overrides, read: _Reader) -> AirPlan | None:
    if entry.air is None:
        return None
    raw: dict[str, Any] = entry.air.model_dump(by_alias=True) | _below(overrides, "air")
    return AirPlan(
        level_pa=read.figure(raw["level"], "Pa", "air.level"),
        at_m=read.figure(raw["at"], "m", "air.at").value,
        peak_to_rms_db=read.figure(raw["peak-to-rms"], "dB", "air.peak-to-rms"),
        spectrum=entry.air.spectrum,
        distance_m=read.figure(raw["distance"], "m", "air.distance").value,
    )


def _power_plans(entry: TypeEntry, chosen: Chosen, read: _Reader) -> tuple[PowerPlan, ...]:
    plans = []
    for power in entry.powered_by:
        if not _holds(power.when, chosen):
            continue
        kind: Literal["phantom", "battery", "mains"] = (
            "phantom" if power.phantom else "battery" if power.battery else "mains"
        )
        plans.append(
            PowerPlan(
                kind,
                power.phantom,
                read.optional(power.current, "A", "powered-by.current"),
                read.optional(power.minimum or power.battery, "V", "powered-by.minimum"),
            )
        )
    return tuple(plans)


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
        A figure cannot be read, a port or stage is not known.
    """
    read = _Reader(entry, type_id)
    root_chosen = _chosen_of(entry, chosen)
    root_figures = _option_figures(entry, root_chosen) | dict(figures)
    root = _block_plan(entry, root_chosen, root_figures, read, {})
    blocks = [BlockInstance("", "", root, _mixes(entry, "", root_chosen, read))]
    for name, block in entry.blocks.items():
        seen: dict[tuple[object, ...], BlockInstance] = {}
        for instance in instance_names(name, block):
            local = {key: str(value) for key, value in _below(chosen, instance).items()}
            block_chosen = root_chosen | _chosen_of(block, local)
            block_figures = _option_figures(block, block_chosen) | _local(
                root_figures, (name, instance)
            )
            key = (
                tuple(sorted(block_chosen.items())),
                repr(sorted(block_figures.items(), key=str)),
            )
            if key not in seen:
                plan = _block_plan(block, block_chosen, block_figures, read, root.ports)
                mixes = _mixes(entry, name, block_chosen, read)
                seen[key] = BlockInstance(instance, name, plan, mixes)
            blocks.append(BlockInstance(instance, name, seen[key].plan, seen[key].mixes))
    return ItemPlan(
        type_id=type_id,
        label=entry.label,
        kind=entry.kind,
        earth=entry.earth,
        blocks=tuple(blocks),
        powered_by=_power_plans(entry, root_chosen, read),
        air=_air_plan(entry, figures, read),
    )


def _joins(entry: TypeEntry) -> tuple[tuple[tuple[str, str], tuple[str, str]], ...]:
    joins = []
    for start, ends in (entry.map or {}).items():
        for end in [ends] if isinstance(ends, str) else ends:
            joins.append((_pin(start), _pin(end)))
    return tuple(joins)


def compile_cable(type_id: str, entry: TypeEntry) -> CablePlan:
    """Plan of a cable or adaptor type; an adaptor has conductors of no length."""
    read = _Reader(entry, type_id)
    wire = entry.wire
    return CablePlan(
        type_id=type_id,
        label=entry.label,
        ends=dict(entry.ends or {}),
        joins=_joins(entry),
        core_ohm_per_m=read.optional(wire and wire.core, "ohm/m", "wire.core"),
        screen_ohm_per_m=read.optional(wire and wire.screen, "ohm/m", "wire.screen"),
        core_core_f_per_m=read.optional(wire and wire.core_core, "F/m", "wire.core-core"),
        core_screen_f_per_m=read.optional(wire and wire.core_screen, "F/m", "wire.core-screen"),
        usual_length_m=read.figure(entry.usual_length or "3 m", "m", "usual-length").value,
    )
