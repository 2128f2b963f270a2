"""Thresholds of an amplifier channel: the weakest of its loudspeakers, and its own clipping."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from levelhead.planning.desks import is_mixer
from levelhead.planning.limiters.arithmetic import peak_threshold_v
from levelhead.planning.limiters.feeds import (
    Feed,
    dbu_before,
    feed_of,
    plays_from_hz,
    setting_before,
    summed_note,
    unreached_note,
)
from levelhead.planning.limiters.settings import Limit, LimiterSetting
from levelhead.planning.limiters.way_back import Step, WaysBack
from levelhead.verdicts.amplifiers.driven import Driven

__all__ = ["channel_setting"]

_HALF_POWER: Final = math.sqrt(0.5)
_SQUARE: Final = math.sqrt(2.0)  # rms of a square wave over that of the sine it was clipped from


@dataclass(frozen=True, slots=True)
class _Rated:
    """A loudspeaker as seen from its amplifier: volts of the stage that bring it to its rating."""

    each: Driven
    long_term_v: float
    why: str

    @property
    def response(self) -> float:
        return float(np.abs(self.each.at_load).max())

    @property
    def stage_v(self) -> float:
        return self.long_term_v / self.response


def channel_setting(ways: WaysBack, loads: Sequence[Driven]) -> LimiterSetting:
    """Thresholds for an output and all loudspeakers on it."""
    first = loads[0]
    rated = [found for each in loads if (found := _rated(each)) is not None]
    weakest = min(rated, key=lambda each: each.stage_v, default=None)
    steps = list(ways.within(first.row, first.output.item.id))
    feed = None if is_mixer(first.output.item) else feed_of(ways, steps)
    rms, peak = _limits(weakest, first, feed)
    deepest_hz = min(plays_from_hz(ways.solution, each.load.item.id) for each in loads)
    made = setting_before(ways, first.output, feed, (rms, peak), steps=steps, deepest_hz=deepest_hz)
    return replace(
        made,
        loudspeakers=tuple(each.load.item.label for each in loads),
        notes=(
            *_notes(weakest, loads),
            *(summed_note(steps) if feed is not None else ()),
            *_feed_notes(first, steps, feed, has_dial=made.control is not None),
            *unreached_note(ways, feed, peak),
        ),
        caution=first.caution,
    )


def _rated(each: Driven) -> _Rated | None:
    """Its rating; where only a damage level is known, half of that power."""
    figures = each.load.plan.figures
    if (rating := figures.get("long-term-rating")) is not None:
        return _Rated(each, rating.value, f"long-term rating of {each.load.item.label}")
    if (damage := figures.get("damage")) is not None:
        why = f"half of the power that damages {each.load.item.label}"
        return _Rated(each, damage.value * _HALF_POWER, why)
    return None


def _limits(weakest: _Rated | None, first: Driven, feed: Feed | None) -> tuple[Limit | None, Limit]:
    """Rms and peak, as volts at the loudspeaker and dBu at the output before.

    No rms threshold where the amplifier clips before the coil gets too much.
    """
    clips = f"{first.output.label} clips there"
    if weakest is None:
        at_v = first.ceiling_v * float(np.abs(first.at_load).max())
        return None, Limit(at_v, dbu_before(first.ceiling_v, feed), clips)
    top_v = first.ceiling_v * weakest.response
    peak_v = peak_threshold_v(
        long_term_v=weakest.long_term_v,
        peak_rating_v=weakest.each.load.plan.figure("peak-rating"),
        ceiling_v=top_v,
    )
    peak = Limit(
        peak_v,
        dbu_before(peak_v / weakest.response, feed),
        clips if peak_v == top_v else "peaks 6 dB over the long-term rating, as tested (AES2)",
    )
    if weakest.long_term_v >= top_v:
        return None, peak
    rms_v = weakest.long_term_v
    return Limit(rms_v, dbu_before(rms_v / weakest.response, feed), weakest.why), peak


def _notes(weakest: _Rated | None, loads: Sequence[Driven]) -> Iterator[str]:
    """What the thresholds do not say themselves."""
    if weakest is None:
        yield "No rating is known: the amplifier is kept from clipping, the loudspeakers are not."
        return
    load, top_v = weakest.each.load, weakest.each.ceiling_v * weakest.response
    takes = f"{load.item.label} takes {weakest.long_term_v:.0f} V"
    if weakest.long_term_v >= top_v * _SQUARE:
        clipped = f"clipped all the time the amplifier gives {top_v * _SQUARE:.0f} V"
        yield f"No rms limiter is needed: {takes}, and even {clipped}."
    elif weakest.long_term_v >= top_v:
        yield f"{takes}, and the amplifier clips before: the peak limiter holds its coil as well."
    excursion, tuned_hz = load.plan.figure("excursion-limit"), load.plan.figure("tuned-to")
    most_v = min(weakest.long_term_v, top_v)
    if excursion is not None and tuned_hz is not None and excursion < most_v:
        yield (
            f"Below {tuned_hz:.0f} Hz the cone of {load.item.label} takes {excursion:.0f} V only, "
            "less than this threshold: a high-pass before the amplifier keeps that away."
        )
    if len(loads) > 1:
        yield f"{len(loads)} loudspeakers on this channel; {load.item.label} takes least."


def _feed_notes(
    first: Driven, steps: Sequence[Step], feed: Feed | None, *, has_dial: bool
) -> Iterator[str]:
    """Where no level can be told, and where there is nothing to set."""
    if is_mixer(first.output.item):
        yield f"Mixer and amplifier are one box: the masters of {first.output.item.label} hold it."
    elif feed is not None:
        if not has_dial:
            yield f"No limiter is on before it; {feed.label} would be its place."
    elif not steps:
        yield f"{first.output.item.label} passes nothing as its controls stand: volts only."
    else:
        yield f"Nothing is plugged into {first.output.item.label} on this channel: volts only."
