"""Edits of links. A socket takes one plug, so the address of one end names its link."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Final, get_args

from levelhead.show import checks, lengths
from levelhead.show.addresses import Address, is_address, item_of, shortened
from levelhead.show.beside import beside_text, checked_beside
from levelhead.show.edits.base import Applied, Edit, checked, known, place_in, refuse
from levelhead.show.model import Beside, Cable, Link, Plugged, Show

__all__ = ["Lay", "Plug", "Recable", "SetPins", "Unplug"]

_FEWEST_ENDS: Final = 2


@dataclass(frozen=True, slots=True)
class Plug(Edit):
    """Join sockets by a link, written last or at a place in the list."""

    link: Link
    index: int | None = None

    def applied(self, show: Show) -> Applied:
        """The show with the link."""
        link = _checked_link(self.link, show)
        links = list(show.links)
        links.insert(place_in(self.index, len(links)), link)
        return replace(show, links=tuple(links)), (Unplug(link),)


@dataclass(frozen=True, slots=True)
class Unplug(Edit):
    """Take a link away."""

    link: Link

    def applied(self, show: Show) -> Applied:
        """The show without the link."""
        if self.link not in show.links:
            refuse(
                f"there is no such link: {_named(self.link)}",
                where="link",
                expected="a link of this show, its cables and pins included",
                remedy="Look at what is plugged into these sockets now.",
            )
        index = show.links.index(self.link)
        return replace(show, links=show.links[:index] + show.links[index + 1 :]), (
            Plug(self.link, index),
        )


@dataclass(frozen=True, slots=True)
class Recable(Edit):
    """Take other cables and adaptors for the link that is plugged in at a socket."""

    end: Address
    via: tuple[Cable, ...]

    def applied(self, show: Show) -> Applied:
        """The show with the other cables."""
        link = _link_at(show, self.end)
        changed = replace(link, via=_checked_via(self.via, self.end))
        return _with_link(show, link, changed), (Recable(self.end, link.via),)


@dataclass(frozen=True, slots=True)
class SetPins(Edit):
    """Say what differs at the pins of the link at a socket: a fault, a lead wired its own way."""

    end: Address
    pins: Mapping[str, str]

    def applied(self, show: Show) -> Applied:
        """The show with those pins."""
        link = _link_at(show, self.end)
        changed = replace(link, pins=_checked_pins(self.pins, self.end))
        return _with_link(show, link, changed), (SetPins(self.end, link.pins),)

    def __hash__(self) -> int:
        return hash((self.end, frozenset(self.pins.items())))


@dataclass(frozen=True, slots=True)
class Lay(Edit):
    """Say what the cable of the link at a socket lies beside; nothing where it lies by itself."""

    end: Address
    beside: tuple[Beside, ...]

    def applied(self, show: Show) -> Applied:
        """The show with that cable laid so."""
        link = _link_at(show, self.end)
        changed = replace(link, beside=_checked_beside(self.beside, self.end))
        return _with_link(show, link, changed), (Lay(self.end, link.beside),)


def _named(link: Link) -> str:
    """A link as errors name it."""
    return " to ".join(shortened(str(address))[1:-1] for address in link.ends.values())


def _link_at(show: Show, end: Address) -> Link:
    link = show.link_at(end)
    if link is None:
        refuse(
            f"nothing is plugged into {shortened(str(end))}",
            where="link",
            expected="a socket with a plug in it",
            remedy="Plug a link in first.",
        )
    return link


def _with_link(show: Show, old: Link, new: Link) -> Show:
    """The show with one link changed in its place."""
    return replace(show, links=tuple(new if link is old else link for link in show.links))


def _checked_link(link: Link, show: Show) -> Link:
    """A new link whose ends are free sockets of known items."""
    place = f"link {_named(link)}"
    addresses = list(link.ends.values())
    if len(addresses) < _FEWEST_ENDS:
        refuse(
            "a link with one end",
            where=place,
            expected="two ends or more",
            remedy="Name both sockets.",
        )
    for end, address in link.ends.items():
        checked(checks.checked_id, end, place)
        _check_free(address, show, place)
        if addresses.count(address) > 1:
            refuse(
                f"{address} is at two ends",
                where=place,
                expected="a socket for each end",
                remedy="A socket takes one plug: name another.",
            )
    return replace(
        link,
        ends=dict(link.ends),
        via=_checked_via(link.via, place),
        pins=_checked_pins(link.pins, place),
        plugged=_checked_plugged(link.plugged, place),
        beside=_checked_beside(link.beside, place),
    )


def _check_free(address: Address, show: Show, place: str) -> None:
    """The address is one, its item is known, and nothing is plugged in."""
    if not isinstance(address, str) or not is_address(address):
        refuse(
            f"{shortened(str(address))} is no address",
            where=place,
            expected="an item and a port, with dots between",
            remedy="Write it like desk.ch7.mic.",
        )
    known(item_of(address), show.items, "item")
    other = show.link_at(address)
    if other is not None:
        refuse(
            f"{address} has a plug in it already: {_named(other)}",
            where=place,
            expected="a free socket",
            remedy="Unplug that link first, or use another socket.",
        )


def _checked_via(via: tuple[Cable, ...], place: str) -> tuple[Cable, ...]:
    return tuple(_checked_cable(cable, place) for cable in via)


def _checked_cable(cable: Cable, place: str) -> Cable:
    kind = checked(checks.checked_id, cable.type, place)
    if cable.length_m is None:
        return Cable(kind)
    return Cable(kind, checked(lengths.checked_length_m, cable.length_m, place))


def _checked_pins(pins: Mapping[str, str], place: str) -> dict[str, str]:
    return {
        checked(checks.checked_pin, pin, place): checked(checks.checked_pin, state, place)
        for pin, state in pins.items()
    }


def _checked_beside(neighbours: tuple[Beside, ...], place: str) -> tuple[Beside, ...]:
    return tuple(checked(checked_beside, beside_text(each), place) for each in neighbours)


def _checked_plugged(plugged: Plugged, place: str) -> Plugged:
    if plugged not in get_args(Plugged):
        refuse(
            f"{shortened(str(plugged))} is no way to be plugged",
            where=place,
            expected=f"one of {', '.join(get_args(Plugged))}",
            remedy="A jack is pushed home (full), or stands at its first click (half).",
        )
    return plugged
