"""The goals of a gain plan, one after another, each as rows for those behind it.

1. Clipping: no stage clips on peaks, and the reserve is kept. First as little clipping as can be,
   then as little of the reserve used up.
2. Loudness: every source at every end as loud as it is meant to be (``ends``). A switch is turned
   for what is heard only: 1 dB of what passes it, 10 dB in the mean where several sources do.
3. Meters: inside their range at sound check (``marks``).
4. Noise: A-weighted at the ends, in sum over them in dB, lowest; 1 dB more is not heard. With it go
   digital volumes and transmitters, as high as their own output allows; pads stay out unless a goal
   so far needs them.
5. Faders: near unity, where they resolve best.
6. Changes: as few controls as possible leave where they stand.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np
from numpy.typing import NDArray

from levelhead.planning.gains.goals.changes import fewest_changes
from levelhead.planning.gains.goals.levels import (
    least_clipping,
    least_off_loudness,
    least_off_meters,
)
from levelhead.planning.gains.goals.search import Pair, Search
from levelhead.planning.gains.goals.settings import (
    fewest_pads,
    highest_volumes,
    least_noise,
    nearest_unity,
)
from levelhead.planning.gains.model.values import Model, Reached

__all__ = ["solve_goals"]


def solve_goals(model: Model, go_on: Callable[[], None] = lambda: None) -> Reached:
    """Best settings for a model; ``go_on`` raises where nobody waits for them any more."""
    search = Search(model, go_on)
    excess = least_clipping(search)
    missed, free = least_off_loudness(search)
    off_mark = least_off_meters(search)
    noise_db = least_noise(search, free)
    fewest_pads(search)
    highest_volumes(search)
    nearest_unity(search)
    values = fewest_changes(search).values
    return Reached(
        settings=values[: len(model.settings)],
        values=search.values,
        bounds=search.bounds,
        excess_db={point: float(values[each]) for point, each in excess.items()},
        missed_db=_deviations_db(missed, values),
        off_mark_db=_deviations_db(off_mark, values),
        noise_db=noise_db,
    )


def _deviations_db(pairs: Mapping[int, Pair], values: NDArray[np.float64]) -> dict[int, float]:
    return {each: float(values[over] - values[under]) for each, (over, under) in pairs.items()}
