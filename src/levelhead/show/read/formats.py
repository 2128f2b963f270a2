"""Versions of the show format: the number after ``levelhead:`` at the head of a file.

A file of an older format is brought up to date by one named function for each step, from text to
text, so that comments survive. Format 1 is the first, so the table of steps is still empty. Newer
formats are refused.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Final, TypeAlias

from levelhead.show.read.schema import FORMAT
from levelhead.show.yaml.scalars import Kind, plain_number
from levelhead.show.yaml.text import YamlText
from levelhead.show.yaml.tree import MapNode, ScalarNode, read_tree

__all__ = ["MIGRATIONS", "Migration", "brought_up_to_date"]

Migration: TypeAlias = Callable[[str], str]
"""Text of one format to text of the next."""

MIGRATIONS: Final[Mapping[int, Migration]] = MappingProxyType({})
"""From which format each migration starts."""

HEAD: Final = "levelhead"


def brought_up_to_date(
    source: YamlText,
    root: MapNode,
    *,
    newest: int = FORMAT,
    migrations: Mapping[int, Migration] = MIGRATIONS,
) -> YamlText:
    """The text in the newest format, which is the same text if it is in that format already.

    Raises
    ------
    ShowError
        The head is missing or no number, the format is newer than this program, or older than any
        migration.
    """
    number = _format_number(source, root, newest)
    text = source.text
    for step in range(number, newest):
        text = migrations[step](text)
        source = YamlText(text, source.name)
    if number < newest:
        _check_migrated(source, newest)
    return source


def _format_number(source: YamlText, root: MapNode, newest: int) -> int:
    entry = root.entry(HEAD)
    if entry is None:
        raise source.error(
            root.start,
            f"'{HEAD}' is missing",
            expected=f"a file that begins with '{HEAD}: {newest}'",
            remedy=f"Add '{HEAD}: {newest}' as its first line.",
        )
    node = entry.value
    if not isinstance(node, ScalarNode) or node.kind is not Kind.INTEGER:
        raise source.error(
            node.start,
            "the number of the format cannot be read",
            expected=f"'{HEAD}: {newest}'",
            remedy="Write the number alone, without quotes.",
            path=HEAD,
        )
    return _known(source, node, newest)


def _known(source: YamlText, node: ScalarNode, newest: int) -> int:
    """The number, if there is a way from it to the newest."""
    number = int(plain_number(node.text) or 0)
    if number > newest:
        raise source.error(
            node.start,
            f"format {number} is newer than this levelhead",
            expected=f"format {newest} or older",
            remedy="Get a newer levelhead; this one would lose what it does not know.",
            path=HEAD,
        )
    if number < 1:
        raise source.error(
            node.start,
            f"there is no format {number}",
            expected=f"a format from 1 to {newest}",
            remedy=f"Write '{HEAD}: {newest}' in a file of your own.",
            path=HEAD,
        )
    return number


def _check_migrated(source: YamlText, newest: int) -> None:
    """A migration that forgets the head would be read as the old format for ever."""
    root, _ = read_tree(source)
    if not isinstance(root, MapNode) or _format_number(source, root, newest) != newest:
        raise source.error(
            0,
            f"the file could not be brought to format {newest}",
            expected=f"'{HEAD}: {newest}' after it was brought up to date",
            remedy="Keep the file as it is and report this.",
        )
