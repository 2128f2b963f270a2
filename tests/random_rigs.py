"""Random but plausible rigs from the gear book: who plays, how it is plugged, out to the room.

Voices and instruments stand before microphones that suit them, instruments and players go in by
DI boxes or line inputs, mixers feed processors, amplifiers, loudspeakers. Cables are those that an
engineer would take, of any length; controls stand where a show might leave them. All of it follows
from the ports of the book, so a new type is drawn as soon as it is there.

>>> from levelhead.gear.book import load_book
>>> show = random_rig(load_book(), np.random.default_rng(1))
>>> len(show.items) >= 2, len(show.links) >= 1
(True, True)
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Final

import numpy as np

from levelhead.gear.book import GearBook
from levelhead.gear.compile import controls_of
from levelhead.gear.plan import ControlPlan, PortPlan
from levelhead.rig.settings import setting_text
from levelhead.rig.usual import fitting_cables
from levelhead.show.model import Cable, Item, Link, Show, Source

__all__ = ["random_rig", "random_rigs"]

MOST_CHANNELS: Final = 6
TRIES: Final = 20  # for a plug that goes somewhere
OTHER_CABLE: Final = 0.15  # share of links with a cable that is not the usual one
BOX_BETWEEN: Final = 0.35
PROCESSOR_BETWEEN: Final = 0.3
TURNED_SWITCH: Final = 0.1  # share of switches that do not stand at their default
GIVING: Final = frozenset({"out", "loudspeaker"})


def random_rigs(
    book: GearBook, rng: np.random.Generator, count: int, *, most_channels: int = MOST_CHANNELS
) -> Iterator[Show]:
    """So many random rigs."""
    for _ in range(count):
        yield random_rig(book, rng, most_channels=most_channels)


def random_rig(
    book: GearBook, rng: np.random.Generator, *, most_channels: int = MOST_CHANNELS
) -> Show:
    """A show of up to so many channels, a mixer, and one or two ways out of it."""
    stage = _Stage(book, rng)
    mixer = stage.stand("desk", stage.any_of("mixer"))
    for number in range(1, int(rng.integers(1, most_channels + 1)) + 1):
        stage.bring_channel(number, mixer)
    stage.bring_ways_out(mixer)
    stage.set_controls()
    return Show(
        "random",
        items=stage.items,
        sources=stage.sources,
        links=tuple(stage.links),
        settings=stage.settings,
    )


@dataclass(frozen=True, slots=True)
class _Socket:
    """A port of an item in the show."""

    item: str
    address: str
    strip: str
    plan: PortPlan


@dataclass(slots=True)
class _Stage:
    """A show being put together."""

    book: GearBook
    rng: np.random.Generator
    items: dict[str, Item] = field(default_factory=dict)
    sources: dict[str, Source] = field(default_factory=dict)
    links: list[Link] = field(default_factory=list)
    settings: dict[str, str] = field(default_factory=dict)
    holes: set[tuple[str, str, str]] = field(default_factory=set)
    strips: set[tuple[str, str]] = field(default_factory=set)

    # --- choosing ---

    def chance(self, share: float) -> bool:
        return bool(self.rng.random() < share)

    def one_of(self, things: list[str]) -> str:
        return things[int(self.rng.integers(len(things)))]

    def any_of(self, *kinds: str) -> str:
        """A type of one of these kinds that has sockets."""
        return self.one_of(
            [
                each
                for each in self.book.ids
                if (entry := self.book.entry(each)).kind in kinds
                and entry.ends is None
                and (entry.ports or entry.blocks)
            ]
        )

    def stand(self, item: str, type_id: str) -> str:
        """Put an item on stage."""
        self.items[item] = Item(item, type_id)
        return item

    def sockets(self, item: str, roles: frozenset[str]) -> list[_Socket]:
        """Sockets of an item that are free, in random order; audio only, no strip twice."""
        plan = self.book.plan(self.items[item].type, {}, {})
        found = [
            _Socket(item, f"{item}.{block.address(name)}", block.name, port)
            for block in plan.blocks
            for name, port in block.plan.ports.items()
            if port.role in roles
            and port.carries == "audio"
            and (item, block.name, port.hole) not in self.holes
            and (not block.name or "in" not in roles or (item, block.name) not in self.strips)
        ]
        return [found[number] for number in self.rng.permutation(len(found))]

    # --- plugging ---

    def plug(self, start: _Socket, end: _Socket) -> bool:
        """Join two sockets by a cable, if there is one that fits both."""
        cables = fitting_cables(self.book, start.plan, end.plan)
        if not cables:
            return False
        other = int(self.rng.integers(len(cables))) if self.chance(OTHER_CABLE) else 0
        length_m = float(np.round(10 ** self.rng.uniform(0, 2), 1))
        via = (Cable(cables[other].type_id, length_m),)
        self.links.append(Link({"a": start.address, "b": end.address}, via))
        for socket in (start, end):
            self.holes.add((socket.item, socket.strip, socket.plan.hole))
            self.strips.add((socket.item, socket.strip))
        return True

    def join(self, giver: str, taker: str) -> bool:
        """Plug any free output of one item into any free input of another that takes it."""
        for start in self.sockets(giver, GIVING):
            for end in self.sockets(taker, frozenset({"in"}))[:TRIES]:
                is_power = start.plan.role == "loudspeaker"
                if is_power == (end.plan.circuit == "loudspeaker-load") and self.plug(start, end):
                    return True
        return False

    def join_by(self, giver: str, taker: str, box: str) -> bool:
        """By a box, if it fits between; else straight."""
        if box and self.join(giver, box):
            if self.join(box, taker):
                return True
            self.links.pop()  # the box leads nowhere: it goes back into the van
        if box:
            del self.items[box]
            self.holes = {hole for hole in self.holes if hole[0] not in {box, giver}}
            self.strips = {strip for strip in self.strips if strip[0] not in {box, giver}}
        return self.join(giver, taker)

    def bring_channel(self, number: int, mixer: str) -> None:
        """Who plays into a channel of the mixer, by which box."""
        name = f"stand-{number}"
        kind = self.one_of(["microphone", "microphone", "instrument", "player"])
        self.stand(name, self.any_of(kind))
        box = f"box-{number}"
        between = self.stand(box, self.any_of("box")) if self.chance(BOX_BETWEEN) else ""
        if not self.join_by(name, mixer, between):
            del self.items[name]
        elif kind == "microphone":
            self.sources[f"voice-{number}"] = self._heard_by(name, number)

    def _heard_by(self, microphone: str, number: int) -> Source:
        """Whom a microphone usually hears, else anybody; often nearer or farther than usual."""
        usual = self.book.entry(self.items[microphone].type).usual
        voices = [each for each in self.book.ids if self.book.entry(each).air is not None]
        named = usual.source if usual is not None else None
        distance_m = float(np.round(10 ** self.rng.uniform(-1.5, 0), 2))
        return Source(
            f"voice-{number}",
            named or self.one_of(voices),
            microphone,
            distance_m if self.chance(0.5) else None,
        )

    def bring_ways_out(self, mixer: str) -> None:
        """One or two ways from the mixer to a loudspeaker."""
        for side in range(1, int(self.rng.integers(1, 3)) + 1):
            giver = mixer
            if self.chance(PROCESSOR_BETWEEN):
                giver = self._passed_on(giver, self.stand(f"rack-{side}", self.any_of("processor")))
            if self.chance(0.5):
                giver = self._passed_on(giver, self.stand(f"amp-{side}", self.any_of("amplifier")))
            self._passed_on(giver, self.stand(f"pa-{side}", self.any_of("loudspeaker")))

    def _passed_on(self, giver: str, taker: str) -> str:
        """The item that the signal stands at now; what does not fit goes back into the van."""
        if self.join(giver, taker):
            return taker
        del self.items[taker]
        return giver

    # --- controls ---

    def set_controls(self) -> None:
        """Controls of everything that is plugged: knobs in their middle, phantom mostly on."""
        for item in self.items.values():
            for local, plan in controls_of(self.book.entry(item.type)).items():
                strip, _, name = local.rpartition(".")
                is_plugged = (item.id, strip) in self.strips or not strip
                if is_plugged or strip.startswith("main"):
                    setting = self._setting(name, plan)
                    if setting is not None:
                        self.settings[f"{item.id}.{local}"] = setting

    def _setting(self, name: str, plan: ControlPlan) -> str | None:
        if plan.kind == "switch":
            if name == "phantom" and "on" in plan.options:
                return "on" if self.chance(0.8) else None
            return self.one_of(list(plan.options)) if self.chance(TURNED_SWITCH) else None
        if plan.kind == "pan":
            return self.one_of(["left", "centre", "right"]) if self.chance(0.3) else None
        if name.startswith("send") and self.chance(0.8):
            return None
        low = max(plan.low, -20.0)
        travel = self.rng.uniform(0.3, 0.9)
        return setting_text(round(low + travel * (plan.high - low), 1), plan)
