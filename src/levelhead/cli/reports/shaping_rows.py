"""What a stage does beside its gain, as rows of a gear type's page."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from typing import Final

from levelhead.gear.figures import Figure
from levelhead.gear.shaping import FilterPlan, LimiterPlan, ShapingPlan

__all__ = ["shaping_rows"]

_Row = Callable[[str, Figure], str]

_DB_PER_ORDER: Final = 6
_CUTS: Final = frozenset({"high-pass", "low-pass"})
_WITHOUT_END: Final = 100.0  # a ratio from here on is as good as a limiter's


def shaping_rows(shaping: ShapingPlan, *, figure_row: _Row, level_row: _Row) -> Iterator[str]:
    """Rows of filters, limiter, compander and delay; none of a plain stage."""
    for each in shaping.filters:
        yield from _filter_rows(each, figure_row)
    if shaping.limiter is not None:
        yield level_row(_limiter_words(shaping.limiter), shaping.limiter.threshold)
    if shaping.compander is not None:
        yield figure_row("compander", shaping.compander.ratio)
        yield figure_row("noise of the link", shaping.compander.link_noise_db)
    if shaping.delay is not None and shaping.delay.fixed is not None:
        yield figure_row("delay", shaping.delay.fixed)


def _filter_rows(plan: FilterPlan, figure_row: _Row) -> Iterator[str]:
    slope = f", {_DB_PER_ORDER * plan.order} dB/oct" if plan.kind in _CUTS else ""
    if plan.corner_hz is not None:
        yield figure_row(f"{plan.kind}{slope}", plan.corner_hz)
    if plan.gain_db is not None:
        yield figure_row(f"{plan.kind}, gain", plan.gain_db)


def _limiter_words(plan: LimiterPlan) -> str:
    if math.isinf(plan.ratio) or plan.ratio >= _WITHOUT_END:
        return "limiter from"
    return f"compressor {plan.ratio:g}:1 from"
