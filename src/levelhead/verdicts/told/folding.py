"""Alike findings told once: ``phantom missing on ch 3 to 6``, left and right of a pair."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final

from levelhead.verdicts.told.finding import Finding
from levelhead.verdicts.told.severity import Severity

__all__ = ["Folded", "folded"]

_SIDE_OR_NUMBER: Final = re.compile(r"(-left|-right|\d+)$")
_LIKE_MARGINS: Final = 1.0  # dB or V; further apart they are not the same story


@dataclass(frozen=True, slots=True)
class Folded:
    """A finding, and others that say the same of other places."""

    finding: Finding
    others: tuple[Finding, ...]

    @property
    def places(self) -> tuple[str, ...]:
        """Addresses of all of them."""
        return (self.finding.where, *(each.where for each in self.others))


def folded(
    findings: Iterable[Finding], types: Mapping[str, str] | None = None
) -> tuple[Folded, ...]:
    """Alike findings together, in the order of the first of each.

    Alike are those of one code and severity with like margins at like places of an item or of
    items that are counted (``ch3.mic`` and ``ch4.mic``, left and right, ``wedge-1`` and
    ``wedge-2``), those of one and the same link (two outputs that are joined), and those that one
    and the same remedy mends. What is said of one and the same place in the same words is said
    once. With ``types``, the gear type of each item by its id, cares at like places of items of one
    type are alike whatever people call them: Anna's and Ben's microphone.
    """
    known = {} if types is None else types
    groups: list[list[Finding]] = []
    for finding in findings:
        group = next((each for each in groups if _are_alike(each[0], finding, known)), None)
        if group is None:
            groups.append([finding])
        elif not any((each.where, each.what) == (finding.where, finding.what) for each in group):
            group.append(finding)
    return tuple(Folded(first, tuple(others)) for first, *others in groups)


def _are_alike(one: Finding, other: Finding, types: Mapping[str, str]) -> bool:
    if (one.code, one.severity) != (other.code, other.severity):
        return False
    if one.where == other.where and one.margin is None:  # no figure tells that two are one
        return one.what == other.what
    is_like_place = _kind_of_place(one.where) == _kind_of_place(other.where)
    is_like_place |= one.severity is Severity.CARE and _are_of_one_type(one, other, types)
    is_one_link = bool(one.ports) and frozenset(one.ports) == frozenset(other.ports)
    if (is_like_place or is_one_link) and _have_like_margins(one, other):
        return True
    return bool(one.remedies and other.remedies) and one.remedies[0] == other.remedies[0]


def _are_of_one_type(one: Finding, other: Finding, types: Mapping[str, str]) -> bool:
    """Whether two items of one gear type are concerned at like places."""
    (item, _, at), (beside, _, there) = (each.where.partition(".") for each in (one, other))
    if item not in types or types[item] != types.get(beside):
        return False
    return _kind_of_place(at) == _kind_of_place(there)


def _have_like_margins(one: Finding, other: Finding) -> bool:
    if one.margin is None or other.margin is None:
        return one.margin is other.margin
    return abs(one.margin - other.margin) < _LIKE_MARGINS


def _kind_of_place(address: str) -> tuple[str, ...]:
    return tuple(_SIDE_OR_NUMBER.sub("", part) for part in address.split("."))
