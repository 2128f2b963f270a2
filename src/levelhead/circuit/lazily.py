"""Rows of columns as objects for those who read them: made when asked for, and kept."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeVar, overload

__all__ = ["Lazily"]

_Made = TypeVar("_Made")


class Lazily(Sequence[_Made]):
    """As many values as there are numbers, each made by ``make`` at first sight."""

    def __init__(self, count: int, make: Callable[[int], _Made]) -> None:
        self._count = count
        self._make = make
        self._made: dict[int, _Made] = {}

    def __len__(self) -> int:
        return self._count

    @overload
    def __getitem__(self, number: int) -> _Made: ...
    @overload
    def __getitem__(self, number: slice) -> Sequence[_Made]: ...
    def __getitem__(self, number: int | slice) -> _Made | Sequence[_Made]:
        if isinstance(number, slice):
            return [self[each] for each in range(*number.indices(self._count))]
        row = int(number)
        found = self._made.get(row)
        if found is not None:
            return found
        if not -self._count <= row < self._count:
            raise IndexError(number)
        return self._made.setdefault(row, self._make(row % self._count))
