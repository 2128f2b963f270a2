"""The longest run of numbers that rises, out of a list in its order."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence

__all__ = ["longest_rising"]


def longest_rising(numbers: Sequence[int]) -> list[int]:
    """Indices of the longest part of a list that only rises (patience sorting, n log n).

    Examples
    --------
    >>> longest_rising([3, 0, 1, 5, 2])
    [1, 2, 4]
    """
    tops: list[int] = []  # the least number at which a run of each length ends
    ends: list[int] = []  # and its index
    before: list[int | None] = []
    for index, number in enumerate(numbers):
        length = bisect_left(tops, number)
        before.append(ends[length - 1] if length else None)
        tops[length : length + 1] = [number]
        ends[length : length + 1] = [index]
    run: list[int] = []
    at = ends[-1] if ends else None
    while at is not None:
        run.append(at)
        at = before[at]
    return run[::-1]
