"""Messages and requests that no page of ours sends: random, damaged, huge, out of order.

One generator from one seed, so that what went wrong can be had again. It begins with messages as
pages send them, since those get furthest, and then breaks some of them.
"""

from __future__ import annotations

import json
import random
from collections.abc import Callable
from typing import Any, Final

from levelhead.show.edit_json import edit_name
from levelhead.show.edits import EDITS
from levelhead.web.live.shown import SHOWN

__all__ = ["Chaos"]

Json = Any
ROWS: Final = ("desk.ch1", "desk.ch2", "desk.ch3", "desk.st1", "desk.ch99", "nowhere", "")
COLUMNS: Final = ("source", "gear", "cable", "phantom", "gain", "note", "socket", "state", "colour")
TABLES: Final = ("items", "sources", "links", "settings", "stock", "supplies", "show", "figures")
ITEMS: Final = ("vox", "desk", "left", "anna", "vox-2", "no-such", "")
SOCKETS: Final = ("vox.out", "desk.ch1.mic", "desk.ch2.mic", "desk.main-left.out", "left.in", "x")
FIELDS: Final = (
    "label",
    "type",
    "value",
    "count",
    "at",
    "supply",
    "note",
    "distance",
    "from",
    "via",
)
TEXTS: Final = (
    "", " ", "40", "-99", "36 dB", "1e999", "NaN", "off", "on", "012", "no", "ä−Ω", "\x00", "\x7f",
    "\ud800", "\u202e", "a\nb", "a: [b", "{}", "=1+1", "<b>", "../../x", "vocal mic", "bass DI",
    "keys",
    "cable-xlr 5 m", "cable-xlr", "mic-vocal-dynamic", "mixer-compact", "5 cm",
    "9" * 400, "x" * 5000,
)  # fmt: skip
GOOD: Final = (  # cells that a person would type
    ("desk.ch1", "gain", "33"), ("desk.ch2", "gain", "28 dB"), ("desk.ch2", "gear", "vocal mic"),
    ("desk.ch3", "source", "bass DI"), ("desk.ch1", "note", "stand left"),
    ("desk.ch1", "cable", "5 m"), ("desk.ch1", "phantom", "on"), ("desk.ch3", "gear", ""),
    ("desk.ch1", "source", "Ines"),
)  # fmt: skip
NUMBERS: Final = (0, 1, 2, -1, 7, 2**31, 2**63, 10**40, 0.5, -0.0, 1e308, True, False, None)
DOES: Final = (
    *("cells", "cells", "cells", "edits", "edits", "insert", "move"),  # these get furthest
    *("cells", "edits", "undo", "redo", "field", "add", "drop", "clear", "insert", "delete"),
    *("move", "settle", "text", "come", "stop-work", "go-on"),
    *("tick", "note", "reading", "seen", "lock", "unlock", "unlock"),
)
FINDS: Final = ("text", "gear", "known", "cable", "list", "hello", "part", "lead")
SLOW: Final = (
    *("more", "gains", "sockets", "ways-out", "seats-map", "ring-moves", "first-places"),
    *SHOWN,
)
SAID: Final = ("view", "fold", "has", "links", "edits", "source", "goal", "band", "as-set")
MOST_DEEP: Final = 4


class Chaos:
    """A source of messages; ``slow`` asks questions that have to be solved, too."""

    def __init__(self, seed: int, *, slow: bool = False) -> None:
        self.seed = seed
        self.dice = random.Random(seed)  # noqa: S311 - what is thrown at the program
        self.finds = FINDS + (SLOW if slow else ())
        self.sent: list[Json] = []

    def text(self) -> str:
        return self.dice.choice(TEXTS)

    def cell(self) -> list[str]:
        """A cell of the input list, as often as not one that can be typed."""
        if self.dice.random() < 0.7:
            return list(self.dice.choice(GOOD))
        return [self.dice.choice(ROWS), self.dice.choice(COLUMNS), self.text()]

    def any(self, deep: int = 0) -> Json:
        """Any JSON at all."""
        kind = self.dice.randrange(8 if deep < MOST_DEEP else 4)
        if kind == 0:
            return self.dice.choice(NUMBERS)
        if kind <= 3:
            return self.dice.choice((self.text(), *ROWS, *ITEMS, *SOCKETS))
        if kind <= 5:
            return [self.any(deep + 1) for _ in range(self.dice.randrange(4))]
        return {self.text()[:20]: self.any(deep + 1) for _ in range(self.dice.randrange(4))}

    def edit(self) -> Json:
        """An edit of some kind, its fields of the right names at best."""
        kind = self.dice.choice(EDITS)
        named: dict[str, Callable[[], Json]] = {
            "item": lambda: self.dice.choice(ITEMS),
            "address": lambda: self.dice.choice(("desk.ch1.gain", "left.level", "desk.ch2.x")),
            "end": lambda: self.dice.choice(SOCKETS),
            "link": lambda: {
                "ends": {"a": self.dice.choice(SOCKETS), "b": self.dice.choice(SOCKETS)}
            },
            "via": lambda: [{"type": "cable-xlr", "length_m": self.dice.choice(NUMBERS)}],
            "source": lambda: self.dice.choice(ITEMS),
            "new_id": lambda: self.dice.choice(ITEMS),
        }
        names = getattr(kind, "__dataclass_fields__", ())
        fields = {name: named.get(name, self.any)() for name in names}
        return {"edit": edit_name(kind), **fields}

    def message(self) -> Json:
        """A message as a page might send it."""
        dice = self.dice
        if dice.random() < 0.25:
            said = {dice.choice(SAID): self.any() for _ in range(dice.randrange(3))}
            return {"find": dice.choice(self.finds), "text": self.text(), "row": dice.choice(ROWS),
                    "output": dice.choice(SOCKETS), "item": dice.choice(ITEMS), **said}  # fmt: skip
        does = dice.choice(DOES)
        many = range(dice.randrange(1, 4))
        ways: dict[str, Callable[[], Json]] = {
            "cells": lambda: {
                "cells": [self.cell() for _ in many]
            },
            "edits": lambda: {"edits": [self.edit() for _ in many]},
            "undo": lambda: {"step": dice.randrange(20)},
            "redo": lambda: {"step": dice.randrange(20)},
            "field": lambda: {"table": dice.choice(TABLES), "key": dice.choice((*ITEMS, *SOCKETS)),
                              "field": dice.choice(FIELDS), "text": self.text()},
            "add": lambda: {"table": dice.choice(TABLES), "texts": [self.text() for _ in many]},
            "drop": lambda: {"table": dice.choice(TABLES), "key": dice.choice((*ITEMS, *SOCKETS))},
            "clear": lambda: {"rows": [dice.choice(ROWS) for _ in many]},
            "move": lambda: {"to": dice.choice(ROWS)},
            "settle": lambda: {"take": dice.choice(("here", "file"))},
            "text": lambda: {"text": self.text()},
        }  # fmt: skip
        noted = lambda: {  # noqa: E731 - one more of these
            name: self.text() for name in ("list", "item", "text", "content")
        }
        more = ways.get(does, noted)()
        return {"do": does, "row": dice.choice(ROWS), "base": dice.choice((0, 3, 10**6)), **more}

    def damaged(self, message: dict[str, Json]) -> dict[str, Json]:
        """A message with something missing, of another kind, too much."""
        dice, broken = self.dice, dict(message)
        for _ in range(dice.randrange(1, 3)):
            name = dice.choice([*broken, "ask", "base", "find", "do", self.text()[:10]])
            way = dice.randrange(3)
            if way == 0:
                broken.pop(name, None)
            else:
                broken[name] = self.any()
        return broken

    def next(self) -> dict[str, Json]:
        """The next message: whole, damaged, or one that was sent long ago."""
        luck = self.dice.random()
        if luck < 0.1 and self.sent:
            return dict(self.dice.choice(self.sent))
        message: dict[str, Json] = self.message()
        if luck < 0.4:
            message = self.damaged(message)
        self.sent.append(message)
        return message

    def raw(self) -> str:
        """Text that may be no message at all."""
        text = json.dumps(self.next())
        return self.dice.choice(
            (text[: self.dice.randrange(len(text))], text + "]", f"[{text}]", "[" * 5000, "",
             json.dumps(self.any()), '{"do": 1e999}', '{"do": NaN, "ask": "x"}', '{"a":' * 900)
        )  # fmt: skip
