"""What stands against an answer about the air, or was taken for granted in it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Final, Literal

from levelhead.show.model import Item

__all__ = [
    "INSIDE_LOUDSPEAKER",
    "NO_AREAS",
    "NO_LOOP",
    "NO_LOUDSPEAKER",
    "Remark",
    "no_place",
    "told_together",
]

_NO_PLACE: Final = "acoustics.no-place"
_MOST_NAMED: Final = 3
NO_LOUDSPEAKER: Final = "acoustics.no-loudspeaker"
INSIDE_LOUDSPEAKER: Final = "acoustics.inside-loudspeaker"
NO_AREAS: Final = "acoustics.no-areas"
NO_LOOP: Final = "acoustics.no-loop"


@dataclass(frozen=True, slots=True)
class LeftOut:
    """Who has no place, and what to give it."""

    who: str
    keys: str


@dataclass(frozen=True, slots=True)
class Remark:
    """One thing to know: ``fails`` where no answer can be had, ``care`` where one was assumed.

    Of what is left out it says who that is, so that several are told in one sentence.
    """

    code: str
    severity: Literal["fails", "care"]
    where: str
    what: str
    left_out: LeftOut | None = None

    def to_json(self) -> dict[str, str]:
        """As docs/acoustics.md prints it."""
        return {
            "code": self.code,
            "severity": self.severity,
            "where": self.where,
            "what": self.what,
        }


def no_place(item: Item, keys: str) -> Remark:
    """A loudspeaker or microphone without a place, and what to give it."""
    words = _left_out([item.called], keys)
    return Remark(_NO_PLACE, "care", item.id, words, LeftOut(item.called, keys))


def told_together(remarks: Iterable[Remark]) -> list[Remark]:
    """Each once, and what has no place in one sentence for all that is to be given the same."""
    named: dict[str, list[str]] = {}
    firsts: list[Remark] = []
    for each in dict.fromkeys(remarks):
        out = each.left_out
        if out is None or out.keys not in named:
            firsts.append(each)
        if out is not None:
            named.setdefault(out.keys, []).append(out.who)
    return [
        each
        if each.left_out is None
        else replace(each, what=_left_out(named[each.left_out.keys], each.left_out.keys))
        for each in firsts
    ]


def _left_out(names: list[str], keys: str) -> str:
    """Who has no place: of several the first are named."""
    if len(names) == 1:
        return f"{names[0]} has no place and is left out: give it {keys}"
    first, more = names[:_MOST_NAMED], len(names) - _MOST_NAMED
    shown = f"{', '.join(first)} and {more} more" if more > 0 else _listed(first)
    return f"{shown} have no place and are left out: give them {keys}"


def _listed(names: list[str]) -> str:
    return f"{', '.join(names[:-1])} and {names[-1]}"
