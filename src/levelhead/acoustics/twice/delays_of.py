"""Loudspeakers further down the hall: the delay to set, and how loud they are against the front."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from levelhead.acoustics.sound.air import Air
from levelhead.acoustics.sound.delay import delay_for
from levelhead.acoustics.sound.loudspeaker import Loudspeaker
from levelhead.acoustics.sound.paths import paths_to

__all__ = ["DelaySetting", "delays_of", "repeating"]

BEHIND_M: Final = 3.0  # a loudspeaker that far behind the front ones repeats them
LISTENER_M: Final = 3.0  # those who hear it first stand so far before it: common practice

Real = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class DelaySetting:
    """A loudspeaker that repeats the front, at a place 3 m before it.

    ``set_s`` is what its delay has to be, ``now_s`` what it is against the front; ``louder_db`` how
    much louder it is there than the front, ``may_be_db`` how much it may be.
    """

    name: str
    set_s: float
    now_s: float
    louder_db: float
    may_be_db: float

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        return {
            "loudspeaker": self.name,
            "set_ms": round(1000 * self.set_s, 1),
            "now_ms": round(1000 * self.now_s, 1),
            "louder_db": round(self.louder_db, 1),
            "may_be_louder_db": round(self.may_be_db, 1),
        }


def delays_of(loudspeakers: Sequence[Loudspeaker], air: Air) -> list[DelaySetting]:
    """Delays of all that play to the audience and stand behind others of the same signal."""
    return [_setting(own, front, air) for own, front in repeating(loudspeakers)]


def repeating(
    loudspeakers: Sequence[Loudspeaker],
) -> Iterator[tuple[Loudspeaker, list[Loudspeaker]]]:
    """Each loudspeaker for the audience that repeats some of its signal 3 m or more before it.

    One that repeats several signals comes with that which it plays loudest.
    """
    ahead = [each for each in loudspeakers if each.axis[1] > 0]
    found: dict[str, tuple[Loudspeaker, list[Loudspeaker]]] = {}
    for own in sorted(ahead, key=lambda each: -float(each.level_db.max())):
        front = [
            each
            for each in ahead
            if each.signal == own.signal and own.at_m[1] - each.at_m[1] >= BEHIND_M
        ]
        if front:
            found.setdefault(own.name, (own, front))
    yield from found.values()


def _setting(own: Loudspeaker, front: Sequence[Loudspeaker], air: Air) -> DelaySetting:
    """The setting against whatever of the front is heard first there."""
    place = own.at_m + LISTENER_M * own.axis / np.linalg.norm(own.axis)
    paths = paths_to(place[None], [own, *front], air=air)
    first = 1 + int(np.argmin(paths.time_s[1:, 0, 0]))
    power = paths.power[:, 0, 0].sum(-1)
    before = front[first - 1]
    setting = delay_for(
        first_m=float(paths.distance_m[first, 0, 0]),
        own_m=float(paths.distance_m[0, 0, 0]),
        air=air,
    )
    return DelaySetting(
        name=own.name,
        set_s=setting.time_s,
        now_s=own.delay_s - before.delay_s,
        louder_db=10.0 * math.log10(float(power[0] / power[1:].sum())),
        may_be_db=setting.may_be_louder_db,
    )
