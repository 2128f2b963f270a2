"""Settings and locks: nested mappings in a file, flat addresses in a show."""

from __future__ import annotations

from collections.abc import Iterator

from levelhead.errors import ShowError
from levelhead.show import checks
from levelhead.show.addresses import MOST_PARTS, is_id, shortened
from levelhead.show.names import Path
from levelhead.show.read.problems import Problems
from levelhead.show.yaml.scalars import Kind
from levelhead.show.yaml.tree import MapNode, Node, ScalarNode, SeqNode

__all__ = ["read_settings"]


def read_settings(root: MapNode, problems: Problems) -> tuple[dict[str, str], frozenset[str]]:
    """Flat settings and locks from the nested mappings."""
    entry = root.entry("settings")
    settings: dict[str, str] = {}
    locks: set[str] = set()
    if entry is not None and isinstance(entry.value, MapNode):
        for path, node in _setting_leaves(entry.value, (), problems):
            _read_setting(path, node, problems, settings, locks)
    return settings, frozenset(locks)


def _setting_leaves(
    node: MapNode, path: tuple[str, ...], problems: Problems
) -> Iterator[tuple[tuple[str, ...], Node]]:
    """Values and lock lists below a mapping, each with its names."""
    for entry in node.entries:
        inner = (*path, entry.key.text)
        if not is_id(entry.key.text):
            problems.add(
                ("settings", *inner),
                f"{shortened(entry.key.text)} is no name",
                expected="small letters, digits and hyphens",
                remedy=_name_remedy(entry.key.text),
                at_key=True,
            )
        elif (
            entry.key.text != checks.LOCK
            and isinstance(entry.value, MapNode)
            and len(inner) < MOST_PARTS
        ):
            yield from _setting_leaves(entry.value, inner, problems)
        else:
            yield inner, entry.value


def _name_remedy(word: str) -> str:
    """What was probably meant by a word that is no name."""
    if "[" in word:
        return "Write an entry for each; ranges are for links only."
    if word[:1].isdigit():
        return "Write decimals with a point, not a comma."
    return "Write the names of the gear type, a level deeper for each dot of an address."


def _read_setting(
    path: tuple[str, ...], node: Node, problems: Problems, settings: dict[str, str], locks: set[str]
) -> None:
    """One control's value, or one list of locks."""
    place: Path = ("settings", *path)
    if path[-1] == checks.LOCK and len(path) > 1:
        locks.update(_read_locks(path[:-1], node, problems))
    elif len(path) == 1 or path[-1] == checks.LOCK:
        problems.add(
            place,
            f"{problems.read_at(place)} was read",
            expected="the settings of an item",
            remedy="Write it like desk: {ch1: {gain: 35 dB}}.",
        )
    elif not isinstance(node, ScalarNode) or node.kind is Kind.NULL:
        problems.add(
            place,
            f"{problems.read_at(place)} was read",
            expected="one value",
            remedy="Give a value such as 35 dB, on or unknown; leave the line out for the default.",
        )
    else:
        try:
            settings[".".join(path)] = checks.checked_value(node.text)
        except ShowError as fault:
            problems.add_fault(place, fault)


def _read_locks(path: tuple[str, ...], node: Node, problems: Problems) -> Iterator[str]:
    """Addresses of the controls that a ``lock:`` names."""
    place: Path = ("settings", *path, checks.LOCK)
    if not isinstance(node, SeqNode):
        problems.add(
            place,
            f"{problems.read_at(place)} was read",
            expected="a list of controls beside it",
            remedy="Write it like lock: [gain].",
        )
        return
    for number, item in enumerate(node.items):
        name = item.text if isinstance(item, ScalarNode) else ""
        try:
            yield checks.checked_setting(".".join((*path, name)))
        except ShowError as fault:
            problems.add_fault((*place, number), fault)
