"""Events of a YAML text: where values, lists and mappings begin and end, in the order of the text.

libyaml reads a text some sixteen times as fast as the parser in Python, which is the one that
counts: it reads what libyaml refuses, and words every mistake. It also reads whatever the two take
differently: tabs, a byte order mark, text in blocks (``|``, ``>``), and what a show never has
(anchors, aliases, tags).
"""

from __future__ import annotations

from collections.abc import Iterator
from enum import Enum
from typing import Any, Final, NamedTuple

import yaml

__all__ = ["Event", "EventKind", "events_of"]

_PARSED_ALIKE: Final = frozenset("\t\ufeff").isdisjoint  # a text without these


class EventKind(Enum):
    """What begins or ends; named as both parsers name their events."""

    STREAM_START = "StreamStartEvent"
    STREAM_END = "StreamEndEvent"
    DOCUMENT_START = "DocumentStartEvent"
    DOCUMENT_END = "DocumentEndEvent"
    MAPPING_START = "MappingStartEvent"
    MAPPING_END = "MappingEndEvent"
    SEQUENCE_START = "SequenceStartEvent"
    SEQUENCE_END = "SequenceEndEvent"
    SCALAR = "ScalarEvent"
    ALIAS = "AliasEvent"
    COMMENT = "CommentEvent"


_KINDS: Final = {kind.value: kind for kind in EventKind}


class Event(NamedTuple):
    """A step through a text, from the character ``start`` to ``end``.

    ``style`` are the quotes of a scalar, ``flow`` stands for brackets and braces; ``odd`` is what
    a show never has: ``anchor``, ``tag`` or ``directive``.
    """

    kind: EventKind
    start: int
    end: int
    value: str = ""
    style: str = ""
    flow: bool = False
    odd: str = ""


def events_of(text: str) -> Iterator[Event]:
    """Events of a text, as they are read.

    Raises
    ------
    ruamel.yaml.error.YAMLError
        The text is no YAML; perhaps after the first events.
    """
    quickly = _by_libyaml(text)
    return _by_pure_python(text) if quickly is None else iter(quickly)


def _by_libyaml(text: str) -> list[Event] | None:
    """All events; ``None`` where libyaml has nothing to say, or the parsers might differ."""
    loader = getattr(yaml, "CSafeLoader", None)  # not where libyaml was not there to build with
    if loader is None or not _PARSED_ALIKE(text):
        return None
    try:
        found = [_event(each) for each in yaml.parse(text, Loader=loader)]
    except (yaml.YAMLError, ValueError):
        return None
    return None if any(map(_is_apart, found)) else found


def _is_apart(event: Event) -> bool:
    """Whether the parsers might take the text round this one differently."""
    return bool(event.odd) or event.kind is EventKind.ALIAS or event.style in ("|", ">")


def _by_pure_python(text: str) -> Iterator[Event]:
    from ruamel.yaml import YAML

    return map(_event, YAML(typ="safe", pure=True).parse(text))


def _event(event: Any) -> Event:
    """An event of either parser."""
    kind = _KINDS[type(event).__name__]
    start, end = event.start_mark.index, event.end_mark.index
    if kind is EventKind.SCALAR:
        return Event(kind, start, end, event.value, event.style or "", odd=_odd(event))
    if kind in (EventKind.MAPPING_START, EventKind.SEQUENCE_START):
        return Event(kind, start, end, flow=bool(event.flow_style), odd=_odd(event))
    is_directed = kind is EventKind.DOCUMENT_START and (event.version or event.tags)
    return Event(kind, start, end, odd="directive" if is_directed else "")


def _odd(event: Any) -> str:
    if event.anchor is not None:
        return "anchor"
    return "tag" if event.tag is not None else ""
