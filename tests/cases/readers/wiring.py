"""Numbers of wiring: a sum against what one of its copies brings alone."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any, Final

import numpy as np

from levelhead.planning.trial import Trial
from levelhead.quantity.bands import mid_hz
from levelhead.show.edits import Set

__all__ = ["READERS"]


def _against_one(trial: Trial, asked: Mapping[str, Any], _: object) -> float:
    """Level of one band at a point, against that with a fader of the other copies off. [dB]"""
    alone = trial.after([Set(asked["without"], "off")])
    assert alone is not None
    band = int(np.argmin(np.abs(np.log(mid_hz() / asked["hz"]))))
    both, one = (
        each.solution.carried.signal_power()[each.solution.number(asked["at"]), band]
        for each in (trial, alone)
    )
    return 10 * math.log10(both / one)


READERS: Final[Mapping[str, Callable[[Trial, Any, Any], float]]] = {"against-one": _against_one}
