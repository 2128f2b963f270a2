"""Controls of a type, and what its switches choose."""

from __future__ import annotations

from typing import Final

from levelhead.errors import GearError, QuantityError
from levelhead.gear.compile.standing import Chosen
from levelhead.gear.figures import RawFigure
from levelhead.gear.model import BlockEntry, ControlEntry, TypeEntry
from levelhead.gear.plan import ControlPlan
from levelhead.gear.scales import PAN_POSITIONS
from levelhead.quantity.levels import Level
from levelhead.quantity.measure import Measure
from levelhead.quantity.parsing import parse, parse_si

__all__ = [
    "control_plans",
    "controls_of",
    "instance_names",
    "option_figures",
    "options_chosen",
    "repeated_controls",
]


_SET_BY_CONTROLS: Final = frozenset({"dB", "Hz", "s", "dBu", "dBV", "dBFS", "dB SPL"})


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


def controls_of(entry: TypeEntry) -> dict[str, ControlPlan]:
    """All controls of a type by their address below the item, e.g. ``ch3.gain``."""
    found = control_plans(entry, entry.label)
    for name, block in entry.blocks.items():
        plans = control_plans(block, f"{entry.label}, {name}")
        for instance in instance_names(name, block):
            found |= {f"{instance}.{control}": plan for control, plan in plans.items()}
    return found


def control_plans(block: BlockEntry, where: str) -> dict[str, ControlPlan]:
    """Controls of one strip, each under every name that it has on the panel."""
    return {
        each: _switch(each, entry) if entry.options is not None else _range(each, entry, where)
        for name, entry in block.controls.items()
        for each in entry.names(name)
    }


def options_chosen(block: BlockEntry, chosen: Chosen) -> dict[str, str]:
    """Where each switch of a strip stands: as chosen, else at its default."""
    return {
        each: chosen.get(each, entry.default)
        for name, entry in block.controls.items()
        if entry.options is not None
        for each in entry.names(name)
    }


def option_figures(block: BlockEntry, chosen: Chosen) -> dict[str, RawFigure]:
    """Figures set by the options that are chosen; of two switches the later one wins."""
    figures: dict[str, RawFigure] = {}
    for name, entry in block.controls.items():
        if entry.options is not None:
            for each in entry.names(name):
                figures |= entry.options.get(chosen.get(each, entry.default), {})
    return figures


def _switch(name: str, entry: ControlEntry) -> ControlPlan:
    return ControlPlan(
        name=name,
        label=entry.label or name,
        kind="switch",
        low=0.0,
        high=0.0,
        default=entry.default,
        scale=entry.scale,
        options=tuple(entry.options or ()),
        law_db=0.0,
        words=entry.words,
        silences=_silenced(entry),
        is_played=entry.played,
    )


def _silenced(entry: ControlEntry) -> tuple[str, ...]:
    """Stages that some position shuts: ``main.sum`` of ``main.sum.gain: off``."""
    figures = [each for option in (entry.options or {}).values() for each in option.items()]
    return tuple(name.removesuffix(".gain") for name, raw in figures if raw == "off")


def _range(name: str, entry: ControlEntry, where: str) -> ControlPlan:
    low, high = entry.range or ("off", "0 dB")
    is_pan = low in PAN_POSITIONS
    place = f"{where}, control '{name}'"
    unit = "dB" if is_pan else _unit_of(high, place)
    if unit != "dB":
        return _dial(name, entry, (low, high), unit, place)
    return ControlPlan(
        name=name,
        label=entry.label or name,
        kind="pan" if is_pan else "range",
        low=_position(low, place, is_pan=is_pan),
        high=_position(high, place, is_pan=is_pan),
        default=_position(entry.default, place, is_pan=is_pan),
        scale=entry.scale,
        options=(),
        law_db=0.0 if entry.law is None else _position(entry.law, place, is_pan=False),
        words=entry.words,
    )


def _unit_of(text: str, where: str) -> str:
    """What a control sets: decibels, or for a dial another quantity."""
    try:
        quantity = parse(text)
    except QuantityError as error:
        raise _no_position(text, where, error.what) from error
    unit = quantity.reference.value if isinstance(quantity, Level) else "dB"
    unit = quantity.unit if isinstance(quantity, Measure) else unit
    if unit not in _SET_BY_CONTROLS:
        raise _no_position(text, where, "nothing is set in this unit")
    return unit


def _dial(
    name: str, entry: ControlEntry, ends: tuple[str, str], unit: str, where: str
) -> ControlPlan:
    """A control of a frequency, a time or a threshold."""
    try:
        low, high, default = (parse_si(text, unit) for text in (*ends, entry.default))
    except QuantityError as error:
        raise _no_position(", ".join(ends), where, error.what) from error
    return ControlPlan(
        name=name,
        label=entry.label or name,
        kind="dial",
        low=low,
        high=high,
        default=default,
        scale=entry.scale,
        options=(),
        law_db=0.0,
        words=entry.words,
        unit=unit,
    )


def _position(text: str, where: str, *, is_pan: bool) -> float:
    if is_pan and text in PAN_POSITIONS:
        return PAN_POSITIONS[text]
    try:
        return parse_si(text, "dB")
    except QuantityError as error:
        raise _no_position(text, where, error.what) from error


def _no_position(text: str, where: str, why: str) -> GearError:
    return GearError(
        f"'{text}' is no position of a control: {why}",
        where=where,
        expected="a gain in dB, off, left, centre or right; or a frequency, a time, a level",
        remedy="Write for example '30 dB', 'off' or '100 Hz'.",
    )


def repeated_controls(*blocks: BlockEntry) -> dict[str, tuple[str, ...]]:
    """Names on the panel of every control that is there more than once."""
    return {
        name: tuple(control.names(name))
        for block in blocks
        for name, control in block.controls.items()
        if control.repeat is not None
    }
