"""``levelhead gear``: the gear book as a list, and one type with every figure and its source."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Final

from levelhead.cli.reports.columns import WIDTH, cut, paragraph
from levelhead.cli.reports.shaping_rows import shaping_rows
from levelhead.gear.book import GearBook
from levelhead.gear.compile import controls_of
from levelhead.gear.connectors import CONNECTORS
from levelhead.gear.figures import Figure
from levelhead.gear.model import BlockEntry, TypeEntry
from levelhead.gear.plan import (
    BlockInstance,
    CablePlan,
    ControlPlan,
    ItemPlan,
    PartPlan,
    PathPlan,
    PortPlan,
    StagePlan,
)
from levelhead.planning.weak_figures import named_figures
from levelhead.quantity.decibels import DBU_REFERENCE_V, P_REFERENCE_PA
from levelhead.quantity.formatting import format_level, format_si
from levelhead.rig.settings import setting_text
from levelhead.show.addresses import join_range

__all__ = ["gear_list", "gear_page"]

_ID: Final = 26
_NAME: Final = 24
_VALUE: Final = 14
_RANGE: Final = 25
_LEVEL_OF: Final[Mapping[str, tuple[float, str]]] = {  # how a level of each unit is written
    "V": (DBU_REFERENCE_V, "dBu"),
    "FS": (1.0, "dBFS"),
    "Pa": (P_REFERENCE_PA, "dB SPL"),
}


def gear_list(book: GearBook, ids: Sequence[str]) -> str:
    """Types by kind, in the order of the book."""
    if not ids:
        return "No type fits. List them all with: levelhead gear"
    width = max(_ID, *(len(each) + 2 for each in ids))
    lines: list[str] = []
    for kind in dict.fromkeys(book.entry(each).kind for each in ids):
        lines += ["", kind.capitalize()]
        for each in (each for each in ids if book.entry(each).kind == kind):
            lines += paragraph(
                book.entry(each).label, first=f"  {each:<{width}}", rest=" " * (width + 2)
            )
    count = "1 type" if len(ids) == 1 else f"{len(ids)} types"
    return "\n".join([*lines[1:], "", f"{count}. One in full: levelhead gear TYPE"])


def gear_page(book: GearBook, type_id: str) -> str:
    """One type: what it is called, sockets, controls, stages; figures with range and source."""
    entry = book.entry(type_id)
    lines = [*paragraph(f"{type_id}: {entry.label}")]
    if entry.words:
        lines += paragraph(f"also called {', '.join(entry.words)}", first="  ", rest="  ")
    if entry.note:
        lines += paragraph(entry.note, first="  ", rest="  ")
    lines += ["", _row("", "value", "95 % of all lie within", "source")]
    if entry.ends is not None:
        lines += _cable_lines(book.cable(type_id))
    else:
        plan = book.plan(type_id, {}, {})
        lines += [*_item_lines(entry, plan), *_control_lines(controls_of(entry))]
        lines += _own_figure_lines(plan, book)
    return "\n".join(lines)


def _own_figure_lines(plan: ItemPlan, book: GearBook) -> list[str]:
    """How to write a figure of one unit, by the first that the type gives, else has."""
    entry = book.entry(plan.type_id)
    addresses = [address for address, _ in named_figures(plan, book)]
    if not addresses:
        return []
    address = next((each for each in addresses if _is_given(entry, each)), addresses[0])
    text = f"A reading of your own unit: --figure ITEM.{address}=..., or in its show:"
    return ["", *paragraph(f"{text} figures: {{{address}: ...}}")]


def _is_given(entry: TypeEntry, address: str) -> bool:
    """Whether a figure of a port stands in the entry, and so on the page; not by default alone."""
    port, _, figure = address.rpartition(".")
    local = port.rpartition(".")[2]
    blocks: tuple[BlockEntry, ...] = (entry, *entry.blocks.values())
    return any(local in each.ports and figure in each.ports[local].figures for each in blocks)


# ---------------------------------------------------------------- figures


def _row(name: str, value: str, range_: str, source: str) -> str:
    columns = f"{cut(name, _NAME - 1):<{_NAME}}{value:>{_VALUE}}  {range_:<{_RANGE}}{source}"
    return cut(columns, WIDTH)


def _figure_row(name: str, figure: Figure) -> str:
    """A figure as it stands: ohms, volts, decibels."""
    return _text_row(name, figure, *(_plain(value, figure.unit) for value in _three(figure)))


def _level_row(name: str, figure: Figure) -> str:
    """A figure that people know as a level."""
    if figure.unit not in _LEVEL_OF:
        return _figure_row(name, figure)
    reference, unit = _LEVEL_OF[figure.unit]
    levels = (20 * math.log10(value / reference) for value in _three(figure))
    return _text_row(name, figure, *(format_level(level, unit) for level in levels))


def _text_row(name: str, figure: Figure, value: str, low: str, high: str) -> str:
    """A row; a range names its unit once where both ends have the same."""
    unit = high.partition(" ")[2]
    shared = low.removesuffix(f" {unit}") if unit else low
    return _row(
        f"    {name}", value, value if low == high else f"{shared} to {high}", figure.source
    )


def _three(figure: Figure) -> tuple[float, float, float]:
    return figure.value, figure.low, figure.high


def _plain(value: float, unit: str) -> str:
    if unit.startswith("dB"):
        return format_level(value, unit)
    if unit in {"1", "1/V"}:
        return f"{value:.3g} {unit}".removesuffix(" 1")
    return format_si(value, unit)


# ---------------------------------------------------------------- gear with sockets


def _item_lines(entry: TypeEntry, plan: ItemPlan) -> Iterator[str]:
    yield from _power_lines(plan)
    for block, name in _kinds_of_blocks(plan):
        raw = entry.blocks[block.block] if block.block else entry
        yield from _socket_lines(raw, block, name)
        yield from _part_lines(block.plan.parts)
        for path in block.plan.paths[:1]:  # a second one is the other side of the same
            yield from _path_lines(path, name)
    if plan.air is not None:
        yield f"  sound, {plan.air.at_m:g} m away"
        yield _level_row("level", plan.air.level_pa)
        if plan.air.within_db is not None:
            yield _figure_row("strays by", plan.air.within_db)
        if plan.air.under_zero_db is not None:
            yield _figure_row("under zero", plan.air.under_zero_db)
        yield _figure_row("peak to rms", plan.air.peak_to_rms_db)


def _kinds_of_blocks(plan: ItemPlan) -> Iterator[tuple[BlockInstance, str]]:
    """The first strip of each kind, under a name that stands for all of them: ``ch[1-4]``."""
    for kind in dict.fromkeys(block.block for block in plan.blocks):
        alike = [block for block in plan.blocks if block.block == kind]
        names = [block.name for block in alike]
        yield alike[0], _range_of(names)


def _range_of(names: Sequence[str]) -> str:
    """``ch[1-4]`` for four strips, ``main-left/main-right`` for names that do not count."""
    joined = join_range([f"{name}.any" for name in names])
    return "/".join(names) if joined is None else joined.removesuffix(".any")


def _power_lines(plan: ItemPlan) -> Iterator[str]:
    for way in plan.powered_by:
        yield f"  lives on {way.kind}" + (f" at {way.port}" if way.port else "")
        if way.current is not None:
            yield _figure_row("current", way.current)
        if way.minimum is not None:
            yield _figure_row("needs at least", way.minimum)
        if way.full is not None:
            yield _figure_row("ceilings whole from", way.full)


def _socket_lines(raw: BlockEntry, block: BlockInstance, name: str) -> Iterator[str]:
    """Sockets with the figures that the entry gives; left and right ones of a pair together."""
    told: list[PortPlan] = []
    for port in block.plan.ports.values():
        left = next((each for each in told if _is_pair(each, port)), None)
        if left is None:
            told.append(port)
            pair = [each.name for each in block.plan.ports.values() if _is_pair(port, each)]
            local = "/".join((port.name, *pair))
            joined = f", the same wire as {port.joined}" if port.joined else ""
            label = port.label.removesuffix(" left") if pair else port.label
            what = f"{label} ({CONNECTORS[port.socket].label}){joined}"
            place = f"{name}.{local}" if name else local
            yield from paragraph(f"{place}: {what}", first="  ", rest="    ")
            written = raw.ports[port.name].figures
            yield from (
                _figure_row(key, each) for key, each in port.figures.items() if key in written
            )


def _is_pair(left: PortPlan, right: PortPlan) -> bool:
    """Whether two sockets are the left and the right one of a pair."""
    stem = left.name.removesuffix("-left")
    return stem != left.name and right.name == f"{stem}-right"


def _path_lines(path: PathPlan, name: str) -> Iterator[str]:
    for origin in path.origins:
        if origin.generator is not None:
            yield "  its own signal, loud passage"
            yield _level_row("level", origin.generator.level)
            yield _figure_row("peak to rms", origin.generator.peak_to_rms_db)
    for stage in path.stages:
        turned = f", set by {stage.control}" if stage.control else ""
        place = f"{name}.{stage.of}" if name else stage.of
        yield from paragraph(f"stage {place}{turned}", first="  ", rest="    ")
        yield from _stage_rows(stage)


def _stage_rows(stage: StagePlan) -> Iterator[str]:
    if stage.gain_db is not None:
        yield _figure_row("gain", stage.gain_db)
    if stage.ratio is not None:
        yield _ratio_row(stage.ratio)
    levels = (
        ("ceiling", stage.ceiling),
        ("noise", stage.noise),
        ("input noise (EIN)", stage.ein),
        ("self-noise", stage.self_noise),
        ("meter reads 0 at", stage.meter.zero if stage.meter is not None else None),
    )
    yield from (_level_row(name, figure) for name, figure in levels if figure is not None)
    yield from shaping_rows(stage.shaping, figure_row=_figure_row, level_row=_level_row)


def _ratio_row(ratio: Figure) -> str:
    """Where units change: a microphone's sensitivity, a converter's full scale, a loudspeaker's."""
    if ratio.unit == "Pa/V":
        return _level_row("at 1 m, for 1 V", replace(ratio, unit="Pa"))
    return _figure_row("full scale" if ratio.unit == "V" else "sensitivity", ratio)


def _control_lines(controls: Mapping[str, ControlPlan]) -> Iterator[str]:
    """Controls; those of alike strips once."""
    alike: dict[tuple[str, str], list[str]] = {}
    for address, control in controls.items():
        block = address.rpartition(".")[0].rstrip("0123456789")
        alike.setdefault((block, _kind_of(control)), []).append(address)
    for addresses in alike.values():
        control = controls[addresses[0]]
        default = setting_text(control.default, control)
        names = join_range(addresses) or _first_and_last(addresses)
        text = f"control {names}: {_span(control)}"
        yield from paragraph(f"{text}; {default} unless set", first="  ", rest="    ")


def _kind_of(control: ControlPlan) -> str:
    """The name of a control, or of all those that are there by a list of names: ``band``."""
    stem, _, _ = control.name.partition("-")
    return stem if stem == control.label else control.name


def _first_and_last(addresses: Sequence[str]) -> str:
    return addresses[0] if len(addresses) == 1 else f"{addresses[0]} to {addresses[-1]}"


def _span(control: ControlPlan) -> str:
    if control.kind == "switch":
        return ", ".join(control.options)
    return f"{setting_text(control.low, control)} to {setting_text(control.high, control)}"


def _part_lines(parts: Sequence[PartPlan]) -> Iterator[str]:
    for part in parts:
        if part.figures:
            yield f"  {part.kind} {', '.join('.'.join(pin) for pin in part.pins)}"
        yield from (_figure_row(key, each) for key, each in part.figures.items())


# ---------------------------------------------------------------- cables


def _cable_lines(cable: CablePlan) -> Iterator[str]:
    for end, socket in cable.ends.items():
        yield f"  end {end}: {CONNECTORS[socket].label}"
    pins = ", ".join(f"{a}.{b} to {c}.{d}" for (a, b), (c, d) in cable.joins)
    yield from paragraph(f"pins: {pins}", first="  ", rest="    ")
    figures = {
        "each core": cable.core_ohm_per_m,
        "screen": cable.screen_ohm_per_m,
        "core to core": cable.core_core_f_per_m,
        "core to screen": cable.core_screen_f_per_m,
        "reach": cable.reach_m,
    }
    yield from (_figure_row(name, figure) for name, figure in figures.items() if figure)
    yield from _part_lines(cable.parts)
    if cable.usual_length_m:
        yield f"  {cable.usual_length_m:g} m unless said otherwise"
