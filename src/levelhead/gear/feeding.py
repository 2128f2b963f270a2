"""Switches of a gear type that feed phantom power, wherever they stand now."""

from __future__ import annotations

from dataclasses import dataclass

from levelhead.gear.figures import RawFigure
from levelhead.gear.model import TypeEntry

__all__ = ["PhantomSwitch", "phantom_switches"]

_PHANTOM = "phantom"


@dataclass(frozen=True, slots=True)
class PhantomSwitch:
    """The control that feeds an input, of its strip or of the item, its positions and its volts."""

    control: str
    of_block: bool
    on: str
    off: str
    volts: RawFigure


def phantom_switches(entry: TypeEntry) -> dict[tuple[str, str], PhantomSwitch]:
    """Which switch of a type feeds which port: by block (empty for the item) and port.

    >>> from levelhead.gear.book import load_book
    >>> phantom_switches(load_book().entry("mixer-compact"))["ch", "mic"].control
    'phantom'
    """
    found: dict[tuple[str, str], PhantomSwitch] = {}
    for block_id, block in (("", entry), *entry.blocks.items()):
        for name, control in block.controls.items():
            off = next((each for each, sets in (control.options or {}).items() if not sets), "off")
            for option, sets in (control.options or {}).items():
                for figure, volts in sets.items():
                    *where, port, what = figure.rsplit(".", 2)
                    if what == _PHANTOM:
                        key = (where[0] if where else block_id, port)
                        found[key] = PhantomSwitch(name, bool(block_id), option, off, volts)
    return found
