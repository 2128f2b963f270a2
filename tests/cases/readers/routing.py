"""Times of sound: how long a signal takes to a point, and between two loudspeakers at a seat."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any, Final

import numpy as np

from levelhead.planning.trial import Trial

__all__ = ["READERS"]

_SPEED_M_PER_S: Final = 343.2  # ISO 9613-1, 20 degrees C
_SEAT_M: Final = 3.0  # of these cases, in front of the loudspeaker down the hall


def _delay_s(trial: Trial, address: str) -> float:
    """Delay of the strongest arrival at a point."""
    carried = trial.solution.carried
    rows = np.flatnonzero(carried.point == trial.solution.number(address))
    return float(carried.delay_s[max(rows, key=lambda row: carried.power[row].sum())])


def _metres_of_air(trial: Trial, address: str, _: object) -> float:
    return _delay_s(trial, address) * _SPEED_M_PER_S


def _follows(trial: Trial, pair: list[str], _: object) -> float:
    """By how much the second loudspeaker comes behind the first, at the seat. [ms]"""
    places = [trial.show.items[each.partition(".")[0]].at for each in pair]
    assert None not in places
    apart_m = math.dist(*places)  # type: ignore[arg-type]
    delays_s = [_delay_s(trial, each) for each in pair]
    return 1000 * (delays_s[1] - delays_s[0] - apart_m / _SPEED_M_PER_S)


READERS: Final[Mapping[str, Callable[[Trial, Any, Any], float]]] = {
    "metres-of-air": _metres_of_air,
    "follows": _follows,
}
