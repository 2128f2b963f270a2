"""Random shows for the property tests, from a seed."""

from __future__ import annotations

from random import Random
from typing import Any, Final, Literal

from hypothesis import strategies as st

from levelhead.show.model import (
    Beside,
    Cable,
    Item,
    Link,
    Near,
    Plugged,
    Show,
    Source,
    Supply,
    Volts,
)
from levelhead.show.rooms import Area, Room, Surface

IDS = ("a", "b-2", "desk", "vox-1", "vox-2", "null", "012", "true", "x0", "1e3", "box", "off")
TYPES = ("mic-vocal", "mixer-analogue-16", "di-active", "on", "7-inch")
PORTS = (
    "out",
    "in1",
    "in2",
    "in3",
    "ch1.mic",
    "ch2.mic",
    "ch9.mic",
    "ch10.mic",
    "ch11.mic",
    "a.b.c",
)
CONTROLS = ("gain", "ch1.gain", "ch1.fader", "ch2.gain", "ch1.eq.low", "ch2.eq.high", "mute")
VALUES = (
    "35 dB",
    "-6 dB",
    "on",
    "off",
    "unknown",
    "0",
    "1.20",
    "true",
    "~x",
    "+4 dBu",
    "pre",
    "012",
    "C1: x",
    "a # b",
)
EARTHS: Final[tuple[Literal["sound", "lost"], ...]] = ("sound", "sound", "lost")
LABELS = (
    "",
    "Anna",
    "Anna: lead",
    "012",
    "1.20",
    "no",
    "null",
    "{x}",
    "it's",
    '"q"',
    " lead ",
    "# 1",
    "Ümit − 2",
    "🎤",
    "a, b",
)
NOTES = ("", "two\nlines", "tail\n", "x: y\n# no comment\n", "\n\nlate", "tab\tbed", "[1, 2]")
CABLES = (
    Cable("cable-xlr", 10.0), Cable("cable-xlr", 0.5), Cable("adaptor"),
    Cable("lead", 0.123456789), Cable("lead", 3.0),
)  # fmt: skip
LENGTHS_M = (None, 0.05, 1.0, 2.5, 0.29, 1 / 3, 123.0)
PLACES_M = (None, (0.0, 18.0, 1.0), (-4.0, 0.0, 2.2), (1 / 3, -1e-7, 9999.0))


def choice(random: Random, values: Any) -> Any:
    """One of them."""
    return values[random.randrange(len(values))]


def chance(random: Random, per_cent: int) -> bool:
    """Whether it happens."""
    return random.randrange(100) < per_cent


def random_item(random: Random, name: str, supplies: list[str]) -> Item:
    """An item with some of its fields."""
    return Item(
        id=name,
        type=choice(random, TYPES),
        label=choice(random, LABELS),
        need=choice(random, (None, "must", "nice")),
        at=choice(random, PLACES_M),
        aim=choice(random, PLACES_M),
        supply=choice(random, [None, *supplies]),
        figures={
            name: choice(random, VALUES)
            for name in ("ch.power.gain", "z", "1")
            if chance(random, 20)
        },
        note=choice(random, NOTES),
        fixings=choice(random, (None, None, 2)),
        switched=choice(random, (None, None, 1)),
        near=choice(random, ((), (), (Near("dimmer-rack", 1 / 3),))),
    )


def random_supply(random: Random, name: str) -> Supply:
    """A supply with some of its fields."""
    circuit = choice(random, (None, "B", "16"))
    return Supply(
        name,
        choice(random, ("A1", "13", "desk.out")),
        circuit,
        choice(random, LABELS),
        choice(random, NOTES),
        earth=choice(random, EARTHS),
        rcd=choice(random, (None, "30 mA")),
        reel=choice(random, (None, "wound")),
        rated=choice(random, (None, "3 kW")),
        rated_wound=choice(random, (None, "1000 W")),
        tails=choice(random, (None, "electrician")),
    )


def random_source(random: Random, name: str, items: list[str]) -> Source:
    """A source that speaks into one of the items."""
    at = choice(random, items) + choice(random, ("", ".in1"))
    lengths_m = [each for each in LENGTHS_M if each is not None]
    return Source(
        name,
        choice(random, TYPES),
        at,
        choice(random, LENGTHS_M),
        choice(random, LABELS),
        {choice(random, items): choice(random, lengths_m) for _ in range(random.randrange(2))},
    )


def random_via(random: Random) -> tuple[Cable, ...]:
    """Nought to two cables."""
    return tuple(choice(random, CABLES) for _ in range(random.randrange(3)))


def random_pins(random: Random) -> dict[str, str]:
    """Mostly none."""
    return {
        pin: choice(random, ("open", "3", "tip"))
        for pin in ("2", "1+", "a.2")
        if chance(random, 10)
    }


def random_links(random: Random, items: list[str]) -> tuple[Link, ...]:
    """Links over sockets that are all different, runs of neighbours among them."""
    sockets = [f"{item}.{port}" for item in items for port in PORTS]
    random.shuffle(sockets)
    links: list[Link] = []
    if chance(random, 50):  # neighbours, so that ranges occur
        count = random.randrange(1, 6)
        one, other = choice(random, items), choice(random, items)
        via = random_via(random)
        links += [
            Link({"a": f"{one}.o{8 + i}", "b": f"{other}.c{i + 1}.x"}, via) for i in range(count)
        ]
    while len(sockets) > 3 and chance(random, 75):
        names = choice(random, (("a", "b"), ("a", "b"), ("a", "send", "return"), ("l", "r")))
        ends = {name: sockets.pop() for name in names}
        plugged: Plugged = "half" if chance(random, 10) else "full"
        beside = (Beside("dimmer-leads", 30.0, 1 / 3),) if chance(random, 10) else ()
        links.append(Link(ends, random_via(random), random_pins(random), plugged, beside))
    return tuple(links)


CORNERS = ((), ((-4.0, 0.0), (4.0, 0.0), (4.0, 1 / 3), (-4.0, 12.5)))
TIMES = (None, "1.4 s", {"125": "1.9 s", "1000": "1200 ms"})


def random_room(random: Random) -> Room | None:
    """Nothing known of the room, or some of its fields."""
    room = Room(
        where=choice(random, ("indoors", "indoors", "outdoors")),
        corners=choice(random, CORNERS),
        height=choice(random, (None, "5 m", "16 ft")),
        floor=choice(random, (0.0, -0.8)),
        volume=choice(random, (None, "1200 m3")),
        reverberation=choice(random, TIMES),
        absorption=choice(random, (None, "0.15", {"500": "20 %"})),
        surfaces={"floor": Surface("240 m2", choice(random, ("0.05", {"1000": "0.1"})))}
        if chance(random, 30)
        else {},
        temperature=choice(random, (None, "20 °C")),
        humidity=choice(random, (None, "50 %")),
        noise=choice(random, (None, "38 dB(A)")),
        note=choice(random, NOTES),
    )
    return None if room == Room() or chance(random, 50) else room


def random_area(random: Random, name: str) -> Area:
    """An area with corners, or one place."""
    corners = choice(random, CORNERS)
    return Area(
        name,
        label=choice(random, LABELS),
        corners=corners,
        at=None if corners else (0.0, 1 / 3, 1.2),
        ears=choice(random, (None, "1.2 m")),
        back_ears=choice(random, (None, "2.4 m")),
        spacing=choice(random, (None, "50 cm")),
        stay=choice(random, (None, "3 h")),
        level=choice(random, (None, "85 dB(A)")),
        who=choice(random, ("audience", "staff", "performers")),
        laeq=choice(random, (None, "97 dB(A)")),
        note=choice(random, NOTES),
    )


def random_show(random: Random) -> Show:
    """A valid show."""
    supplies = {
        name: random_supply(random, name) for name in ("left", "desk") if chance(random, 40)
    }
    names = [name for name in IDS if chance(random, 35)]
    items = {name: random_item(random, name, list(supplies)) for name in names}
    controls = [f"{item}.{control}" for item in items for control in CONTROLS]
    return Show(
        name=choice(random, [label for label in LABELS if label.strip()]),
        date=choice(random, (None, "2026-12-05")),
        version=choice(random, (1, 1, 2, 37)),
        items=items,
        sources={
            name: random_source(random, name, names)
            for name in ("anna", "2")
            if names and chance(random, 40)
        },
        links=random_links(random, names) if names else (),
        settings={control: choice(random, VALUES) for control in controls if chance(random, 30)},
        locks=frozenset(control for control in controls if chance(random, 10)),
        supplies=supplies,
        stock={"cable-xlr 10 m": 6, "di-active": 0} if chance(random, 40) else {},
        room=random_room(random),
        areas={name: random_area(random, name) for name in ("stalls", "2") if chance(random, 30)},
        measured={"rack": Volts("rack", (names[0], names[1]), "1.5 V")}
        if len(names) > 1 and chance(random, 30)
        else {},
    )


def random_volts(random: Random, items: list[str]) -> Volts:
    """Volts between two items, which may be one and then are refused."""
    return Volts(
        "tingle",
        (choice(random, items), choice(random, items)),
        choice(random, ("30 V", "2500 mV")),
        choice(random, ("high-impedance", "low-impedance")),
        choice(random, NOTES),
    )


# Seeds, not draws: a show takes hundreds of choices, more than Hypothesis likes.
randoms = st.integers(0, 2**48).map(Random)
