"""What a stage does beside its gain, as the switches stand: figures read, controls named."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from functools import partial
from typing import Final

from levelhead.errors import GearError
from levelhead.gear.compile.standing import Standing
from levelhead.gear.figures import Figure, RawFigure
from levelhead.gear.model import FilterEntry, StageEntry
from levelhead.gear.shaping import (
    PLAIN,
    CompanderPlan,
    DelayPlan,
    FilterPlan,
    LimiterPlan,
    ShapingPlan,
)

__all__ = ["filter_names", "shaping_plan"]

BANDS_OF_A_GRAPHIC: Final = 31  # ISO 266: third octaves from 20 Hz to 20 kHz
_USUAL_ORDER: Final = 2

_Named = Callable[[str], tuple[str, ...]]  # addresses under which a figure of the stage stands
_Level = Callable[[RawFigure, str], Figure | None]


def shaping_plan(
    entry: StageEntry, named: _Named, level: _Level, standing: Standing
) -> ShapingPlan:
    """What a stage does beside its gain.

    Parameters
    ----------
    named
        Addresses of a figure of this stage.
    level
        Reads a level in the unit of the stage's point.

    Raises
    ------
    GearError
        A figure cannot be read, or lies where no filter can.
    """
    if not entry.shapes:
        return PLAIN
    return ShapingPlan(
        filters=tuple(_filters(entry, named, standing)),
        limiter=_limiter(entry, named, level, standing),
        compander=_compander(entry, named, standing),
        delay=_delay(entry, named, standing),
        is_turned=entry.turned,
    )


def filter_names(entry: StageEntry) -> tuple[str, ...]:
    """Names of a stage's filters in the addresses of its figures: ``filter``, or ``filter-2``.

    >>> from levelhead.gear.model import FilterEntry, StageEntry
    >>> low = FilterEntry(filter="low-pass", order=2, corner="100 Hz")
    >>> filter_names(StageEntry(stage="eq", filters=(low, low)))
    ('filter-1', 'filter-2')
    """
    if len(entry.filters) == 1:
        return ("filter",)
    return tuple(f"filter-{number}" for number in range(1, len(entry.filters) + 1))


def _filters(entry: StageEntry, named: _Named, standing: Standing) -> Iterator[FilterPlan]:
    for name, each in zip(filter_names(entry), entry.filters, strict=True):
        if standing.holds(each.when):
            yield _filter(each, partial(_below, named, name), standing)


def _below(named: _Named, name: str, key: str) -> tuple[str, ...]:
    return named(f"{name}.{key}")


def _filter(entry: FilterEntry, named: _Named, standing: Standing) -> FilterPlan:
    corner = standing.optional(entry.corner, "Hz", *named("corner"))
    if corner is not None and corner.value <= 0:
        raise _impossible("corner", standing, named("corner")[-1])
    q = standing.optional(entry.q, "1", *named("q"))
    if q is not None and q.value <= 0:
        raise _impossible("q", standing, named("q")[-1])
    return FilterPlan(
        kind=entry.filter,
        shape=entry.shape,
        order=entry.order or _USUAL_ORDER,
        corner_hz=corner,
        corner_control=entry.corner_control,
        gain_db=standing.optional(entry.gain, "dB", *named("gain")),
        gain_controls=_gain_controls(entry, standing),
        q=q,
    )


def _gain_controls(entry: FilterEntry, standing: Standing) -> tuple[str, ...]:
    if entry.gain_control is None:
        return ()
    if entry.filter != "graphic":
        return (entry.gain_control,)
    found = standing.repeated.get(entry.gain_control, ())
    if len(found) != BANDS_OF_A_GRAPHIC:
        raise GearError(
            f"control '{entry.gain_control}' is there {len(found)} times",
            where=standing.where,
            expected=f"{BANDS_OF_A_GRAPHIC} of it, one for each third octave",
            remedy="List the names of the bands under its 'repeat'.",
        )
    return found


def _limiter(
    entry: StageEntry, named: _Named, level: _Level, standing: Standing
) -> LimiterPlan | None:
    limiter = entry.limiter
    if limiter is None or not standing.holds(limiter.when):
        return None
    threshold = level(limiter.threshold, "limiter.threshold")
    ratio = standing.optional(limiter.ratio, "1", *named("limiter.ratio"))
    if threshold is None or threshold.value <= 0:
        raise _impossible("threshold", standing, named("limiter.threshold")[-1])
    if ratio is not None and ratio.value < 1:
        raise _impossible("ratio", standing, named("limiter.ratio")[-1])
    return LimiterPlan(
        threshold,
        limiter.threshold_control,
        math.inf if ratio is None else ratio.value,
        limiter.detector,
    )


def _compander(entry: StageEntry, named: _Named, standing: Standing) -> CompanderPlan | None:
    compander = entry.compander
    if compander is None:
        return None
    ratio = standing.figure(compander.ratio, "1", *named("compander.ratio"))
    if ratio.value < 1:
        raise _impossible("ratio", standing, named("compander.ratio")[-1])
    noise = standing.figure(compander.link_noise, "dB", *named("compander.link-noise"))
    return CompanderPlan(ratio, noise)


def _delay(entry: StageEntry, named: _Named, standing: Standing) -> DelayPlan | None:
    fixed = standing.optional(entry.delay, "s", *named("delay"))
    if fixed is None and entry.delay_control is None:
        return None
    if fixed is not None and fixed.value < 0:
        raise _impossible("delay", standing, named("delay")[-1])
    return DelayPlan(fixed, entry.delay_control)


def _impossible(what: str, standing: Standing, address: str) -> GearError:
    expected = {"ratio": "1 or more", "delay": "zero or more"}.get(what, "more than nothing")
    return GearError(
        f"the {what} is not possible",
        where=f"{standing.where}, {address}",
        expected=expected,
        remedy="Mend the figure.",
    )
