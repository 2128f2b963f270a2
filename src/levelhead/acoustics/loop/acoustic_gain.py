"""Needed and potential acoustic gain, as handbooks have them, and when they do not hold.

References
----------
.. [1] C. P. and R. E. Boner, J. Audio Eng. Soc. 17 (1969), 142-147, in D. Davis and E. Patronis,
   "Sound System Engineering", and in reference manuals of system design (Eargle).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from levelhead.acoustics.loop.feedback import STABLE_MARGIN_DB
from levelhead.errors import QuantityError

__all__ = ["AcousticGain", "Distances", "acoustic_gain"]

USUAL_NEAR_M: Final = (
    3.0  # equivalent acoustic distance: as loud as a talker at 3 m, common practice
)


@dataclass(frozen=True, slots=True, kw_only=True)
class AcousticGain:
    """Needed and potential gain, and every reason why the formula may be off here."""

    needed_db: float
    potential_db: float
    doubts: tuple[str, ...]

    @property
    def spare_db(self) -> float:
        """Potential less needed gain. [dB]"""
        return self.potential_db - self.needed_db


@dataclass(frozen=True, slots=True, kw_only=True)
class Distances:
    """The four distances of a sound system [1]. [m]

    Parameters
    ----------
    ds, d0, d1, d2 : float
        Talker to microphone; talker to the farthest listener; loudspeaker to microphone;
        loudspeaker to the farthest listener.

    Raises
    ------
    QuantityError
        One is not above zero.
    """

    ds: float
    d0: float
    d1: float
    d2: float

    def __post_init__(self) -> None:
        if min(self.ds, self.d0, self.d1, self.d2) <= 0:
            raise QuantityError(
                f"distances of {self.ds:g}, {self.d0:g}, {self.d1:g} and {self.d2:g} m",
                where="acoustic gain",
                expected="distances above zero",
                remedy="Measure from the mouth, from the loudspeaker, to the farthest listener.",
            )


def acoustic_gain(
    distances: Distances,
    *,
    open_microphones: int = 1,
    margin_db: float = STABLE_MARGIN_DB,
    as_near_as_m: float = USUAL_NEAR_M,
    critical_distance_m: float = math.inf,
) -> AcousticGain:
    """Gain that is needed and gain that can be had before feedback [1].

    ``20 lg (D0 / EAD)`` and ``20 lg (D0 D1 / (Ds D2)) - 10 lg NOM - margin``, for a microphone that
    hears all around, a loudspeaker that plays all around, and level that falls by 6 dB for twice
    the distance. Indoors no distance counts for more than the critical distance.

    Examples
    --------
    >>> gain = acoustic_gain(Distances(ds=1, d0=7, d1=4, d2=6))
    >>> round(gain.potential_db, 2), round(gain.needed_db, 2)
    (7.38, 7.36)
    """
    ds, d0, d1, d2, near = (
        min(each, critical_distance_m)
        for each in (distances.ds, distances.d0, distances.d1, distances.d2, as_near_as_m)
    )
    return AcousticGain(
        needed_db=max(0.0, 20.0 * math.log10(d0 / near)),
        potential_db=20.0 * math.log10(d0 * d1 / (ds * d2))
        - 10.0 * math.log10(max(1, open_microphones))
        - margin_db,
        doubts=tuple(_doubts(distances, critical_distance_m)),
    )


def _doubts(distances: Distances, critical_m: float) -> list[str]:
    """Why the formula may be off: its assumptions, looked at one by one."""
    doubts = ["patterns of microphones and loudspeakers are left out: each gives 3 to 10 dB more"]
    if max(distances.d0, distances.d1, distances.d2) > critical_m:
        doubts.append("beyond the critical distance the level hardly falls: distances were cut")
    if distances.ds > critical_m:
        doubts.append("the microphone hears more room than voice")
    if distances.d1 < 2.0 * distances.ds:
        doubts.append("the loudspeaker is about as near as the voice: count the direct loop")
    return doubts
