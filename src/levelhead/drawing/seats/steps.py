"""Levels or speech at seats in steps that are told apart, and as figures."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from levelhead.acoustics.heard.heard import AreaHeard, Heard
from levelhead.acoustics.listening.speech import RATINGS
from levelhead.drawing.figures import level_figure
from levelhead.drawing.seats.style import STEPS

__all__ = ["STEP_DB", "Quantity", "Steps", "figure_of", "steps_of", "steps_over", "values_of"]

Quantity = Literal["level", "speech"]
"""Level in dB(A), or the speech transmission index."""
STEP_DB: Final = (2.0, 3.0, 5.0, 10.0, 20.0)  # the first with which six steps reach
Real = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Steps:
    """Numbers at which one tone ends and the next begins, from least to most."""

    limits: tuple[float, ...]

    def of(self, value: float) -> int:
        """Which step a number is in, from 0."""
        return sum(value >= limit for limit in self.limits)


def values_of(area: AreaHeard, quantity: Quantity) -> Real:
    """What stands in the cells of an area, (seats,), rounded as it is printed.

    There is nothing for speech where there is no voice.
    """
    if quantity == "level":
        return area.seats.a_weighted_db.round()
    return np.empty(0) if area.speech is None else area.speech.sti.round(2)


def steps_of(heard: Heard, quantity: Quantity = "level") -> Steps:
    """Steps that hold for all areas: the ratings of speech, or even numbers of decibels."""
    return steps_over(
        [values_of(each, quantity) for each in heard.areas], is_speech=quantity == "speech"
    )


def steps_over(values: Sequence[Real], *, is_speech: bool = False) -> Steps:
    """Steps for the values of several areas, in dB, or of the speech transmission index."""
    if is_speech:
        return Steps(tuple(limit for limit, _ in RATINGS))
    every = np.concatenate([[0.0], *values])[1:]
    every = every[np.isfinite(every)]
    if not every.size:
        return Steps(())
    low, high = float(every.min()), float(every.max())
    most = len(STEPS["light"])
    step = next(
        (s for s in STEP_DB if math.floor(high / s) - math.floor(low / s) < most), STEP_DB[-1]
    )
    first, last = math.floor(low / step), math.floor(high / step)
    return Steps(
        tuple(step * number for number in range(max(first, last - most + 1) + 1, last + 1))
    )


def figure_of(value: float, quantity: Quantity) -> str:
    """A number in a cell: whole decibels, hundredths of the index."""
    return f"{value:.2f}" if quantity == "speech" else level_figure(round(value), "dB(A)")[:-2]
