"""Choices between values of figures, each of which may be many values at once.

A circuit is drawn once for a thousand values of its figures (``solving.many``): then the value of a
figure is an array, one entry a draw. Sums and products do not care; what compares does it here.
"""

from __future__ import annotations

import math
from typing import cast

import numpy as np

__all__ = ["is_above_zero", "is_finite", "largest", "smallest"]


def largest(one: float, other: float) -> float:
    """The larger of two values, draw by draw."""
    return cast(float, np.maximum(one, other)) if _are_many(one, other) else max(one, other)


def smallest(one: float, other: float) -> float:
    """The smaller of two values, draw by draw."""
    return cast(float, np.minimum(one, other)) if _are_many(one, other) else min(one, other)


def is_finite(value: float) -> bool:
    """Whether a value is finite in any draw."""
    return bool(np.isfinite(value).any()) if _are_many(value) else math.isfinite(value)


def is_above_zero(value: float) -> bool:
    """Whether a value is above zero in any draw."""
    return bool(np.greater(value, 0).any()) if _are_many(value) else value > 0


def _are_many(*values: float) -> bool:
    return any(isinstance(value, np.ndarray) for value in values)
