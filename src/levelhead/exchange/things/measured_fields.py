"""What a meter showed between items as a table of texts, and what is typed there."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from typing import Any, Final

from levelhead.show.edits import Edit, SetMeasured
from levelhead.show.measured import Volts, checked_between
from levelhead.show.model import Show

__all__ = ["measured_added", "measured_changed", "measured_dropped", "measured_rows"]

_APART: Final = re.compile(r"\s*(?:,|>|\s)\s*")


def measured_rows(show: Show) -> dict[str, dict[str, str]]:
    """Readings by their ids."""
    return {
        name: {
            "id": name,
            "between": ", ".join(each.between),
            "volts": each.volts,
            "meter": "" if each.meter == "high-impedance" else each.meter,
            "note": each.note,
        }
        for name, each in show.measured.items()
    }


def measured_changed(show: Show, name: str, field: str, text: str) -> Iterator[Edit]:
    """A field of a reading that was typed anew."""
    told = show.measured[name]
    if field == "id":
        yield SetMeasured(name, None)
        yield SetMeasured(text, told)
        return
    value: Any = text
    if field == "between":
        value = checked_between(_APART.split(text))
    elif field == "meter":
        value = text or "high-impedance"
    yield SetMeasured(name, replace(told, **{field: value}))


def measured_added(name: str, between: str, volts: str) -> Edit:
    """One more reading."""
    return SetMeasured(name, Volts(name, checked_between(_APART.split(between)), volts))


def measured_dropped(name: str) -> Iterator[Edit]:
    """A reading that is not told any more."""
    yield SetMeasured(name, None)
