"""Where the hiss of a loudspeaker comes from: with the signal, or from what stands behind it.

Noise that arises before the first mix (a microphone, a wireless link, a preamplifier) is turned
down together with its programme, wherever that is done; only what arises later goes down when the
loudspeaker is turned down and what feeds it up.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from levelhead.chain.noise.arising import a_weights
from levelhead.verdicts.read.reach import Place
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.words import place_words

__all__ = ["HissParts", "hiss_parts"]


@dataclass(frozen=True, slots=True)
class HissParts:
    """Shares of the A-weighted noise at a loudspeaker, as power.

    Attributes
    ----------
    with_signal
        What arises before the first mix, of all of it.
    most
        Label of the place where most of that arises, if any does.
    """

    with_signal: float
    most: str | None

    @property
    def less_db(self) -> float:
        """By how much at most it falls when level is moved from the loudspeaker to its feed."""
        share = min(self.with_signal, 1.0)
        return -10 * math.log10(share) if share > 0 else math.inf


def hiss_parts(reading: Reading, address: str) -> HissParts:
    """Parts of the noise at a loudspeaker.

    Noise is told apart from where it first leads to more than one place, which the channels of a
    mixer do; of a chain without a mix nothing is known to come with the signal.
    """
    solution = reading.solution
    carried, row = solution.carried, solution.number(address)
    total = float((carried.noise_total()[row] * a_weights()).sum())
    entered = dict(zip(carried.entering[1].tolist(), carried.entering[0].tolist(), strict=True))
    brought: dict[int, float] = {}
    pairs = np.flatnonzero((carried.point == row) & (carried.component >= carried.first_noise))
    for pair in pairs.tolist():
        start = entered[int(carried.component[pair])]
        weighted = float((carried.power[pair] * a_weights()).sum())
        brought[start] = brought.get(start, 0.0) + weighted
    own = solution.graph.points[row].item
    early = {each: power for each, power in brought.items() if _is_early(reading, each, own)}
    if total <= 0 or not early:
        return HissParts(0.0, None)
    most = max(early, key=early.__getitem__)
    return HissParts(sum(early.values()) / total, _name(reading, most))


def _name(reading: Reading, point: int) -> str:
    """A strip by its own name, anything else by the point's."""
    place = reading.reach.places.get(point)
    if place is not None and place.lane.block.name:
        return f"{place.lane.item.label} {place.lane.block.name}"
    return place_words(reading.solution.graph.points[point].label)


def _is_early(reading: Reading, point: int, loudspeaker: str) -> bool:
    """Whether a point stands before every mix, in another item than the loudspeaker."""
    places = reading.reach.places
    before = (places[each] for each in reading.reach.back([point]) if each in places)
    is_own = reading.solution.graph.points[point].item == loudspeaker
    return not is_own and not any(_is_mix(each) for each in before)


def _is_mix(place: Place) -> bool:
    return any(origin.kind == "mix" for origin in place.lane.path.origins)
