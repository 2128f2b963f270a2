"""How far the sound system is from ringing: the statistical loop, of mean squares.

Nobody knows the phase at a place, so the mean square of each way counts: loudspeaker to microphone
through the air, microphone to loudspeaker through the desk (what meets on a bus has been added with
its sign before). The largest eigenvalue of the two together is the mean loop gain of a band; open
microphones that feed one loudspeaker make it ``10 lg N`` more by themselves. The highest of many
peaks is ``10 lg (ln N + 0.577)`` above the mean for ``N`` of them; where it rings is in
:mod:`levelhead.acoustics.loop.ringing`.

References
----------
.. [1] M. R. Schroeder, "Statistical parameters of the frequency response curves of large rooms",
   Acustica 4 (1954), 594-600 (J. Audio Eng. Soc. 35 (1987), 299): maxima are ``4 / T`` apart.
.. [2] Largest of ``N`` exponential powers: mean ``ln N + 0.577``, textbook (Gumbel).
.. [3] C. P. and R. E. Boner, J. Audio Eng. Soc. 17 (1969); D. Davis and E. Patronis, "Sound System
   Engineering": 6 dB below the mean loop gain of one, 10 lg of open microphones; `from memory`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from levelhead.acoustics.listening.room import DECAY_NEPERS
from levelhead.acoustics.loop.ringing import Crossing, ring_points_db
from levelhead.errors import QuantityError
from levelhead.quantity.bands import BANDS, width_hz

__all__ = [
    "STABLE_MARGIN_DB",
    "FeedbackMargin",
    "Loop",
    "excess_db",
    "feedback_margin",
    "mean_loop_gain",
    "peaks_in_bands",
]

STABLE_MARGIN_DB: Final = 6.0  # [3], counted from the mean loop gain, once
SURE: Final = 0.95
EVEN: Final = 0.5
GUMBEL_MEAN: Final = 0.5704  # exp(-exp(-0.5772)): where the mean of the largest lies
PEAK_SPACING: Final = 4.0  # [1]: maxima are 4 / T hertz apart
MOST_STEADY: Final = 1e3  # a direct sound 30 dB above the rest has no peaks worth telling
NOTHING: Final = 1e-30
NORMAL_95: Final = 1.645


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Loop:
    """Microphones, loudspeakers, and what lies between them both ways.

    Parameters
    ----------
    direct, late : ndarray, (microphones, loudspeakers, 31)
        Mean-square pressure that a microphone hears, with its pattern, for 1 Pa on the axis of the
        loudspeaker at 1 m: straight and early sound, and reverberation. [ratio]
    electric : ndarray, (loudspeakers, microphones, 31)
        Pressure on the axis at 1 m for 1 Pa at the microphone; complex if phases are known. [ratio]
    reverberation_s : ndarray, (31,)
        Reverberation time, zero outdoors. [s]
    flight_s : ndarray, (microphones, loudspeakers)
        Time of the straight way. [s]
    latency_s : float
        Of the desk and all that is digital. [s]
    spread_db : float or ndarray, (microphones, loudspeakers)
        What is not known of the level of each way: heads, hands, bodies, places. [dB]

    Raises
    ------
    QuantityError
        The shapes do not belong together.
    """

    direct: NDArray[np.float64]
    late: NDArray[np.float64]
    electric: NDArray[np.complex128] | NDArray[np.float64]
    reverberation_s: NDArray[np.float64]
    flight_s: NDArray[np.float64]
    latency_s: float = 0.0
    spread_db: NDArray[np.float64] | float = 0.0

    def __post_init__(self) -> None:
        microphones, loudspeakers, bands = self.direct.shape
        wanted = (loudspeakers, microphones, bands)
        if self.electric.shape != wanted or self.late.shape != self.direct.shape or bands != BANDS:
            raise QuantityError(
                f"ways of {self.direct.shape} and {self.late.shape} through the air,"
                f" {self.electric.shape} through the desk",
                where="feedback loop",
                expected=f"microphones x loudspeakers x {BANDS} and the other way round",
                remedy="Give both the same microphones and loudspeakers.",
            )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FeedbackMargin:
    """How far a loop is from ringing.

    Parameters
    ----------
    mean_db : ndarray, (31,)
        Mean loop gain; it rings for sure long before 0 dB. [dB]
    peak_db : ndarray, (31,)
        Expected highest peak of each band. [dB]
    microphones, loudspeakers : ndarray, (n, 31)
        Their shares of the loop, which add up to one in each band.
    median_db : float
        What all gains together may still rise until an even chance of ringing. [dB]
    sure_db : float
        The same for a chance of 5 %: nineteen of twenty such places stand it. [dB]
    """

    mean_db: NDArray[np.float64]
    peak_db: NDArray[np.float64]
    microphones: NDArray[np.float64]
    loudspeakers: NDArray[np.float64]
    median_db: float
    sure_db: float

    @property
    def mean_margin_db(self) -> float:
        """From the highest mean loop gain to one. [dB]"""
        return -float(self.mean_db.max())

    @property
    def stable_margin_db(self) -> float:
        """What is left of that after the 6 dB of handbooks [3], which are counted once. [dB]"""
        return self.mean_margin_db - STABLE_MARGIN_DB

    @property
    def band(self) -> int:
        """Index of the band that will ring first."""
        return int(np.argmax(self.peak_db))


def peaks_in_bands(reverberation_s: ArrayLike) -> NDArray[np.float64]:
    """How many peaks the response of a room has in each band: width times T over 4 [1], (31,).

    >>> [round(float(n)) for n in peaks_in_bands(2.0)[[7, 17, 27]]]
    [12, 115, 1154]
    """
    times_s = np.asarray(reverberation_s, dtype=np.float64)
    return np.asarray(np.maximum(1.0, width_hz() * times_s / PEAK_SPACING))


def excess_db(peaks: ArrayLike, steady: ArrayLike = 0.0) -> NDArray[np.float64]:
    """Expected excess of the highest of many peaks over the mean power. [dB]

    Parameters
    ----------
    peaks : array_like
        How many there are.
    steady : array_like
        Power of one unchanging way (the direct sound) against the rest, which fluctuates.

    Notes
    -----
    Without a steady part ``10 lg (ln N + 0.577)`` [2]; with one the powers follow Rice's
    distribution, and the excess shrinks.

    Examples
    --------
    >>> round(float(excess_db(1000)), 1), round(float(excess_db(1000, steady=10.0)), 1)
    (8.7, 4.4)
    """
    from scipy.special import chndtrix

    count = np.maximum(1.0, np.asarray(peaks, dtype=np.float64))
    k = np.minimum(np.asarray(steady, dtype=np.float64), MOST_STEADY)
    power = chndtrix(GUMBEL_MEAN ** (1.0 / count), 2.0, 2.0 * k) / (2.0 * (1.0 + k))
    return np.asarray(10.0 * np.log10(power))


def mean_loop_gain(
    loop: Loop,
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Largest eigenvalue of the mean-square loop in each band, with its two eigenvectors.

    Returns
    -------
    ndarray, (31,)
        Mean-square loop gain.
    ndarray, (31, loudspeakers)
        How much each loudspeaker plays of what goes round (right eigenvector).
    ndarray, (31, loudspeakers)
        How much comes back of what each plays (left eigenvector).
    """
    air = np.moveaxis(loop.direct + loop.late, -1, 0)
    desk = np.moveaxis(np.square(np.abs(loop.electric)), -1, 0)
    around = desk @ air
    values, right = _dominant(around)
    _, left = _dominant(around.swapaxes(-1, -2))
    return values, right, left


def _dominant(matrices: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Largest eigenvalue of matrices without negative entries, and its vector (Perron), (n, k)."""
    values, vectors = np.linalg.eig(matrices)
    first = np.argmax(values.real, axis=-1)
    rows = np.arange(len(matrices))
    vector = np.abs(vectors[rows, :, first])
    return np.maximum(values.real[rows, first], 0.0), vector


def feedback_margin(loop: Loop) -> FeedbackMargin:
    """Mean loop gain, highest peaks, and how much more gain the system stands.

    Notes
    -----
    The one strongest direct way is steady; several of them turn against each other with frequency,
    as reverberation does. Where nothing is reverberant they are few, and come to no more than all
    of them in phase.
    """
    values, right, left = mean_loop_gain(loop)
    steady = _steady(loop, right, left)
    mean_db = 10.0 * np.log10(np.maximum(values, NOTHING))
    crossing = _crossing(loop, right, left, steady)
    points_db = ring_points_db(mean_db, crossing, chances=(EVEN, SURE))
    median_db, sure_db = np.maximum(points_db, _all_in_phase_db(loop)).tolist()
    below_db = median_db - sure_db
    median_db = min(median_db, -float(mean_db.max()))  # no luck with phases is counted on
    shares = _shares(loop, right, left)
    peak_db = mean_db + excess_db(peaks_in_bands(loop.reverberation_s), steady)
    spread_db = float((shares[int(np.argmax(peak_db))] * loop.spread_db).sum())
    return FeedbackMargin(
        mean_db=mean_db,
        peak_db=peak_db,
        microphones=shares.sum(2).T,
        loudspeakers=shares.sum(1).T,
        median_db=median_db,
        sure_db=median_db - math.hypot(below_db, NORMAL_95 * spread_db),
    )


def _all_in_phase_db(loop: Loop) -> float:
    """Gain at which it rings at the earliest: straight ways alone, all in phase at once. [dB]

    The spectral radius of a matrix is at most that of its magnitudes (Perron and Frobenius).
    Reverberation has no such end.
    """
    if loop.late.any():
        return -math.inf
    air = np.sqrt(np.moveaxis(loop.direct, -1, 0))
    desk = np.abs(np.moveaxis(loop.electric, -1, 0))
    most = float(_dominant(desk @ air)[0].max())
    return -20.0 * math.log10(max(most, NOTHING))


def _ways(
    loop: Loop, right: NDArray[np.float64], left: NDArray[np.float64], air: NDArray[np.float64]
) -> NDArray[np.float64]:
    """What each way of the air carries of the loop, (31, microphones, loudspeakers)."""
    desk = np.moveaxis(np.square(np.abs(loop.electric)), -1, 0)
    back = (left[:, None, :] @ desk)[:, 0]
    return np.asarray(back[:, :, None] * np.moveaxis(air, -1, 0) * right[:, None, :])


def _steady(
    loop: Loop, right: NDArray[np.float64], left: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Power of the strongest direct way against all the rest of the loop, (31,)."""
    whole = _ways(loop, right, left, loop.direct + loop.late).sum((1, 2))
    strongest = _ways(loop, right, left, loop.direct).max((1, 2))
    return np.asarray(strongest / np.maximum(whole - strongest, NOTHING * (1.0 + whole)))


def _shares(
    loop: Loop, right: NDArray[np.float64], left: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Share of each way in the loop, (31, microphones, loudspeakers)."""
    ways = _ways(loop, right, left, loop.direct + loop.late)
    return np.asarray(ways / np.maximum(ways.sum((1, 2), keepdims=True), NOTHING))


def _crossing(
    loop: Loop,
    right: NDArray[np.float64],
    left: NDArray[np.float64],
    steady: NDArray[np.float64],
) -> Crossing:
    """Times, ways and rank that tell how often the loop's phase comes round."""
    direct = _ways(loop, right, left, loop.direct)
    late = _ways(loop, right, left, loop.late)
    tail_s = (loop.reverberation_s / DECAY_NEPERS)[:, None, None]
    whole = np.maximum((direct + late).sum((1, 2)), NOTHING)
    straight_s = loop.flight_s + loop.latency_s
    mean_s = (direct * straight_s + late * (straight_s + tail_s)).sum((1, 2)) / whole
    away2 = direct * (straight_s - mean_s[:, None, None]) ** 2
    away2 = away2 + late * ((straight_s + tail_s - mean_s[:, None, None]) ** 2 + tail_s**2)
    first = np.argmax(direct.reshape(BANDS, -1), axis=-1)
    loops, rank = _loops_and_rank(loop, right, left)
    return Crossing(
        steady=steady,
        steady_s=straight_s.ravel()[first],
        mean_s=mean_s,
        deviation_s=np.sqrt(away2.sum((1, 2)) / whole),
        loops=loops,
        rank=rank,
    )


def _loops_and_rank(
    loop: Loop, right: NDArray[np.float64], left: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """How many loops go round by themselves, and how many ways through the desk each has.

    Ways through the desk are counted by its singular values, weighted with what goes through them;
    loops by the trace of the mean-square loop over its largest eigenvalue.
    """
    air = np.moveaxis(loop.direct + loop.late, -1, 0)
    desk = np.moveaxis(loop.electric, -1, 0)
    arriving = np.sqrt((air @ right[..., None])[..., 0])
    weighted = np.sqrt(left)[..., None] * desk * arriving[:, None, :]
    power = np.square(np.linalg.svd(weighted, compute_uv=False))
    ranks = power.sum(-1) ** 2 / np.maximum(np.square(power).sum(-1), NOTHING**2)
    around = np.square(np.abs(desk)) @ air
    trace = np.trace(around, axis1=-2, axis2=-1)
    largest = (left[:, None] @ around @ right[..., None])[:, 0, 0]
    loops = trace * (left * right).sum(-1) / np.maximum(largest, NOTHING)
    loops = np.maximum(1.0, loops)
    return loops, np.maximum(1.0, ranks / loops)
