"""The show as values: what is on stage, how it is joined, and how it is set.

Values of controls and figures stay text (``35 dB``, ``on``, ``unknown``); the rig checks them
against gear types. Mappings are never changed in place: an edit makes a new show that shares what
stayed the same.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import count
from typing import Literal, TypeAlias

from levelhead.show.addresses import Address, item_of
from levelhead.show.measured import Volts
from levelhead.show.rooms import Area, Room

__all__ = [
    "Area",
    "Beside",
    "Cable",
    "Item",
    "Link",
    "Near",
    "Need",
    "Neighbour",
    "Place",
    "Plugged",
    "Radiator",
    "Reel",
    "Room",
    "Show",
    "Source",
    "Supply",
    "Tails",
    "Volts",
]

Place: TypeAlias = tuple[float, float, float]
"""To the right, into the hall, and up, seen from the middle of the stage's edge. [m]"""

Need: TypeAlias = Literal["must", "nice"]
"""How badly the show needs an item when inputs run out."""

Plugged: TypeAlias = Literal["full", "half"]
"""How far a jack is pushed in: home, or to its first click."""


Reel: TypeAlias = Literal["wound", "unwound"]
"""How a cable reel stands."""

Tails: TypeAlias = Literal["electrician", "crew"]
"""Who connects bare ends to a distribution board."""


Radiator: TypeAlias = Literal["dimmer-rack", "mains-transformer"]
"""What fills the air round it with a field."""


@dataclass(frozen=True, slots=True)
class Near:
    """Something with a field, and how far away it stands. [m]"""

    what: Radiator
    apart_m: float


@dataclass(frozen=True, slots=True)
class Item:
    """One piece of gear in a show.

    ``label`` is the crew's own name, ``figures`` are this unit's own (``ch.power.gain: 31.2 dB``),
    ``supply`` names a mains supply, ``at`` and ``aim`` are the place and the point it is turned to.
    ``fixings`` are those that hold it over people, each by itself; ``switched`` is its turn when
    all is switched on; ``near`` is what stands near it with a field.
    """

    id: str
    type: str
    label: str = ""
    need: Need | None = None
    at: Place | None = None
    aim: Place | None = None
    supply: str | None = None
    figures: Mapping[str, str] = field(default_factory=dict)
    note: str = ""
    fixings: int | None = None
    switched: int | None = None
    near: tuple[Near, ...] = ()

    @property
    def called(self) -> str:
        """What the crew calls it: its label, else its id."""
        return self.label or self.id


@dataclass(frozen=True, slots=True)
class Source:
    """What makes the sound: a singer, a drum. ``at`` is the item it speaks into, or an address.

    ``also`` are distances to other microphones that hear it. [m] ``level`` is its own loud passage
    at 1 m, where somebody knows (``91 dB SPL``).
    """

    id: str
    type: str
    at: str
    distance_m: float | None = None
    label: str = ""
    also: Mapping[str, float] = field(default_factory=dict)
    level: str | None = None

    @property
    def called(self) -> str:
        """What the crew calls it: its label, else its id."""
        return self.label or self.id


@dataclass(frozen=True, slots=True)
class Cable:
    """One cable or adaptor of a link; an adaptor has no length. [m]"""

    type: str
    length_m: float | None = None


Neighbour: TypeAlias = Literal["dimmer-leads", "mains-leads", "loudspeaker-leads"]
"""Cables that reach over to audio: loads of dimmers, mains, loudspeakers."""


@dataclass(frozen=True, slots=True)
class Beside:
    """A cable that lies beside one of ours. [m]

    ``along_m`` is nothing known where it crosses at a right angle, ``apart_m`` where they touch or
    nobody said.
    """

    what: Neighbour
    along_m: float | None = None
    apart_m: float | None = None


@dataclass(frozen=True, slots=True)
class Link:
    """What joins ports. Two ends are ``a`` and ``b``; more have the names of the lead's ends.

    ``via`` are cables and adaptors in order, from ``a``; ``pins`` are faults and changes of this
    one: ``{"2": "open"}``. ``plugged`` is ``half`` where its jack stands at the first click.
    ``beside`` are cables that it lies along.
    """

    ends: Mapping[str, Address]
    via: tuple[Cable, ...] = ()
    pins: Mapping[str, str] = field(default_factory=dict)
    plugged: Plugged = "full"
    beside: tuple[Beside, ...] = ()

    def __hash__(self) -> int:
        pins = frozenset(self.pins.items())
        return hash((frozenset(self.ends.items()), self.via, pins, self.plugged, self.beside))

    @property
    def items(self) -> frozenset[str]:
        """Ids of the items that it joins."""
        return frozenset(item_of(address) for address in self.ends.values())

    @property
    def length_m(self) -> float | None:
        """Length of its cables together, where the show says it. [m]"""
        known = [each.length_m for each in self.via if each.length_m is not None]
        return sum(known) if known else None

    def another_lead(self, cable_type: str, ends: Mapping[str, Address] | None = None) -> Link:
        """Another lead, as long as its cables, between the same sockets or between ``ends``.

        It is plugged home, lies where this one does, and nothing is wrong with it.
        """
        cables = (Cable(cable_type, self.length_m),)
        return Link(dict(ends or self.ends), cables, beside=self.beside)


@dataclass(frozen=True, slots=True)
class Supply:
    """Where mains comes from. Items of one supply share a strip, of one ``circuit`` a breaker.

    ``earth`` is ``lost`` where somebody found the protective earth broken or taped off: a fault to
    report. ``rcd`` is the residual current at which its circuit is cut off (``30 mA``).
    ``rated`` is what may hang on it (``3000 W``), ``rated_wound`` on its ``reel`` wound up;
    ``tails`` is who connects it with bare ends to a distribution board.
    """

    id: str
    outlet: str
    circuit: str | None = None
    label: str = ""
    note: str = ""
    earth: Literal["sound", "lost"] = "sound"
    rcd: str | None = None
    reel: Reel | None = None
    rated: str | None = None
    rated_wound: str | None = None
    tails: Tails | None = None


@dataclass(frozen=True, slots=True)
class Show:
    """One event.

    ``settings`` are keyed by flat address (``desk.ch1.gain``), their order means nothing. ``locks``
    are addresses of controls that plans and remedies leave alone. ``stock`` counts what else is in
    the van (``cable-xlr 10 m``). ``room`` is the place itself, ``areas`` are where people listen,
    ``measured`` is what a meter showed between two items. An excerpt, made for one question, tells
    nothing of sockets without a plug; no file says so.
    """

    name: str
    date: str | None = None
    version: int = 1
    items: Mapping[str, Item] = field(default_factory=dict)
    sources: Mapping[str, Source] = field(default_factory=dict)
    links: tuple[Link, ...] = ()
    settings: Mapping[str, str] = field(default_factory=dict)
    locks: frozenset[str] = frozenset()
    supplies: Mapping[str, Supply] = field(default_factory=dict)
    stock: Mapping[str, int] = field(default_factory=dict)
    room: Room | None = None
    areas: Mapping[str, Area] = field(default_factory=dict)
    measured: Mapping[str, Volts] = field(default_factory=dict)
    is_excerpt: bool = False

    @property
    def types(self) -> dict[str, str]:
        """Gear type of each item, by its id."""
        return {item.id: item.type for item in self.items.values()}

    def link_at(self, address: Address) -> Link | None:
        """The link that is plugged into a socket, or ``None``: a socket takes one plug."""
        return next((link for link in self.links if address in link.ends.values()), None)

    def next_id(self, type_id: str) -> str:
        """Id for one more item of a type: its name with the first number that is free.

        >>> Show("Hall", items={"di-passive-1": Item("di-passive-1", "di-passive")}).next_id(
        ...     "di-passive"
        ... )
        'di-passive-2'
        """
        names = (f"{type_id}-{number}" for number in count(1))
        return next(name for name in names if name not in self.items)
