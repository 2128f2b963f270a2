"""How a show is written where no text stands yet: short entries on one line in braces."""

from __future__ import annotations

from levelhead.show.model import Show
from levelhead.show.written.plain import Plain, plain_show
from levelhead.show.yaml.scalars import scalar_text

__all__ = ["entry_lines", "flow_text", "item_lines", "key_text", "show_text"]

WIDTH = 100  # columns; longer entries are broken into lines
_STEP = 2  # columns that an inner line is indented by
_ALWAYS_BROKEN = frozenset(
    {"items", "sources", "links", "settings", "supplies", "room", "areas", "measured"}
)


def show_text(show: Show) -> str:
    """A whole file for a show that has none."""
    sections = {name: value for name, value in plain_show(show).items() if value not in ({}, [])}
    lines = [line for name, value in sections.items() for line in entry_lines(name, value, 0)]
    return "\n".join(lines) + "\n"


def key_text(key: str) -> str:
    """A name as it stands before its colon: ids need no quotes, whatever they look like."""
    return key if key.replace("-", "").isalnum() and key.isascii() else scalar_text(key)


def flow_text(value: Plain) -> str:
    """A value on one line.

    Examples
    --------
    >>> print(flow_text({"type": "desk", "at": [0.0, 18.0, 1.5], "label": "no: 1"}))
    {type: desk, at: [0, 18, 1.5], label: "no: 1"}
    """
    if isinstance(value, dict):
        return (
            "{"
            + ", ".join(f"{key_text(key)}: {flow_text(inner)}" for key, inner in value.items())
            + "}"
        )
    if isinstance(value, list):
        return "[" + ", ".join(flow_text(inner) for inner in value) + "]"
    return scalar_text(value)


def entry_lines(key: str, value: Plain, indent: int) -> list[str]:
    """``key: value`` as lines, at an indentation."""
    start = f"{' ' * indent}{key_text(key)}:"
    line = f"{start} {flow_text(value)}"
    broken = indent == 0 and key in _ALWAYS_BROKEN
    if not value or not isinstance(value, (dict, list)) or (len(line) <= WIDTH and not broken):
        return [line]
    inner = indent + _STEP
    if isinstance(value, dict):
        return [
            start,
            *(line for name, each in value.items() for line in entry_lines(name, each, inner)),
        ]
    return [start, *(line for each in value for line in item_lines(each, inner))]


def item_lines(value: Plain, indent: int) -> list[str]:
    """``- value`` as lines, at an indentation."""
    line = f"{' ' * indent}- {flow_text(value)}"
    if len(line) <= WIDTH or not isinstance(value, dict):
        return [line]
    lines = [
        line for name, each in value.items() for line in entry_lines(name, each, indent + _STEP)
    ]
    return [f"{' ' * indent}- {lines[0].lstrip(' ')}", *lines[1:]]
