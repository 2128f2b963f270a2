"""What is typed into a row about the strip itself: phantom power and gain, as edits."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Final

from levelhead.errors import EditError
from levelhead.exchange.paperwork.input_rows import InputRow
from levelhead.gear.feeding import phantom_switches
from levelhead.rig.model import Rig, RigPort
from levelhead.show.edits import Edit, Set

__all__ = ["strip_settings"]

_NUMBER: Final = re.compile(r"[+−-]?\d+(?:[.,]\d+)?")
_ON: Final = frozenset({"on", "yes", "y", "x", "1", "48", "48v", "48 v", "(on)", "true", "phantom"})
_OFF: Final = frozenset({"", "off", "needed", "no", "n", "0", "-", "–", "false"})


def strip_settings(rig: Rig, row: InputRow, wanted: Mapping[str, str]) -> Iterator[Edit]:
    """Edits of what was typed about phantom power and gain; nothing where neither was.

    Raises
    ------
    EditError
        A text means nothing, or the strip has no such control.
    """
    if "phantom" in wanted:
        yield from _phantom(rig, row, wanted["phantom"])
    if "gain" in wanted:
        yield from _gain(row, wanted["gain"])


def _phantom(rig: Rig, row: InputRow, text: str) -> Iterator[Edit]:
    said = text.lower()
    if said not in _ON | _OFF:
        raise EditError(
            f"'{text}' is neither on nor off",
            where=row.id,
            expected="on or off",
            remedy="Write on for 48 V.",
        )
    port = _plugged(rig, row)
    switches = phantom_switches(rig.book.entry(rig.show.items[row.item].type))
    switch = switches.get((port.block.block, port.plan.name))
    if switch is None:
        if said in _ON:
            raise EditError(
                "this input has no phantom power",
                where=row.id,
                expected="an input with a phantom switch",
                remedy="Use a microphone input, or a box that feeds it.",
            )
        return
    wanted = switch.on if said in _ON else switch.off
    if (row.phantom == "on") != (said in _ON):
        yield Set(row.phantom_control, wanted)


def _plugged(rig: Rig, row: InputRow) -> RigPort:
    return rig.ports[row.at[0] if row.at else row.ports[0][0]]


def _gain(row: InputRow, text: str) -> Iterator[Edit]:
    if not row.gain_control:
        if text:
            raise EditError(
                "this input has no gain control",
                where=row.id,
                expected="an input with a gain",
                remedy="Turn the source or the fader.",
            )
        return
    value = text.replace("−", "-").replace(",", ".")
    if _NUMBER.fullmatch(text):
        value = f"{value} dB"
    if value != row.gain or (not value and row.gain_set):
        yield Set(row.gain_control, value or None)
