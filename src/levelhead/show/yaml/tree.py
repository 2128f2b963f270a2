"""A show file as a tree of YAML nodes that know where they stand.

The parser's events are turned into nodes here, so that every leaf keeps its text as typed
(``1.20``, ``012``) and its place in the file, and so that nesting, anchors and repeated keys are
stopped before they cost anything.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Final, NoReturn, TypeAlias

from levelhead.errors import ShowError
from levelhead.show.addresses import shortened
from levelhead.show.yaml.events import Event, EventKind, events_of
from levelhead.show.yaml.refusals import refuse_odd_text, unreadable
from levelhead.show.yaml.scalars import Kind, plain_kind
from levelhead.show.yaml.text import YamlText

__all__ = [
    "DEEPEST",
    "Entry",
    "MapNode",
    "Node",
    "ScalarNode",
    "SeqNode",
    "read_tree",
]

DEEPEST: Final = 12  # levels; a show has six
_ODD: Final = {  # what a show never has, what it has instead, and what to do about it
    "": ("an alias (*)", "every value in full", "Write the value out where it is used."),
    "anchor": ("an anchor (&)", "every value in full", "Put text with & in quotes."),
    "tag": ("a tag (!)", "plain values", "Put text with ! in quotes."),
}


@dataclass(frozen=True, slots=True, eq=False)
class ScalarNode:
    """A single value: its text as typed, what it means, its quotes, and where it stands."""

    text: str
    kind: Kind
    style: str
    start: int
    end: int


@dataclass(frozen=True, slots=True, eq=False)
class Entry:
    """``key: value``; ``colon`` is the place just after the colon."""

    key: ScalarNode
    value: Node
    colon: int


@dataclass(frozen=True, slots=True, eq=False)
class MapNode:
    """A mapping, in braces (``flow``) or one entry to a line."""

    entries: tuple[Entry, ...]
    flow: bool
    start: int
    end: int

    def entry(self, key: str) -> Entry | None:
        """The entry of that key, if there is one."""
        return next((entry for entry in self.entries if entry.key.text == key), None)


@dataclass(frozen=True, slots=True, eq=False)
class SeqNode:
    """A list, in brackets (``flow``) or with a dash to each item."""

    items: tuple[Node, ...]
    flow: bool
    start: int
    end: int


Node: TypeAlias = ScalarNode | MapNode | SeqNode


def read_tree(source: YamlText) -> tuple[Node, list[ShowError]]:
    """Tree of a YAML text, with the errors that leave its shape readable (repeated keys).

    Raises
    ------
    ShowError
        The text is no YAML, or has what a show never needs: anchors, tags, several documents, deep
        nesting.
    """
    refuse_odd_text(source)
    reader = _TreeReader(source)
    try:
        return reader.read(), reader.errors
    except ShowError:
        raise
    except Exception as error:  # noqa: BLE001 - whatever a damaged file does to the parser is the file's mistake
        raise unreadable(source, error) from None


@dataclass(eq=False)
class _TreeReader:
    """Turns the events of one text into nodes."""

    source: YamlText
    errors: list[ShowError] = field(default_factory=list)

    def read(self) -> Node:
        """The one document of the text."""
        events = events_of(self.source.text)
        root: Node = ScalarNode("", Kind.NULL, "", 0, 0)
        documents = 0
        for event in events:
            if event.kind is EventKind.DOCUMENT_START:
                documents += 1
                self._check_document(event, documents)
                root = self._node(next(events), events, depth=0)
            elif event.kind is EventKind.STREAM_END:
                break
        return root

    def _check_document(self, event: Event, number: int) -> None:
        """One document, and no directives: a version or tags change what words mean."""
        if number > 1:
            self._refuse(
                event, "a second document", "one show to a file", "Move it to a file of its own."
            )
        if event.odd:
            self._refuse(event, "a % directive", "plain YAML 1.2", "Leave the line with % out.")

    def _node(self, event: Event, events: Iterator[Event], *, depth: int) -> Node:
        """A value with all that is in it; what our files do not have is refused."""
        kind = event.kind
        if event.odd or kind is EventKind.ALIAS:
            self._refuse(event, *_ODD[event.odd])
        if depth > DEEPEST:
            self._refuse(
                event,
                f"nesting deeper than {DEEPEST}",
                "the shape of a show",
                "Look for lost brackets.",
            )
        if kind is EventKind.SCALAR:
            return _scalar(event)
        if kind is EventKind.SEQUENCE_START:
            return self._sequence(event, events, depth=depth + 1)
        if kind is EventKind.MAPPING_START:
            return self._mapping(event, events, depth=depth + 1)
        raise TypeError(event)

    def _sequence(self, start: Event, events: Iterator[Event], *, depth: int) -> SeqNode:
        items: list[Node] = []
        while (event := next(events)).kind is not EventKind.SEQUENCE_END:
            items.append(self._node(event, events, depth=depth))
        return SeqNode(tuple(items), start.flow, start.start, event.end)

    def _mapping(self, start: Event, events: Iterator[Event], *, depth: int) -> MapNode:
        entries: dict[str, Entry] = {}
        while (event := next(events)).kind is not EventKind.MAPPING_END:
            entry = self._entry(event, events, depth=depth)
            if (first := entries.get(entry.key.text)) is not None:
                self.errors.append(self._repeated(entry.key, first.key))
            entries[entry.key.text] = entry
        return MapNode(tuple(entries.values()), start.flow, start.start, event.end)

    def _entry(self, event: Event, events: Iterator[Event], *, depth: int) -> Entry:
        key = self._node(event, events, depth=depth)
        if not isinstance(key, ScalarNode):
            raise self.source.error(
                key.start,
                "a list or mapping as a name",
                expected="'name: value'",
                remedy="Add the name.",
            )
        colon = self._after_colon(key)
        value = self._node(next(events), events, depth=depth)
        if isinstance(value, ScalarNode) and not value.text and not value.style:
            value = ScalarNode(
                "", Kind.NULL, "", colon, colon
            )  # nothing stands where its colon ends
        return Entry(key, value, colon)

    def _after_colon(self, key: ScalarNode) -> int:
        """Place after the colon that must follow a key on its own line."""
        text = self.source.text
        index = key.end
        while text[index : index + 1] in {" ", "\t"}:
            index += 1
        if text[index : index + 1] != ":":
            comma = key.text[:1].isdigit()
            raise self.source.error(
                key.start,
                f"{shortened(key.text)} without a colon",
                expected="'name: value'",
                remedy="Write decimals with a point, not a comma."
                if comma
                else "Add a colon and the value.",
            )
        return index + 1

    def _repeated(self, key: ScalarNode, first: ScalarNode) -> ShowError:
        return self.source.error(
            key.start,
            f"{shortened(key.text)} is there twice, first at {self.source.place(first.start)}",
            expected="each name once",
            remedy="Remove one, or give it another name.",
        )

    def _refuse(self, event: Event, what: str, expected: str, remedy: str) -> NoReturn:
        raise self.source.error(event.start, what, expected=expected, remedy=remedy)


def _scalar(event: Event) -> ScalarNode:
    """Leaf of a scalar event; only an unquoted one can be anything but text."""
    kind = Kind.TEXT if event.style else plain_kind(event.value)
    return ScalarNode(event.value, kind, event.style, event.start, event.end)
