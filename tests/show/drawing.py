"""Random shows, edits that fit them, and ways to write a show down, for the property tests."""

from __future__ import annotations

from dataclasses import dataclass, field
from random import Random
from typing import Any, Final, Literal

from hypothesis import strategies as st

from levelhead.errors import EditError
from levelhead.show import edits as e
from levelhead.show.addresses import join_range
from levelhead.show.edits import Edit
from levelhead.show.model import Beside, Cable, Item, Link, Plugged, Show, Source, Supply, Volts
from levelhead.show.plain import plain_show
from levelhead.show.rooms import Area, Room, Surface
from levelhead.show.writing import key_text
from levelhead.show.yaml_scalars import scalar_text

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


def random_edit(random: Random, show: Show) -> Edit:
    """An edit that probably fits the show."""
    items = list(show.items) or ["none"]
    item = choice(random, items)
    control = f"{item}.{choice(random, CONTROLS)}"
    if show.settings and chance(random, 50):
        control = choice(random, list(show.settings))
    link = choice(random, show.links) if show.links else Link({"a": "x.y", "b": "x.z"})
    end = choice(random, list(link.ends.values()))
    source = choice(random, list(show.sources) or ["none"])
    supply = choice(random, list(show.supplies) or ["none"])
    new = choice(random, (*IDS, "new-1", "new-2"))
    made: tuple[Edit, ...] = (
        e.Plug(
            Link(
                {"a": f"{item}.new{random.randrange(9)}", "b": f"{choice(random, items)}.to"},
                random_via(random),
            )
        ),
        e.Plug(link, random.randrange(len(show.links) + 1)),
        e.Unplug(link),
        e.Unplug(link),
        e.Recable(end, random_via(random)),
        e.SetPins(end, random_pins(random)),
        e.Lay(end, choice(random, ((), (Beside("mains-leads"), Beside("mains-leads", 0.5))))),
        e.Set(control, choice(random, (*VALUES, None))),
        e.Set(control, choice(random, (*VALUES, None))),
        e.Lock(control),
        e.Unlock(choice(random, sorted(show.locks) or [control])),
        e.AddItem(
            random_item(random, new, list(show.supplies)), random.randrange(len(show.items) + 1)
        ),
        e.AddItem(random_item(random, new, [])),
        e.Remove(item),
        e.Rename(item, new),
        e.Retype(item, choice(random, TYPES)),
        e.Relabel(item, choice(random, LABELS)),
        e.Annotate(item, choice(random, NOTES)),
        e.Prioritise(item, choice(random, ("must", "nice", None))),
        e.Move(item, choice(random, PLACES_M)),
        e.Aim(item, choice(random, PLACES_M)),
        e.Power(item, choice(random, [None, *show.supplies])),
        e.SetFigure(item, choice(random, ("z", "ch.power.gain")), choice(random, (*VALUES, None))),
        e.AddSource(random_source(random, choice(random, ("anna", "bo")), items), 0),
        e.RemoveSource(source),
        e.ChangeSource(random_source(random, source, items)),
        e.RenameSource(source, new),
        e.AddSupply(random_supply(random, choice(random, ("left", "right")))),
        e.RemoveSupply(supply),
        e.ChangeSupply(random_supply(random, supply)),
        e.RenameSupply(supply, new),
        e.SetStock(
            choice(random, ("cable-xlr 10 m", "lead 30 cm", "di-active")),
            choice(random, (None, 0, 3)),
        ),
        e.SetRoom(random_room(random)),
        e.Hang(item, choice(random, (1, 2, None))),
        e.SwitchOn(item, choice(random, (1, 2, None))),
        e.SetMeasured("tingle", choice(random, (None, random_volts(random, items)))),
        e.SetArea("stalls", choice(random, (None, random_area(random, "stalls")))),
        e.Retitle(
            choice(random, ("Hall", "012")),
            choice(random, (None, "2026-01-31")),
            1 + random.randrange(3),
        ),
    )
    return choice(random, made)


# Seeds, not draws: a show takes hundreds of choices, more than Hypothesis likes.
randoms = st.integers(0, 2**48).map(Random)


@dataclass
class Scribe:
    """Writes a show down in one of many ways."""

    random: Random
    comments: int = 0
    literals: int = 0  # texts on lines of their own, of which the last needs its line end
    lasting: list[str] = field(default_factory=list)  # comments that outlive any edit of an entry

    def text(self, show: Show) -> str:
        """The whole file."""
        plain = plain_show(show)
        plain["links"] = self.ranged(plain["links"], show)
        sections = [
            (name, value) for name, value in plain.items() if value or chance(self.random, 30)
        ]
        if chance(self.random, 30):
            self.random.shuffle(sections)
        lines = ["---"] if chance(self.random, 10) else []
        for name, value in sections:
            lines += self.own_line_comment("", lasting=True)
            lines += self.entry(name, value, "", depth=0)
        lines += self.own_line_comment("", lasting=True)
        ends = ("\n", "\n", "\n\n", "")
        text = "\n".join(lines) + choice(self.random, ends[: 3 if self.literals else 4])
        return text.replace("\n", "\r\n") if chance(self.random, 15) else text

    def ranged(self, links: list[Any], show: Show) -> list[Any]:
        """Links with some of the ranges that they could be written with."""
        written: list[Any] = []
        index = 0
        while index < len(links):
            count = self.random.randrange(1, 5)
            run = show.links[index : index + count]
            alike = all(
                (link.via, link.pins, link.plugged, list(link.ends))
                == (run[0].via, run[0].pins, run[0].plugged, list(run[0].ends))
                for link in run
            )
            ends = (
                {end: join_range([link.ends[end] for link in run]) for end in run[0].ends}
                if alike
                else {}
            )
            if len(run) < 2 or not alike or None in ends.values():
                run = run[:1]
                written.append(links[index])
            else:
                rest = {
                    name: value
                    for name, value in links[index].items()
                    if name in {"via", "pins", "plugged", "beside"}
                }
                pair = tuple(ends) == ("a", "b") and chance(self.random, 70)
                written.append(
                    ({"from": ends["a"], "to": ends["b"]} if pair else {"ends": ends}) | rest
                )
            index += len(run)
        return written

    def comment(self) -> str:
        """A comment unlike any other."""
        self.comments += 1
        return (
            f"#c{self.comments}c {choice(self.random, ('note', 'a: {b, c]', '- x, y', '# #', 'é'))}"
        )

    def own_line_comment(self, indent: str, *, lasting: bool) -> list[str]:
        """Sometimes a comment or an empty line."""
        if chance(self.random, 15):
            return [""]
        if not chance(self.random, 20):
            return []
        comment = self.comment()
        if lasting:
            self.lasting.append(comment)
        return [indent + comment]

    def after(self) -> str:
        """Sometimes a comment behind an entry."""
        return (
            "  " + self.comment() if chance(self.random, 20) else choice(self.random, ("", "", " "))
        )

    def key(self, name: str) -> str:
        """A key, sometimes in quotes."""
        return f'"{name}"' if chance(self.random, 10) else key_text(name)

    def scalar(self, value: Any) -> str:
        """A single value in some quotes."""
        if isinstance(value, str) and chance(self.random, 30):
            return scalar_text(value, quote=choice(self.random, ('"', "'")))
        if isinstance(value, float) and chance(self.random, 20):
            return repr(value)
        return scalar_text(value)

    def entry(self, name: str, value: Any, indent: str, *, depth: int) -> list[str]:
        """``key: value`` on lines."""
        start = f"{indent}{self.key(name)}:"
        gap = choice(self.random, (" ", " ", "  ", "   "))
        if value in ({}, []):
            empty = (
                choice(self.random, ("", " ~", gap + flow_empty(value)))
                if depth == 0
                else gap + flow_empty(value)
            )
            return [start + empty + self.after()]
        if not isinstance(value, (dict, list)):
            return self.leaf(start, gap, value, indent)
        if chance(self.random, 45) and not (depth == 0 and chance(self.random, 70)):
            return [f"{start}{gap}{self.flow(value, indent)}{self.after()}"]
        lines = [start + self.after()]
        if isinstance(value, list) and chance(self.random, 30):
            step = ""
        else:
            step = " " * self.random.randrange(1, 5)
        return lines + self.block(value, indent + step, depth=depth + 1)

    def leaf(self, start: str, gap: str, value: Any, indent: str) -> list[str]:
        """A single value on one line, or text on several."""
        if isinstance(value, str) and "\n" in value and chance(self.random, 60):
            return self.literal(start, value, indent)
        return [f"{start}{gap}{self.scalar(value)}{self.after()}"]

    def literal(self, start: str, value: str, indent: str) -> list[str]:
        """Text as a block scalar, if it has no odd beginning."""
        body = value.rstrip("\n")
        tail = value[len(body) :]
        if not body or body[0] in " \n\t":
            return [f"{start} {scalar_text(value)}"]
        self.literals += 1
        mark = {"": "|-", "\n": "|"}.get(tail, "|+")
        return [
            f"{start} {mark}",
            *(f"{indent}  {line}" for line in body.split("\n")),
            *[""] * (len(tail) - 1),
        ]

    def block(self, value: Any, indent: str, *, depth: int) -> list[str]:
        """Entries on lines of their own."""
        lines: list[str] = []
        for each in self.pairs(value, depth) if isinstance(value, dict) else value:
            lines += self.own_line_comment(indent, lasting=depth <= 1)
            if isinstance(value, dict):
                lines += self.entry(each[0], each[1], indent, depth=depth)
            else:
                lines += self.item(each, indent, depth=depth)
        return lines

    def pairs(self, value: dict[str, Any], depth: int) -> list[tuple[str, Any]]:
        """Entries, in any order where order means nothing: in all but the sections themselves."""
        pairs = list(value.items())
        if depth > 1 and chance(self.random, 30):
            self.random.shuffle(pairs)
        return pairs

    def item(self, value: Any, indent: str, *, depth: int) -> list[str]:
        """``- value`` on lines."""
        gap = choice(self.random, (" ", " ", "  "))
        if not isinstance(value, (dict, list)):
            return [f"{indent}-{gap}{self.scalar(value)}{self.after()}"]
        if not isinstance(value, dict) or chance(self.random, 60):
            return [f"{indent}-{gap}{self.flow(value, indent)}{self.after()}"]
        inner = indent + " " + gap
        lines = []
        for number, (name, each) in enumerate(self.pairs(value, depth + 1)):
            lines += self.own_line_comment(inner, lasting=False) if number else []
            lines += self.entry(name, each, inner, depth=depth + 1)
        if chance(self.random, 10):
            return [f"{indent}-{self.after()}", *lines]
        return [f"{indent}-{gap}{lines[0][len(inner) :]}", *lines[1:]]

    def flow(self, value: Any, indent: str) -> str:
        """A value in brackets, sometimes over several lines with comments in between."""
        if not isinstance(value, (dict, list)):
            return self.scalar(value)
        if isinstance(value, dict):
            parts = [f"{self.key(name)}: {self.flow(each, indent)}" for name, each in value.items()]
        else:
            parts = [self.flow(each, indent) for each in value]
        text = ""
        for number, part in enumerate(parts):
            text += part if not number else self.gap(indent) + part
        last = choice(self.random, ("", "", "", ",", " "))
        first = choice(self.random, ("", "", " "))
        brackets = "{}" if isinstance(value, dict) else "[]"
        return f"{brackets[0]}{first}{text}{last}{brackets[1]}"

    def gap(self, indent: str) -> str:
        """What stands between two entries in brackets."""
        if chance(self.random, 12):
            return f",  {self.comment()}\n{indent}    "
        return choice(self.random, (", ", ", ", ",  ", " , ", f",\n{indent}   "))


def flow_empty(value: Any) -> str:
    """Nothing, in brackets."""
    return "{}" if isinstance(value, dict) else "[]"


def edited(random: Random, show: Show, count: int) -> list[Edit]:
    """Edits that fit the show one after the other."""
    fitting: list[Edit] = []
    for _ in range(count):
        edit = random_edit(random, show)
        try:
            show, _ = e.apply(show, [edit])
        except EditError:
            continue
        fitting.append(edit)
    return fitting
