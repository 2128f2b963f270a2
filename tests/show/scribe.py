"""Ways to write a show down: one text of many that read the same, for the property tests."""

from __future__ import annotations

from dataclasses import dataclass, field
from random import Random
from typing import Any

from levelhead.show.addresses import join_range
from levelhead.show.model import Show
from levelhead.show.written.plain import plain_show
from levelhead.show.written.writing import key_text
from levelhead.show.yaml.scalars import scalar_text
from tests.show.random_shows import chance, choice


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
