"""Edits of settings, locks, stock, and of the show's name, date and version."""

from __future__ import annotations

from dataclasses import dataclass, replace

from levelhead.show import checks, lengths
from levelhead.show.addresses import Address, item_of
from levelhead.show.edits.base import Applied, Edit, checked, known, refuse, with_entry, without
from levelhead.show.model import Show

__all__ = ["Lock", "Retitle", "Set", "SetStock", "Unlock"]


@dataclass(frozen=True, slots=True)
class Set(Edit):
    """Set a control, or (``None``) put it back to its default. A lock binds plans, not this."""

    address: Address
    value: str | None

    def applied(self, show: Show) -> Applied:
        """The show with the control set."""
        address = _checked_control(self.address, show)
        back = Set(address, show.settings.get(address))
        if self.value is None:
            return replace(show, settings=without(show.settings, address)), (back,)
        value = checked(checks.checked_value, self.value, address)
        return replace(show, settings=with_entry(show.settings, address, value)), (back,)


@dataclass(frozen=True, slots=True)
class Lock(Edit):
    """Keep plans and remedies away from a control."""

    address: Address

    def applied(self, show: Show) -> Applied:
        """The show with the control locked."""
        address = _checked_control(self.address, show)
        if address in show.locks:
            return show, ()
        return replace(show, locks=show.locks | {address}), (Unlock(address),)


@dataclass(frozen=True, slots=True)
class Unlock(Edit):
    """Let plans and remedies move a control."""

    address: Address

    def applied(self, show: Show) -> Applied:
        """The show with the control unlocked."""
        address = _checked_control(self.address, show)
        if address not in show.locks:
            return show, ()
        return replace(show, locks=show.locks - {address}), (Lock(address),)


@dataclass(frozen=True, slots=True)
class SetStock(Edit):
    """Say how many of a thing are in stock; ``None`` strikes it off the list."""

    thing: str
    count: int | None

    def applied(self, show: Show) -> Applied:
        """The show with that count."""
        thing = lengths.cable_text(checked(lengths.checked_cable, self.thing, "stock"))
        back = SetStock(thing, show.stock.get(thing))
        if self.count is None:
            return replace(show, stock=without(show.stock, thing)), (back,)
        count = checked(checks.checked_count, self.count, f"stock of {thing}")
        return replace(show, stock=with_entry(show.stock, thing, count)), (back,)


@dataclass(frozen=True, slots=True)
class Retitle(Edit):
    """Change name, date and version of the show."""

    name: str
    date: str | None
    version: int

    def applied(self, show: Show) -> Applied:
        """The show with that head."""
        changed = replace(
            show,
            name=checked(checks.checked_name, self.name, "show"),
            date=None if self.date is None else checked(checks.checked_date, self.date, "show"),
            version=checked(checks.checked_version, self.version, "show"),
        )
        return changed, (Retitle(show.name, show.date, show.version),)


def _checked_control(address: Address, show: Show) -> Address:
    """Address of a control of a known item that does not stand in the way of another."""
    text = checked(checks.checked_setting, address, "control")
    known(item_of(text), show.items, "item")
    for other in show.settings:
        if other.startswith(f"{text}.") or text.startswith(f"{other}."):
            refuse(
                f"{other} is set, so {text} cannot be",
                where=text,
                expected="a control, not a block that holds one",
                remedy="Name the control, or put the other one back to its default.",
            )
    return text
