"""Edits of what was measured between items."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from levelhead.show import checks, measured
from levelhead.show.edits.base import Applied, Edit, checked, known, with_entry, without
from levelhead.show.measured import Volts
from levelhead.show.model import Show

__all__ = ["SetMeasured", "of_item", "renamed_in"]


@dataclass(frozen=True, slots=True)
class SetMeasured(Edit):
    """Say what a meter showed between two items, by an id; ``None`` takes it away."""

    id: str
    measured: Volts | None

    def applied(self, show: Show) -> Applied:
        """The show with that reading."""
        name = checked(checks.checked_id, self.id, "measured")
        back = SetMeasured(name, show.measured.get(name))
        if self.measured is None:
            return replace(show, measured=without(show.measured, name)), (back,)
        where = f"measured {name}"
        one, other = checked(measured.checked_between, self.measured.between, where)
        volts = Volts(
            id=name,
            between=(known(one, show.items, "item"), known(other, show.items, "item")),
            volts=checked(measured.checked_touch_volts, self.measured.volts, where),
            meter=checked(measured.checked_meter, self.measured.meter, where),
            note=checked(checks.checked_note, self.measured.note, where),
        )
        return replace(show, measured=with_entry(show.measured, name, volts)), (back,)


def of_item(show: Show, item: str) -> dict[str, Volts]:
    """What was measured at an item."""
    return {name: each for name, each in show.measured.items() if item in each.between}


def renamed_in(known_volts: Mapping[str, Volts], item: str, new: str) -> dict[str, Volts]:
    """The same where an item has another id."""
    return {
        name: replace(each, between=_moved(each.between, item, new))
        for name, each in known_volts.items()
    }


def _moved(between: tuple[str, str], item: str, new: str) -> tuple[str, str]:
    one, other = between
    return new if one == item else one, new if other == item else other
