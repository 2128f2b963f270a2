"""Loudspeakers and rooms that tests share."""

from __future__ import annotations

from typing import Any

import numpy as np

from levelhead.acoustics.listening.room import Room
from levelhead.acoustics.sound.directivity import all_around
from levelhead.acoustics.sound.loudspeaker import Loudspeaker
from levelhead.quantity.bands import BANDS


def a_loudspeaker(
    right: float = 0.0, into: float = 0.0, up: float = 2.0, **more: Any
) -> Loudspeaker:
    """90 dB in each band at 1 m, all around unless told otherwise, looking into the hall."""
    values: dict[str, Any] = {
        "axis": np.array([0.0, 1.0, 0.0]),
        "level_db": np.full(BANDS, 90.0),
        "directivity": all_around(),
    }
    return Loudspeaker(at_m=np.array([right, into, up]), **(values | more))


def a_room(volume_m3: float = 2000.0, time_s: float = 1.5, surface_m2: float = 1000.0) -> Room:
    """One reverberation time in all bands."""
    return Room(volume_m3=volume_m3, surface_m2=surface_m2, reverberation_s=np.full(BANDS, time_s))
