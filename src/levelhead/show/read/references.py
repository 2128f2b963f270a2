"""Whether a show hangs together: what links, sources, items and settings refer to is there."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from levelhead.errors import ShowError
from levelhead.show import lengths
from levelhead.show.addresses import expand_range, item_of, shortened
from levelhead.show.model import Link
from levelhead.show.names import Path, did_you_mean
from levelhead.show.read.problems import Problems
from levelhead.show.read.schema import LinkEntry, ShowFile
from levelhead.show.yaml.scalars import Kind
from levelhead.show.yaml.tree import MapNode, Node, ScalarNode, SeqNode

__all__ = ["Names", "check_items_known", "check_references", "check_stock", "read_links"]


@dataclass(frozen=True, slots=True)
class Names:
    """Ids that the file gives, well formed or not; ``None`` for a section that is no mapping."""

    items: frozenset[str] | None
    supplies: frozenset[str] | None

    @classmethod
    def of(cls, root: MapNode) -> Names:
        """Ids of a file."""
        return cls(cls._keys(root, "items"), cls._keys(root, "supplies"))

    @staticmethod
    def _keys(root: MapNode, section: str) -> frozenset[str] | None:
        entry = root.entry(section)
        if entry is None or (isinstance(entry.value, ScalarNode) and entry.value.kind is Kind.NULL):
            return frozenset()
        if not isinstance(entry.value, MapNode):
            return None
        return frozenset(inner.key.text for inner in entry.value.entries)


def read_links(
    file: ShowFile, broken: frozenset[str | int], names: Names, problems: Problems
) -> tuple[tuple[Link, ...], ...]:
    """Links of each entry; a socket takes one plug."""
    taken: dict[str, Path] = {}
    written = []
    for number, entry in enumerate(file.links):
        path: Path = ("links", number)
        links = () if number in broken else _links_of(entry, path, problems)
        written.append(links)
        for link in links:
            for end, address in link.ends.items():
                field = _end_path(path, entry, end)
                _check_socket(address, field, names, taken, problems)
    return tuple(written)


def _end_path(path: Path, entry: LinkEntry, end: str) -> Path:
    """Field of one end as the file has it."""
    if entry.ends is not None:
        return (*path, "ends", end)
    return (*path, "from" if end == "a" else "to")


def _links_of(entry: LinkEntry, path: Path, problems: Problems) -> tuple[Link, ...]:
    """One link, or one for each number of its ranges."""
    written = (
        entry.ends if entry.ends is not None else {"a": entry.from_ or "", "b": entry.to or ""}
    )
    expanded = {end: expand_range(text) for end, text in written.items()}
    counts = {len(addresses) for addresses in expanded.values()}
    if len(counts) > 1:
        sizes = " and ".join(
            f"{len(addresses)} at {written[end]}" for end, addresses in expanded.items()
        )
        problems.add(
            path,
            f"the ends do not match: {sizes}",
            expected="ranges of one length at each end",
            remedy="Make the ranges equally long, or write the links one by one.",
        )
        return ()
    ends = (
        {end: addresses[number] for end, addresses in expanded.items()}
        for number in range(counts.pop())
    )
    return tuple(Link(each, entry.via, entry.pins, entry.plugged, entry.beside) for each in ends)


def _check_socket(
    address: str, path: Path, names: Names, taken: dict[str, Path], problems: Problems
) -> None:
    """The item is there, and nothing else is plugged in."""
    _check_known(item_of(address), names.items, path, "item", problems)
    if address in taken:
        first = problems.place(taken[address])
        problems.add(
            path,
            f"{address} has a plug in it already, from {first}",
            expected="one plug to a socket",
            remedy="Use another socket, or a split or a link output of the gear.",
        )
    taken.setdefault(address, path)


def check_references(root: MapNode, names: Names, problems: Problems) -> None:
    """What items and sources point at is there, also where their other fields are wrong."""
    references = (
        ("items", "supply", names.supplies, "supply"),
        ("sources", "at", names.items, "item"),
    )
    for section, field, known, kind in references:
        for name, entry in _entries(root, section):
            leaf = entry.entry(field) if isinstance(entry, MapNode) else None
            if leaf is not None and isinstance(leaf.value, ScalarNode) and leaf.value.text:
                target = item_of(leaf.value.text) if kind == "item" else leaf.value.text
                _check_known(target, known, (section, name, field), kind, problems)
    for name, reading in _entries(root, "measured"):
        pair = reading.entry("between") if isinstance(reading, MapNode) else None
        leaves = pair.value.items if pair is not None and isinstance(pair.value, SeqNode) else ()
        for number, each in enumerate(leaves):
            if isinstance(each, ScalarNode) and each.text:
                path: Path = ("measured", name, "between", number)
                _check_known(each.text, names.items, path, "item", problems)


def _entries(root: MapNode, section: str) -> list[tuple[str, Node]]:
    """Entries of a section that is a mapping."""
    entry = root.entry(section)
    if entry is None or not isinstance(entry.value, MapNode):
        return []
    return [(inner.key.text, inner.value) for inner in entry.value.entries]


def check_stock(root: MapNode, problems: Problems) -> None:
    """Two spellings of one length are one thing in stock."""
    first: dict[str, str] = {}
    for written, _ in _entries(root, "stock"):
        try:
            name = lengths.cable_text(lengths.checked_cable(written))
        except ShowError:
            continue  # reported by the schema
        if name in first:
            problems.add(
                ("stock", written),
                f"{shortened(written)} is the same as {shortened(first[name])}",
                expected="each thing once",
                remedy="Add the counts up in one line.",
                at_key=True,
            )
        first.setdefault(name, written)


def _check_known(
    name: str, known: frozenset[str] | None, path: Path, kind: str, problems: Problems
) -> None:
    if known is not None and name not in known:
        section = "items" if kind == "item" else "supplies"
        otherwise = f"Add it under {section}."
        problems.add(
            path,
            f"there is no {kind} {shortened(name)}",
            expected=f"one that stands under {section}",
            remedy=otherwise if problems.is_full else did_you_mean(name, sorted(known), otherwise),
        )


def check_items_known(addresses: Iterable[str], names: Names, problems: Problems) -> None:
    """Settings belong to items of the show; each unknown one is named once."""
    for name in dict.fromkeys(item_of(address) for address in addresses):
        if names.items is not None and name not in names.items:
            problems.add(
                ("settings", name),
                f"there is no item {shortened(name)}",
                expected="one that stands under items",
                remedy=did_you_mean(name, sorted(names.items), "Add it under items."),
                at_key=True,
            )
