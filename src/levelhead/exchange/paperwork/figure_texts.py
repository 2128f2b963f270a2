"""Figures as sheets and screens show them."""

from __future__ import annotations

__all__ = ["figure_text"]


def figure_text(value: float) -> str:
    """A figure as paper shows it: a tenth at most, with a real minus sign.

    >>> figure_text(10.0), figure_text(-0.25)
    ('10', '−0.2')
    """
    return f"{round(value, 1) + 0.0:g}".replace("-", "−")
