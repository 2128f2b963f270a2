"""From the text of a show file to a show: its shape, every value, and whether it hangs together."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from pydantic import ValidationError

from levelhead.errors import ShowError
from levelhead.show import lengths
from levelhead.show.model import Area, Item, Link, Room, Show, Source, Supply, Volts
from levelhead.show.read.formats import brought_up_to_date
from levelhead.show.read.problems import Problems
from levelhead.show.read.references import (
    Names,
    check_items_known,
    check_references,
    check_stock,
    read_links,
)
from levelhead.show.read.schema import RoomEntry, ShowFile
from levelhead.show.read.settings import read_settings
from levelhead.show.rooms import Surface
from levelhead.show.yaml.text import YamlText
from levelhead.show.yaml.tree import MapNode, Node, ScalarNode, SeqNode, read_tree

__all__ = ["Reading", "read_show"]


@dataclass(frozen=True, slots=True, eq=False)
class Reading:
    """A show, its text and tree, and the links that each entry of ``links`` stands for."""

    show: Show
    source: YamlText
    root: MapNode
    written_links: tuple[tuple[Link, ...], ...]


def read_show(source: YamlText) -> Reading:
    """Read and check a whole file.

    Raises
    ------
    ShowError
        With all that is wrong, each at its line and column.
    """
    root, errors = _read_mapping(source)
    current = brought_up_to_date(source, root)
    if current is not source:
        source = current
        root, errors = _read_mapping(source)
    problems = Problems(source, root, errors)
    file, broken = _validated(root, problems)
    if _is_heading_lost(root):
        problems.raise_collected()  # else whatever names something under it is an error as well
    settings, locks = read_settings(root, problems)
    names = Names.of(root)
    written = read_links(file, broken, names, problems)
    check_references(root, names, problems)
    check_stock(root, problems)
    check_items_known(settings | dict.fromkeys(locks, ""), names, problems)
    problems.raise_collected()
    return Reading(_show(file, written, settings, locks), source, root, written)


def _read_mapping(source: YamlText) -> tuple[MapNode, list[ShowError]]:
    """The tree of a file whose top is a mapping."""
    root, errors = read_tree(source)
    if isinstance(root, MapNode):
        return root, errors
    raise source.error(
        root.start,
        "no entries" if isinstance(root, ScalarNode) and not root.text else "no mapping at the top",
        expected="a show: levelhead, show, items, links, ...",
        remedy="Begin with the lines 'levelhead: 1' and 'show: {name: ...}'.",
    )


def _is_heading_lost(root: MapNode) -> bool:
    """Whether a heading is unknown where one is missing whose names stand elsewhere."""
    headings = {entry.key.text for entry in root.entries}
    return not headings <= ShowFile.model_fields.keys() and not {"items", "supplies"} <= headings


def _plain(node: Node) -> Any:
    """The tree as the schema takes it: mappings and lists with leaves that stay nodes."""
    if isinstance(node, MapNode):
        return {entry.key.text: _plain(entry.value) for entry in node.entries}
    if isinstance(node, SeqNode):
        return [_plain(item) for item in node.items]
    return node


def _validated(root: MapNode, problems: Problems) -> tuple[ShowFile, frozenset[str | int]]:
    """The well-formed entries, so that the rest can be checked; and the numbers of bad links."""
    raw = _plain(root)
    try:
        return ShowFile.model_validate(raw), frozenset()
    except ValidationError as error:
        problems.add_invalid(error)
        broken = _prune(raw, error)
    return ShowFile.model_validate(raw), broken


def _prune(raw: dict[str, Any], error: ValidationError) -> frozenset[str | int]:
    """Take out the entries that have errors; a bad link leaves a harmless one in its place."""
    locations = [detail["loc"] for detail in error.errors(include_url=False, include_input=False)]
    for section, *rest in locations:
        entries = raw.get(str(section))
        if isinstance(entries, dict) and rest and section != "show":
            entries.pop(rest[0], None)
        elif isinstance(entries, list) and rest and isinstance(rest[0], int):
            entries[rest[0]] = {"from": "bad.a", "to": "bad.b"}
        else:
            raw.pop(str(section), None)
    raw.setdefault("show", {"name": "?"})
    return frozenset(rest[0] for section, *rest in locations if section == "links" and rest)


def _show(
    file: ShowFile,
    written: Iterable[tuple[Link, ...]],
    settings: dict[str, str],
    locks: frozenset[str],
) -> Show:
    """The show of a file without errors."""
    return Show(
        name=file.show.name,
        date=file.show.date,
        version=file.show.version,
        items={name: Item(id=name, **dict(entry)) for name, entry in file.items.items()},
        sources={
            name: Source(
                name,
                entry.type,
                entry.at,
                entry.distance,
                entry.label,
                dict(entry.also),
                entry.level,
            )
            for name, entry in file.sources.items()
        },
        links=tuple(link for links in written for link in links),
        settings=settings,
        locks=locks,
        supplies={name: Supply(id=name, **dict(entry)) for name, entry in file.supplies.items()},
        stock={lengths.cable_text(cable): count for cable, count in file.stock.items()},
        room=_room(file.room),
        areas={name: Area(id=name, **dict(entry)) for name, entry in file.areas.items()},
        measured={name: Volts(id=name, **dict(entry)) for name, entry in file.measured.items()},
    )


def _room(entry: RoomEntry) -> Room | None:
    """The room; a section with nothing in it is none."""
    room = Room(**(dict(entry) | {"surfaces": _surfaces(entry)}))
    return None if room == Room() else room


def _surfaces(entry: RoomEntry) -> dict[str, Surface]:
    return {name: Surface(each.area, each.absorption) for name, each in entry.surfaces.items()}
