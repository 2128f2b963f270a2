"""Changes to a text at places, and where entries of YAML begin and end in it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from levelhead.show.yaml.tree import MapNode, Node, ScalarNode, SeqNode

__all__ = [
    "Patch",
    "after_line",
    "begins_its_line",
    "content_end",
    "dashes",
    "line_start",
    "new_lines",
    "patched",
]

_BLOCK_STYLES: Final = frozenset({"|", ">"})
_BLANK: Final = re.compile(r"(?:[ \t\r\n]+|#[^\n]*)*")  # what may stand between two parts of YAML


@dataclass(frozen=True, slots=True)
class Patch:
    """Replace ``text[start:end]``; with ``start == end``, insert."""

    start: int
    end: int
    text: str


def patched(text: str, patches: Iterable[Patch], start: int = 0, end: int | None = None) -> str:
    """The text, or its part from ``start`` to ``end``, with patches applied.

    Patches may touch but not overlap; those at one place stay in their order.

    Examples
    --------
    >>> patched("gain: 30 dB", [Patch(6, 8, "35"), Patch(11, 11, "  # louder")])
    'gain: 35 dB  # louder'
    """
    pieces = []
    at = start
    for patch in sorted(patches, key=lambda each: (each.start, each.end)):
        pieces += [text[at : patch.start], patch.text]
        at = max(at, patch.end)
    pieces.append(text[at:end])
    return "".join(pieces)


def line_start(text: str, index: int) -> int:
    """Where the line of a place begins."""
    return text.rfind("\n", 0, index) + 1


def after_line(text: str, index: int) -> int:
    """Where the line after a place begins, or the end of the text."""
    found = text.find("\n", index)
    return len(text) if found < 0 else found + 1


def begins_its_line(text: str, index: int) -> bool:
    """Whether nothing but spaces stands before a place on its line."""
    return not text[line_start(text, index) : index].strip(" ")


def content_end(text: str, node: Node, otherwise: int) -> int:
    """End of the last character of a node; ``otherwise`` for one without any."""
    if isinstance(node, ScalarNode):
        if node.start == node.end:
            return otherwise
        if node.style in _BLOCK_STYLES and "+" in text[node.start : text.find("\n", node.start)]:
            return node.end - 1  # |+ keeps its empty lines
        return node.start + len(text[node.start : node.end].rstrip())
    if node.flow:
        return node.end
    if isinstance(node, MapNode):
        last = node.entries[-1]
        return content_end(text, last.value, last.colon)
    return content_end(text, node.items[-1], dashes(text, node)[-1] + 1)


def dashes(text: str, node: SeqNode) -> list[int]:
    """Places of the dashes of a list that is not in brackets."""
    places = []
    at = node.start
    for item in node.items:
        places.append(_after_blank(text, at))
        at = content_end(text, item, places[-1] + 1)
    return places


def _after_blank(text: str, index: int) -> int:
    """The next place that is no space, line end or comment."""
    match = _BLANK.match(text, index)
    return index if match is None else match.end()


def new_lines(text: str, index: int, lines: Sequence[str]) -> Patch:
    """Lines put in where a line begins, or after a last line that has no end."""
    newline = "\r\n" if "\r\n" in text else "\n"
    if index and text[index - 1] != "\n":
        return Patch(index, index, newline + newline.join(lines))
    return Patch(index, index, newline.join(lines) + newline)
