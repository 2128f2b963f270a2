"""Where something was found, as the crew says it: ``Anna (channel 7)`` for ``desk.ch7.mic``."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

from levelhead.exchange.paperwork.input_rows import InputRow
from levelhead.rig.model import Rig
from levelhead.verdicts.told.words import control_label

__all__ = ["CHANNEL", "row_place"]

CHANNEL: Final = re.compile(r"ch(\d+)")


def row_place(rig: Rig, rows: Mapping[str, InputRow], address: str) -> str:
    """A place in words: who is there and on which channel, else what stands on the gear.

    What stands before one channel alone is told with it; an address of nothing stays as it is.
    """
    row = _row_of(rows, address)
    if row is not None:
        return f"{row.source} ({_channel(rig, rows, row)})"
    item = rig.items.get(address.partition(".")[0])
    if item is None:
        return address
    port, control = rig.ports.get(address), rig.controls.get(address)
    if port is not None:
        return port.label
    strip = address.partition(".")[2].rpartition(".")[0]
    words = (item.label, strip, "" if control is None else control_label(rig, address))
    return ", ".join(part for part in words if part)


def _row_of(rows: Mapping[str, InputRow], address: str) -> InputRow | None:
    """The full row that it is in, or that alone has this item before it."""
    row = rows.get(address) or rows.get(address.rpartition(".")[0])
    if row is not None:
        return None if row.is_free else row
    item = address.partition(".")[0]
    fed = [each for each in rows.values() if item in (*each.chain, each.source_id)]
    return fed[0] if len(fed) == 1 else None


def _channel(rig: Rig, rows: Mapping[str, InputRow], row: InputRow) -> str:
    """``channel 7``; with its mixer or box where several have rows."""
    number = CHANNEL.fullmatch(row.name)
    words = f"channel {number[1]}" if number else row.name
    is_only = len({each.item for each in rows.values()}) == 1
    return words if is_only else f"{rig.items[row.item].label}, {words}"
