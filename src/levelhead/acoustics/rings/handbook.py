"""Needed and potential acoustic gain: the handbook's four distances, read off the places."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from levelhead.acoustics.listening.room import critical_distance_m
from levelhead.acoustics.listening.seats import Area
from levelhead.acoustics.loop.acoustic_gain import AcousticGain, Distances, acoustic_gain
from levelhead.acoustics.rings.rings_of import Ringing
from levelhead.quantity.bands import MIDDLE_BANDS

__all__ = ["Handbook", "handbook_of"]

OPEN_SHARE: Final = 0.01  # of the loop: what has less is not open


@dataclass(frozen=True, slots=True, kw_only=True)
class Handbook:
    """The formula for the microphone and loudspeaker that ring first, and what it leaves out."""

    microphone: str
    loudspeaker: str
    distances: Distances
    open_microphones: int
    gain: AcousticGain

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        return {
            "microphone": self.microphone,
            "loudspeaker": self.loudspeaker,
            "talker_to_microphone_m": round(self.distances.ds, 2),
            "talker_to_farthest_m": round(self.distances.d0, 1),
            "loudspeaker_to_microphone_m": round(self.distances.d1, 2),
            "loudspeaker_to_farthest_m": round(self.distances.d2, 1),
            "open_microphones": self.open_microphones,
            "needed_db": round(self.gain.needed_db, 1),
            "potential_db": round(self.gain.potential_db, 1),
            "spare_db": round(self.gain.spare_db, 1),
            "doubts": list(self.gain.doubts),
        }


def handbook_of(ringing: Ringing) -> Handbook | None:
    """The handbook's formula beside the loop; nothing without a loop, a talker or a listener."""
    margin, areas = ringing.margin, ringing.located.areas
    if margin is None or not areas:
        return None
    ear = ringing.ears[int(np.argmax(margin.microphones[:, margin.band]))]
    box = ringing.boxes[int(np.argmax(margin.loudspeakers[:, margin.band]))]
    if not math.isfinite(ear.mouth_m):
        return None
    talker_m = ear.at_m + ear.mouth_m * ear.axis / np.linalg.norm(ear.axis)
    far_m = max((_farthest(talker_m, each) for each in areas), key=lambda each: each[0])[1]
    distances = Distances(
        ds=ear.mouth_m,
        d0=_away(talker_m, far_m),
        d1=_away(box.at_m, ear.at_m),
        d2=_away(box.at_m, far_m),
    )
    room = ringing.located.venue.room
    critical_m = math.inf
    if room is not None:
        critical_m = float(np.median(critical_distance_m(1.0, room.absorption_m2)[MIDDLE_BANDS]))
    count = int((margin.microphones[:, margin.band] >= OPEN_SHARE).sum())
    gain = acoustic_gain(distances, open_microphones=count, critical_distance_m=critical_m)
    return Handbook(
        microphone=ear.name,
        loudspeaker=box.name,
        distances=distances,
        open_microphones=count,
        gain=gain,
    )


def _farthest(here_m: np.ndarray, area: Area) -> tuple[float, np.ndarray]:
    """The corner of an area that is farthest from a place, at its ears. [m]"""
    corners = [np.array([*corner, area.ear_m]) for corner in area.corners_m]
    return max(((_away(here_m, each), each) for each in corners), key=lambda each: each[0])


def _away(one_m: np.ndarray, other_m: np.ndarray) -> float:
    """Distance of two places, at least a centimetre. [m]"""
    return max(float(np.linalg.norm(one_m - other_m)), 0.01)
