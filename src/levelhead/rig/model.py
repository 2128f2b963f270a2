"""What a rig is made of. Values only: building is in ``rig.build``, solving in the layers below."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from levelhead.gear.book import GearBook
from levelhead.gear.plan import (
    AirPlan,
    BlockInstance,
    CablePlan,
    ControlPlan,
    ItemPlan,
    PathPlan,
    PortPlan,
)
from levelhead.show.addresses import strip_of
from levelhead.show.model import Link, Show

__all__ = [
    "Contact",
    "Misfit",
    "Node",
    "PinChange",
    "Rig",
    "RigItem",
    "RigLink",
    "RigPort",
    "RigSource",
    "Segment",
    "switches_set",
]

# A place on the copper: ("port", address, pin), or ("cable", link, number in the link, end, pin).
Node = tuple[str | int, ...]
Contact = tuple[Node, Node]


@dataclass(frozen=True, slots=True)
class RigItem:
    """An item of the show with its plan."""

    id: str
    label: str
    plan: ItemPlan
    supply: str | None

    def paths(self) -> Iterator[tuple[BlockInstance, PathPlan]]:
        """Every path of the item, with the block it stands in."""
        for block in self.plan.blocks:
            for path in block.plan.paths:
                yield block, path


@dataclass(frozen=True, slots=True)
class RigPort:
    """A port of an item; ``link`` counts the link that is plugged there, by a connector ``plug``.

    ``plan`` is what that plug finds there, ``switched`` what the switches have made of the socket.
    """

    address: str
    item: RigItem
    block: BlockInstance
    plan: PortPlan
    link: int | None
    plug: str | None = None

    def __repr__(self) -> str:
        return f"RigPort({self.address!r})"

    @property
    def switched(self) -> PortPlan:
        """The port as switches and figures of its item have it, whatever is plugged there."""
        return self.block.plan.ports[self.plan.name]

    @property
    def label(self) -> str:
        """The port in the trade's words, with its item: ``Desk, channel 3, mic input``."""
        block = self.block.name
        return (
            f"{self.item.label}, {block}, {self.plan.label}"
            if block
            else f"{self.item.label}, {self.plan.label}"
        )

    @property
    def strip(self) -> str:
        """Address of its strip, ``desk.ch3``; its item, for a port of the item."""
        return f"{self.item.id}.{self.block.name}" if self.block.name else self.item.id

    def sibling(self, name: str) -> str:
        """Address of another port of the same block (or of the item, for a port of the item)."""
        return f"{self.item.id}.{self.block.address(name)}"


@dataclass(frozen=True, slots=True)
class Segment:
    """A length of cable within a link; an adaptor has no length."""

    cable: CablePlan
    number: int
    length_m: float


@dataclass(frozen=True, slots=True)
class PinChange:
    """What differs at a pin of a plug: its conductor is on pin ``to``, or loose where that is none.

    A ``tie`` leaves the conductor where it is and joins the two pins.
    """

    segment: int
    end: str
    pin: str
    to: str | None
    is_tie: bool = False


@dataclass(frozen=True, slots=True)
class RigLink:
    """A link: its cables, where their plugs touch sockets or one another, and what differs.

    ``half`` is the socket in which its jack stands at the first click only.
    """

    number: int
    link: Link
    segments: tuple[Segment, ...]
    contacts: tuple[tuple[Node, Node], ...]
    changes: tuple[PinChange, ...] = ()
    half: str | None = None

    @property
    def ports(self) -> tuple[str, ...]:
        """Addresses of all ports that the link joins."""
        return tuple(self.link.ends.values())

    def plug_at(self, address: str) -> str | None:
        """Connector of the plug that it has in a socket."""
        for one, other in self.contacts:
            for socket, plug in ((one, other), (other, one)):
                if socket[:2] == ("port", address) and plug[0] == "cable":
                    return self.segments[int(plug[2])].cable.ends[str(plug[3])]
        return None


@dataclass(frozen=True, slots=True)
class Misfit:
    """A plug that does not go into its socket."""

    number: int
    link: Link
    plug: str
    socket: str
    at: str


@dataclass(frozen=True, slots=True)
class RigSource:
    """A voice or instrument in front of an item that hears.

    Several items may hear one: it comes ``later_s`` than at the nearest of them.
    """

    id: str
    label: str
    at: str
    air: AirPlan
    distance_m: float
    later_s: float = 0.0


def switches_set(settings: Mapping[str, float | str]) -> dict[str, dict[str, str]]:
    """Switches among settings, by item and by their addresses below it."""
    chosen: dict[str, dict[str, str]] = {}
    for address, value in settings.items():
        if isinstance(value, str):
            item_id, _, control = address.partition(".")
            chosen.setdefault(item_id, {})[control] = value
    return chosen


@dataclass(frozen=True, eq=False)
class Rig:
    """A show, resolved. Settings hold what is set; ``setting`` gives the default otherwise.

    ``pushed`` are the holes with a plug pushed home, ``contacts`` those contacts of sockets that
    are closed as everything is plugged; ``in_contact`` the ports that those join to each port.
    ``facts`` are switches that nobody of the crew moves: they say how something is wired, or are
    turned by who plays.
    """

    show: Show
    book: GearBook
    items: Mapping[str, RigItem]
    ports: Mapping[str, RigPort]
    controls: Mapping[str, ControlPlan]
    links: tuple[RigLink, ...]
    misfits: tuple[Misfit, ...]
    settings: Mapping[str, float | str]
    unknowns: frozenset[str]
    sources: tuple[RigSource, ...]
    pushed: frozenset[str] = frozenset()
    contacts: tuple[Contact, ...] = ()
    in_contact: Mapping[str, frozenset[str]] = field(default_factory=dict)
    facts: frozenset[str] = frozenset()

    def __repr__(self) -> str:
        return f"Rig({self.show.name!r}, {len(self.items)} items, {len(self.links)} links)"

    @cached_property
    def chosen(self) -> Mapping[str, Mapping[str, str]]:
        """Where switches are set, by item and by their addresses below it."""
        return switches_set(self.settings)

    @cached_property
    def ports_of(self) -> Mapping[str, Sequence[tuple[str, RigPort]]]:
        """Ports with their addresses, by item."""
        found: dict[str, list[tuple[str, RigPort]]] = {item: [] for item in self.items}
        for address, port in self.ports.items():
            found[port.item.id].append((address, port))
        return found

    @cached_property
    def links_at(self) -> Mapping[str, tuple[RigLink, ...]]:
        """Links by the sockets that they join; a socket without a plug has none."""
        found: dict[str, tuple[RigLink, ...]] = {}
        for link in self.links:
            for port in dict.fromkeys(link.ports):
                found[port] = (*found.get(port, ()), link)
        return found

    def setting(self, address: str) -> float | str:
        """Where a control stands: as set, else its default."""
        return self.settings.get(address, self.controls[address].default)

    def setting_db(self, address: str) -> float:
        """A control of a range, in dB; ``-inf`` for off."""
        return float(self.setting(address))

    def port_at(self, address: str) -> RigPort | None:
        """The port with this address, or with this side or contact (``keys.out.left``)."""
        return self.ports.get(address) or self.ports.get(address.rpartition(".")[0])

    def strip_at(self, address: str) -> str:
        """Address of the strip of a port, of a side of one, of a stage or of a control."""
        port = self.port_at(address)
        return strip_of(address) if port is None else port.strip

    def plugged(self, address: str) -> bool:
        """Whether the port has a plug in it."""
        return self.ports[address].link is not None

    def control_of(self, item: RigItem, block: BlockInstance, name: str) -> str:
        """Address of a control named by a stage: of its own block, else of the item."""
        own = f"{item.id}.{block.address(name)}"
        return own if own in self.controls else f"{item.id}.{name}"
