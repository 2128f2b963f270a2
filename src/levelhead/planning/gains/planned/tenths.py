"""How figures of a gain plan are rounded where they are printed for programs."""

from __future__ import annotations

__all__ = ["tenths"]


def tenths(number: float | None) -> float | None:
    """To one decimal, without a minus before zero; nothing stays nothing."""
    return None if number is None else round(number, 1) + 0.0
