"""How levels are written in pictures: a real minus sign, a tenth of a decibel."""

from __future__ import annotations

from typing import Final

__all__ = ["MINUS", "NOTHING", "SIGNED_UNITS", "level_figure"]

MINUS: Final = "\N{MINUS SIGN}"
SIGNED_UNITS: Final = frozenset({"dBu", "dBV", "dBFS", "dBm", "dBW"})  # as the trade writes them
NOTHING: Final = "\N{EN DASH}"  # silence, or no such limit


def level_figure(level_db: float | None, unit: str = "dBu") -> str:
    """A level without its unit, to a tenth; electrical and digital levels carry their sign.

    Examples
    --------
    >>> level_figure(-42.34), level_figure(4), level_figure(94, "dB SPL"), level_figure(None)
    ('−42.3', '+4.0', '94.0', '–')
    """
    if level_db is None:
        return NOTHING
    rounded = round(level_db, 1) or 0.0  # no "−0.0"
    plus = "+" if rounded > 0 and unit in SIGNED_UNITS else ""
    return f"{plus}{rounded:.1f}".replace("-", MINUS)
