"""Write a changed show over its text, so that only what changed is touched and comments stay.

Everything is compared as plain values (before and after); where they differ, the tree says which
part of the text to replace. A link that cannot be changed by parts is written anew.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from typing import Final, TypeAlias

from levelhead.errors import ShowError
from levelhead.show.checks import LOCK
from levelhead.show.lengths import cable_text, checked_cable
from levelhead.show.model import Link
from levelhead.show.written.link_steps import link_steps
from levelhead.show.written.patches import (
    Patch,
    after_line,
    begins_its_line,
    content_end,
    dashes,
    line_start,
    new_lines,
    patched,
)
from levelhead.show.written.plain import Plain
from levelhead.show.written.steps import ABSENT, Step, list_steps, map_steps
from levelhead.show.written.writing import entry_lines, flow_text, item_lines, key_text
from levelhead.show.yaml.scalars import scalar_text
from levelhead.show.yaml.tree import Entry, MapNode, Node, ScalarNode, SeqNode

__all__ = ["spliced"]

_ORDERED: Final = frozenset({"items", "sources"})
_QUOTES: Final = ("'", '"')
_COMMENT_OR_COMMA: Final = re.compile(r"(#[^\n]*)|,")

Member: TypeAlias = Callable[[Step], list[Patch]]
"""Patches of one entry that stays."""


class _UnsplicableError(Exception):
    """No way to do it by parts: the first entry of a link, behind its dash, comes or goes."""


def spliced(
    text: str,
    root: MapNode,
    old: Mapping[str, Plain],
    new: Mapping[str, Plain],
    *,
    written_links: Sequence[tuple[Link, ...]],
    links: Sequence[Link],
) -> str:
    """The text with the sections that differ written over.

    Parameters
    ----------
    text, root
        What stands there, and its tree.
    old, new : mapping
        The show before and after, as ``plain_show`` gives it.
    written_links : sequence of tuple of Link
        Links that each entry of ``links`` in the text stands for.
    links : sequence of Link
        All links after.
    """
    written = [entry.key.text for entry in root.entries]
    wanted = {
        name: value for name, value in new.items() if name in written or value not in ({}, [])
    }
    before = {name: value for name, value in old.items() if name in written}
    steps = map_steps(written, before, wanted, ordered=False)

    def section(step: Step) -> list[Patch]:
        entry = root.entries[step.index or 0]
        node = entry.value
        if (
            step.key == "links"
            and step.new
            and isinstance(node, SeqNode)
            and not _is_bare(text, node)
        ):
            as_ends = [
                isinstance(each, MapNode) and each.entry("ends") is not None for each in node.items
            ]
            return _seq_patches(text, node, link_steps(written_links, as_ends, links))
        return _entry_patches(text, entry, step, flow=root.flow, ordered=step.key in _ORDERED)

    return patched(text, _map_patches(text, root, steps, section))


def _entry_patches(
    text: str, entry: Entry, step: Step, *, flow: bool, ordered: bool = False
) -> list[Patch]:
    """Patches of an entry that stays: of its name and of its value."""
    patches = []
    if step.key != entry.key.text and _stock_name(entry.key.text) != step.key:
        patches.append(Patch(entry.key.start, entry.key.end, key_text(step.key)))
    if step.new is ABSENT or (
        step.old == step.new and not (ordered and list(step.old) != list(step.new))
    ):
        return patches
    return patches + _value_patches(text, entry, step, flow=flow, ordered=ordered)


def _stock_name(written: str) -> str:
    """The key of a thing in stock, which a person may have spelt in another way."""
    try:
        return cable_text(checked_cable(written))
    except ShowError:
        return written


def _value_patches(
    text: str, entry: Entry, step: Step, *, flow: bool, ordered: bool
) -> list[Patch]:
    node, new = entry.value, step.new
    if isinstance(new, (dict, list)) and _is_bare(text, node):
        return _filled(text, entry, step, flow=flow)
    if isinstance(node, MapNode) and isinstance(new, dict):
        old = step.old if isinstance(step.old, dict) else {}
        return _inner_map(
            text, entry, node, map_steps(_names(node, old), old, new, ordered=ordered)
        )
    if isinstance(node, SeqNode) and isinstance(new, list):
        return _inner_list(text, entry, node, _value_steps(entry, node, step))
    written = scalar_text(new, quote=node.style if isinstance(node, ScalarNode) else "")
    joined = node.start > entry.colon or written[0] in _QUOTES  # "name":"value", as in JSON
    end = content_end(text, node, entry.colon)
    return [Patch(node.start, end, written if joined else f" {written}")]


def _names(node: MapNode, old: Mapping[str, Plain]) -> list[str]:
    """Names of the entries as the show has them."""
    written = [entry.key.text for entry in node.entries]
    return [name if name in old else _stock_name(name) for name in written]


def _value_steps(entry: Entry, node: SeqNode, step: Step) -> list[Step]:
    """Steps of a list; locks stay in the order that they were written in."""
    if not step.new:
        return [Step(index, "", None, ABSENT) for index in range(len(node.items))]
    if entry.key.text != LOCK:
        return list_steps(step.old, step.new)
    written = [item.text if isinstance(item, ScalarNode) else "" for item in node.items]
    stay = [name for name in written if name in step.new]
    return list_steps(written, [*stay, *(name for name in step.new if name not in written)])


def _is_bare(text: str, node: Node) -> bool:
    """Whether nothing stands there yet: no value, ``{}`` or ``[]``."""
    return isinstance(node, ScalarNode) or not text[node.start : node.end].strip("{}[] ")


def _filled(text: str, entry: Entry, step: Step, *, flow: bool) -> list[Patch]:
    """Patches that put the first entries where nothing stands."""
    indent = entry.key.start - line_start(text, entry.key.start)
    lines = entry_lines(step.key, step.new, indent)
    end = max(entry.colon, entry.value.end)
    if flow or len(lines) == 1:
        return [Patch(entry.colon, end, f" {flow_text(step.new)}")]
    return [Patch(entry.colon, end, ""), new_lines(text, after_line(text, end), lines[1:])]


def _inner_map(text: str, entry: Entry, node: MapNode, steps: list[Step]) -> list[Patch]:
    def member(step: Step) -> list[Patch]:
        return _entry_patches(text, node.entries[step.index or 0], step, flow=node.flow)

    emptied = not node.flow and all(step.new is ABSENT for step in steps)
    return _map_patches(text, node, steps, member) + (
        [Patch(entry.colon, entry.colon, " {}")] if emptied else []
    )


def _inner_list(text: str, entry: Entry, node: SeqNode, steps: list[Step]) -> list[Patch]:
    emptied = not node.flow and all(step.new is ABSENT for step in steps)
    return _seq_patches(text, node, steps) + (
        [Patch(entry.colon, entry.colon, " []")] if emptied else []
    )


def _map_patches(text: str, node: MapNode, steps: list[Step], member: Member) -> list[Patch]:
    """Patches of a mapping; ``member`` gives those of an entry that stays."""
    spans = [(each.key.start, content_end(text, each.value, each.colon)) for each in node.entries]
    if node.flow:
        added = {
            step.key: f"{key_text(step.key)}: {flow_text(step.new)}"
            for step in steps
            if step.index is None
        }
        return _flow_patches(text, node, spans, steps, member, lambda step: added[step.key])
    indent = spans[0][0] - line_start(text, spans[0][0])
    return _block_patches(
        text, spans, steps, member, lambda step: entry_lines(step.key, step.new, indent)
    )


def _seq_patches(text: str, node: SeqNode, steps: list[Step]) -> list[Patch]:
    """Patches of a list."""

    def member(step: Step) -> list[Patch]:
        return _item_patches(text, node.items[step.index or 0], step)

    if node.flow:
        spans = [(item.start, content_end(text, item, item.start)) for item in node.items]
        return _flow_patches(text, node, spans, steps, member, lambda step: flow_text(step.new))
    starts = dashes(text, node)
    spans = [
        (start, content_end(text, item, start + 1))
        for start, item in zip(starts, node.items, strict=True)
    ]
    indent = starts[0] - line_start(text, starts[0])
    return _block_patches(text, spans, steps, member, lambda step: item_lines(step.new, indent))


def _item_patches(text: str, node: Node, step: Step) -> list[Patch]:
    """Patches of an item of a list that stays."""
    if step.old == step.new:
        return []
    if isinstance(node, ScalarNode):
        end = content_end(text, node, node.start)
        return [Patch(node.start, end, scalar_text(step.new, quote=node.style))]
    whole = [Patch(node.start, content_end(text, node, node.start), flow_text(step.new))]
    if not isinstance(node, MapNode) or not step.old:
        return whole
    steps = map_steps(_names(node, step.old), step.old, step.new, ordered=False)
    try:
        return _map_patches(
            text,
            node,
            steps,
            lambda each: _entry_patches(text, node.entries[each.index or 0], each, flow=node.flow),
        )
    except _UnsplicableError:
        return whole


def _block_patches(
    text: str,
    spans: Sequence[tuple[int, int]],
    steps: Sequence[Step],
    member: Member,
    added: Callable[[Step], list[str]],
) -> list[Patch]:
    """Patches of entries on lines of their own; comments on lines of their own stay."""
    patches: list[Patch] = []
    at = line_start(text, spans[0][0])
    free = begins_its_line(text, spans[0][0])  # else a dash stands before the first entry
    for step in steps:
        if step.index is None:
            if not free:
                raise _UnsplicableError
            patches.append(new_lines(text, at, added(step)))
            continue
        start, end = spans[step.index]
        if step.stays:
            patches += member(step)
        elif begins_its_line(text, start):
            patches.append(Patch(line_start(text, start), after_line(text, end), ""))
        else:
            raise _UnsplicableError
        at, free = after_line(text, end), True
    return patches


def _flow_patches(
    text: str,
    node: MapNode | SeqNode,
    spans: Sequence[tuple[int, int]],
    steps: Sequence[Step],
    member: Member,
    added: Callable[[Step], str],
) -> list[Patch]:
    """Patches of entries in brackets: of the values only, or of everything between the brackets."""
    if all(step.stays for step in steps):
        return [patch for step in steps for patch in member(step)]
    first, last = (spans[0][0], spans[-1][1]) if spans else (node.end - 1, node.end - 1)
    pieces = [text[node.start + 1 : first]]
    empty = True
    for step in steps:
        gap = text[spans[step.index - 1][1] : spans[step.index][0]] if step.index else ""
        if not step.stays and step.index is not None:
            pieces.append(_comments(gap))
            continue
        pieces.append(_comments(gap) if empty else gap or ", ")
        if step.index is None:
            pieces.append(added(step))
        else:
            pieces.append(patched(text, member(step), *spans[step.index]))
        empty = False
    closing = text[last : node.end - 1]
    pieces.append(_without_comma(closing) if empty else closing)
    return [Patch(node.start + 1, node.end - 1, "".join(pieces))]


def _comments(gap: str) -> str:
    """What has to stay of the gap before an entry: the comments in it."""
    return _without_comma(gap) if "#" in gap else ""


def _without_comma(gap: str) -> str:
    """The gap without its comma; commas inside comments stay."""
    return _COMMENT_OR_COMMA.sub(lambda match: match[1] or "", gap)
