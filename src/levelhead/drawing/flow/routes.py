"""Leads between two columns: level, down or up a track of their own, level again.

Two leads share no line: where one leaves at the height at which another arrives, its track stands
further left. Leads that bend the same way are nested, so that they do not cross one another.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import count
from typing import Final, NamedTuple

__all__ = ["Bend", "Tracks", "tracks_of"]

_LEVEL: Final = 1.0  # heights this near make a straight line
_CLEAR: Final = 7.0  # between two lines in one track, and between two levels


class Bend(NamedTuple):
    """A lead through the space between two columns: its heights at the left and at the right.

    ``None`` where it comes from, or goes to, the lanes below everything.
    """

    lead: str
    left: float | None
    right: float | None
    lane: float = 0.0

    @property
    def ends(self) -> tuple[float, float]:
        """Upper and lower end of its upright."""
        one = self.lane if self.left is None else self.left
        other = self.lane if self.right is None else self.right
        return (one, other) if one < other else (other, one)

    @property
    def is_straight(self) -> bool:
        """Needs no track."""
        left, right = self.left, self.right
        return left is not None and right is not None and abs(left - right) < _LEVEL

    @property
    def falls(self) -> bool:
        """Runs down from left to right; leads to and from the lanes run down too."""
        return self.left is None or self.right is None or self.right > self.left


@dataclass(frozen=True, slots=True)
class Tracks:
    """Track of each bend that needs one, by its number among them; 0 is leftmost.

    ``circle`` is a bend of those that wait for one another, each leaving where the next arrives:
    two of them lie on one line until somebody moves their boxes.
    """

    of: Mapping[int, int]
    circle: int | None = None


def tracks_of(bends: Sequence[Bend]) -> Tracks:
    """Tracks of what runs through a space."""
    crooked = [number for number, bend in enumerate(bends) if not bend.is_straight]
    space = _Space(bends, {number: bends[number].ends for number in crooked})
    for number in sorted(crooked, key=lambda number: _rank(bends[number])):
        space.place(number)
    pairs = space.pairs_at_one_height()
    for _ in crooked:  # a push may push others
        if not sum(space.push_apart(one, other) for one, other in pairs):
            return Tracks(space.track)
    return Tracks(space.track, _in_a_circle(pairs))


def _in_a_circle(pairs: Sequence[tuple[int, int]]) -> int | None:
    """One of those that wait for one another; nothing where all can be put in a row."""
    waiting = list(pairs)
    while waiting:
        first = {one for one, _ in waiting}
        left = [(one, other) for one, other in waiting if other in first]
        if len(left) == len(waiting):
            return waiting[0][0]
        waiting = left
    return None


def _rank(bend: Bend) -> tuple[bool, float]:
    """Of those that fall the lowest turns first, of those that rise the highest."""
    start = bend.ends[1] if bend.left is None else bend.left
    return (not bend.falls, -start if bend.falls else start)


class _Space:
    """Tracks between two columns as they fill."""

    def __init__(self, bends: Sequence[Bend], ends: dict[int, tuple[float, float]]) -> None:
        self.bends, self.ends = bends, ends
        self.falls = {number: bends[number].falls for number in ends}
        self.track: dict[int, int] = {}

    def _beside(self, number: int) -> list[tuple[int, int]]:
        """Uprights that stand at the same height as this one, with their tracks."""
        upper, lower = self.ends[number][0] - _CLEAR, self.ends[number][1] + _CLEAR
        ends = self.ends
        return [
            (each, at)
            for each, at in self.track.items()
            if upper < ends[each][1] and ends[each][0] < lower
        ]

    def place(self, number: int) -> None:
        """Behind every lead that bends the same way beside it, on a track that is free there."""
        beside, falls = self._beside(number), self.falls
        ours = falls[number]
        alike = [at for each, at in beside if falls[each] == ours]
        taken = {at for _, at in beside}
        track = max(alike, default=-1) + 1
        while track in taken:
            track += 1
        self.track[number] = track

    def pairs_at_one_height(self) -> list[tuple[int, int]]:
        """Leads of which one leaves where the other arrives."""
        arrivals = sorted(
            (right, each) for each in self.track if (right := self.bends[each].right) is not None
        )
        heights = [height for height, _ in arrivals]
        pairs = []
        for one in self.track:
            leaves = self.bends[one].left
            if leaves is not None:
                near = bisect_right(heights, leaves - _CLEAR), bisect_left(heights, leaves + _CLEAR)
                pairs += [(one, other) for _, other in arrivals[slice(*near)] if other != one]
        return pairs

    def push_apart(self, one: int, other: int) -> bool:
        """Let the one that arrives turn later than the one that leaves there."""
        if self.track[other] > self.track[one]:
            return False
        taken = {at for each, at in self._beside(other) if each != other}
        self.track[other] = next(at for at in count(self.track[one] + 1) if at not in taken)
        return True
