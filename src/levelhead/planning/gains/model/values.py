"""What the goals of a gain plan are about, in numbers, and where they led."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from levelhead.planning.gains.planned.plan import GoalName
from levelhead.planning.gains.programme.log_sums import LogSum
from levelhead.planning.gains.read.knobs import Knobs
from levelhead.planning.gains.wanted.ceilings import Ceiling
from levelhead.planning.gains.wanted.ends import End, Target
from levelhead.planning.gains.wanted.marks import Mark

__all__ = ["Model", "Reached"]

Real = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Model:
    """What the goals are about, in numbers.

    Attributes
    ----------
    settings : float, (settings,)
        As everything stands: knobs in dB, options 0.
    levels
        Signal at each point that matters, as a function of settings.
    crest_db
        Peak over nominal (as a sine) of each point, and ``option_ceilings`` what each option adds
        to its ceiling.
    targets
        Each with its level as a function of settings.
    noises
        A-weighted noise at each end.
    addresses, units
        Of each point that matters.
    cancelling
        Points where ways of one source cancel: there the model is on the loud side.
    """

    knobs: Knobs
    settings: Real
    levels: Mapping[int, LogSum]
    crest_db: Mapping[int, float]
    ceilings: Sequence[Ceiling]
    option_ceilings: Mapping[int, Mapping[int, float]]
    targets: Sequence[tuple[Target, LogSum]]
    marks: Sequence[Mark]
    ends: Sequence[End]
    noises: Sequence[LogSum]
    addresses: Mapping[int, str]
    units: Mapping[int, str]
    cancelling: frozenset[int] = frozenset()


@dataclass(frozen=True, eq=False)
class Reached:
    """Where the goals led to.

    Attributes
    ----------
    settings : float, (settings,)
    values, bounds
        Of each goal: what was reached, and what is possible at best behind the goals before it.
    excess_db
        By point: how far its peaks use up the reserve.
    missed_db
        By target: how far it is off, negative where it is too quiet.
    off_mark_db
        By mark: how far outside its range, negative below.
    noise_db
        Of each end: the lowest.
    """

    settings: Real
    values: dict[GoalName, float] = field(default_factory=dict)
    bounds: dict[GoalName, float] = field(default_factory=dict)
    excess_db: dict[int, float] = field(default_factory=dict)
    missed_db: dict[int, float] = field(default_factory=dict)
    off_mark_db: dict[int, float] = field(default_factory=dict)
    noise_db: Sequence[float] = ()
