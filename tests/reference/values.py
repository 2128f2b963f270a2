"""Published values that more than one layer is held against."""

from __future__ import annotations

from typing import Final

BRIDGING_LOSSES: Final = (
    (150, 1500, -0.828),
    (200, 1000, -1.584),
    (150, 2000, -0.628),
    (600, 600, -6.021),
    (100, 10_000, -0.086),
)
"""Output ohms, input ohms, dB: the voltage divider of any textbook, to three decimals (CV-27)."""
