"""How gear answers to a condition: which switch has it, whether its figures are the ones named."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Final

from levelhead.gear.book import GearBook
from levelhead.gear.model.controls import ControlEntry
from levelhead.gear.plan import BlockInstance, ItemPlan, PortPlan
from levelhead.gear.plan.ways import hears
from levelhead.planning.typed.conditions import Condition, Kind
from levelhead.planning.typed.words import tokens

__all__ = ["fitness", "is_load", "switch_settings"]

_HAS_SWITCH: Final = 0.6  # less than one word of a name: it decides between equals
_LIVES_ON_IT: Final = 0.3  # a box on phantom power, where a microphone may be meant
_HAS_OHM: Final = 1.5
_COULD_HAVE_OHM: Final = 0.5
_LIKE: Final = 0.01  # of a nominal impedance
_OFF: Final = ("off", "none")


def is_load(port: PortPlan) -> bool:
    """Whether a low-impedance loudspeaker hangs at this input, none on a constant-voltage line."""
    return port.is_load and port.figure("line-voltage") is None


def switch_settings(
    book: GearBook, plan: ItemPlan, block: BlockInstance, condition: Condition
) -> dict[str, str]:
    """Settings by which gear meets a condition of a switch, of this strip or of the whole item.

    Phantom power is the switch with a position that feeds it out of an input; a pad is the one
    whose name or label says so.
    """
    found: dict[str, str] = {}
    for owner, name, control in _switches(book, plan, block):
        option = _option(control, name, condition)
        if option is not None:
            found.setdefault(owner.address(name), option)
    return dict(list(found.items())[:1])


def _switches(
    book: GearBook, plan: ItemPlan, block: BlockInstance
) -> Iterator[tuple[BlockInstance, str, ControlEntry]]:
    """Switches as written, those of the strip first."""
    entry = book.entry(plan.type_id)
    own = [block, *(each for each in plan.blocks if each.name == "" and block.name)]
    for each in own:
        written: Mapping[str, ControlEntry] = entry.controls
        if each.name and each.block in entry.blocks:
            written = entry.blocks[each.block].controls
        for name, control in written.items():
            if control.options is not None and name in each.plan.controls:
                yield each, name, control


def _option(control: ControlEntry, name: str, condition: Condition) -> str | None:
    """The position that is meant, or nothing where it is another switch."""
    options = control.options or {}
    if condition.kind == "phantom":
        feeding = [
            option
            for option, figures in options.items()
            if any(figure.endswith(".phantom") for figure in figures)
        ]
        still = [option for option in options if option not in feeding]
        wanted = feeding if condition.text == "on" else still
        return wanted[0] if feeding and wanted else None
    if condition.kind == "pad" and "pad" in tokens(f"{name} {control.label or ''}"):
        off = [option for option in options if option in _OFF]
        inside = [option for option in options if option not in off]
        wanted = inside if condition.text == "on" else off
        return _of_db(wanted, condition) if wanted else None
    return None


def _of_db(options: list[str], condition: Condition) -> str:
    """Of several pads the one whose dB were typed, else the first."""
    typed = tokens(condition.words)
    return next((each for each in options if tokens(each.replace("-", " ")) <= typed), options[0])


def fitness(
    book: GearBook,
    plan: ItemPlan,
    block: BlockInstance,
    port: PortPlan,
    conditions: Iterable[Condition],
) -> float:
    """How well a socket answers to conditions; it decides between sockets named alike."""
    return sum(_fit(book, plan, block, port, each) for each in conditions)


def _fit(
    book: GearBook, plan: ItemPlan, block: BlockInstance, port: PortPlan, condition: Condition
) -> float:
    if condition.kind == "phantom" and port.drives and condition.text == "on":
        needs_it = any(way.kind == "phantom" for way in plan.powered_by)
        return (_HAS_SWITCH if hears(plan) else _LIVES_ON_IT) if needs_it else 0.0
    if condition.kind in _SWITCHED:
        return _HAS_SWITCH if switch_settings(book, plan, block, condition) else 0.0
    if condition.kind == "sides":
        return _HAS_SWITCH if "left" in f"{block.name} {port.name}" or port.signals else 0.0
    if condition.kind != "ohm":
        return 0.0
    ohm = f"{condition.value:g} ohm"
    if tokens(ohm) <= tokens(" ".join((port.label, *port.words))):
        return _HAS_OHM
    if not is_load(port):
        return -_COULD_HAVE_OHM if port.role == "in" else 0.0
    impedance_ohm = port.figure("impedance") or 0.0
    is_like = abs(impedance_ohm - condition.value) <= _LIKE * condition.value
    return _HAS_OHM if is_like else _COULD_HAVE_OHM


_SWITCHED: Final[frozenset[Kind]] = frozenset({"phantom", "pad"})
