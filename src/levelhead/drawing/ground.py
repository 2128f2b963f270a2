"""Metres of a hall on a drawing, and places on it that are taken."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

__all__ = ["Box", "Ground", "box_of", "touch"]

Box: TypeAlias = tuple[float, float, float, float]
"""Left, top, right and bottom of words or symbols. [drawing units]"""


def box_of(x: float, y: float, half: float, tall: float) -> Box:
    """The box around a middle, so wide to each side and so tall."""
    return x - half, y - tall / 2, x + half, y + tall / 2


def touch(one: Box, other: Box) -> bool:
    """Whether two boxes have a part in common."""
    across = one[0] < other[2] and other[0] < one[2]
    return across and one[1] < other[3] and other[1] < one[3]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """Metres of the hall on a drawing: to the right, and into the hall, which is up.

    So right is right for who looks into the hall. ``right_m`` is at ``left``, ``into_m`` at
    ``top``.
    """

    left: float
    top: float
    per_m: float
    right_m: float
    into_m: float

    def x(self, right_m: float) -> float:
        """How far right a place is. [drawing units]"""
        return self.left + (right_m - self.right_m) * self.per_m

    def y(self, into_m: float) -> float:
        """How far down a place is. [drawing units]"""
        return self.top + (self.into_m - into_m) * self.per_m
