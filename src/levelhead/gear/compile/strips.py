"""Strips of a repeated block that differ: ``strip`` in a ``when`` is the number on the panel."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

from levelhead.gear.compile.controls import instance_names
from levelhead.gear.model import BlockEntry

__all__ = ["STRIP", "strip_of", "strip_options", "tells_strips_apart"]

STRIP: Final = "strip"


def strip_of(name: str, instance: str) -> str:
    """What stands on the panel for one strip of a block: its number, or its side.

    >>> strip_of("ch", "ch12"), strip_of("main", "main-left")
    ('12', 'left')
    """
    return instance.removeprefix(name).removeprefix("-")


def strip_options(name: str, block: BlockEntry) -> dict[str, dict[str, str]]:
    """Positions of ``strip``, as those of a switch; none where nothing is repeated."""
    if block.repeat is None:
        return {}
    return {strip_of(name, each): {} for each in instance_names(name, block)}


def tells_strips_apart(block: BlockEntry) -> bool:
    """Whether something on the path of a block is there on some of its strips only.

    Strips that are all alike share one plan, which keeps large desks quick.
    """
    return any(STRIP in when for when in _whens(block) if when is not None)


def _whens(block: BlockEntry) -> Iterator[Mapping[str, str] | None]:
    if block.path is not None:
        yield from (each.when for each in block.path.stages)
        if not isinstance(block.path.from_, str):
            yield from (each.when for each in block.path.from_)
