"""How much of speech arrives: the speech transmission index, from paths, reverberation and noise.

Modulations of speech are flattened by echoes, by reverberation and by noise. Several arrivals
(loudspeakers, reflections) and the reverberation that each starts are told by their energies and
times; noise, masking by the octave below and the threshold of hearing are added as the standard
says. A result holds within 0.05: two measurements in one place differ by 0.02 to 0.03 as well.

References
----------
.. [1] IEC 60268-16:2020 (edition 5), Annex A: weights, modulation frequencies, masking, threshold.
.. [2] T. Houtgast and H. J. M. Steeneken, Acustica 46 (1980), 60-72:
   ``m = 1 / sqrt(1 + (2 pi F T / 13.8)^2) / (1 + 10^(-SNR / 10))``.
.. [3] Farrel Becker's relation of STI and articulation loss, as handbooks quote it.
.. [4] V. M. A. Peutz, J. Audio Eng. Soc. 19 (1971), 915-919: ``200 D^2 T^2 / (V Q)``.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from levelhead.acoustics.listening.room import DECAY_NEPERS

__all__ = [
    "MODULATION_HZ",
    "SPEECH_OCTAVES",
    "STI_SPREAD",
    "Arrivals",
    "articulation_loss_percent",
    "common_scale",
    "modulation",
    "peutz_loss_percent",
    "rating",
    "sti",
    "sti_of_arrivals",
]

SPEECH_OCTAVES: Final = slice(2, 9)  # 125 Hz to 8 kHz of the ten octaves from 31.5 Hz
STI_SPREAD: Final = 0.05
ALPHA: Final = np.array([0.085, 0.127, 0.230, 0.233, 0.309, 0.224, 0.173])  # [1], Table A.1
BETA: Final = np.array([0.085, 0.078, 0.065, 0.011, 0.047, 0.095])  # [1], Table A.1
MODULATION_HZ: Final = np.array(
    [0.63, 0.8, 1.0, 1.25, 1.6, 2.0, 2.5, 3.15, 4.0, 5.0, 6.3, 8.0, 10.0, 12.5]
)  # [1]
THRESHOLD_DB_SPL: Final = np.array([46.0, 27.0, 12.0, 6.5, 7.5, 8.0, 12.0])  # [1], Table A.3
MASKING: Final = ((63.0, 0.5, -65.0), (67.0, 1.8, -146.9), (100.0, 0.5, -59.8))
"""Up to a level of the octave below, its masking is slope times level plus offset [1]. [dB]"""
MASKING_OF_LOUD_DB: Final = -10.0  # [1]: from 100 dB SPL on
RANGE_DB: Final = 15.0  # [1]: a signal 15 dB above noise loses nothing, 15 dB below is lost
RATINGS: Final = ((0.30, "bad"), (0.45, "poor"), (0.60, "fair"), (0.75, "good"))  # [1]


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrivals:
    """What reaches places, in seven octaves from 125 Hz to 8 kHz.

    Parameters
    ----------
    direct : ndarray, (..., paths, 7)
        Energy of each arrival, on any one scale.
    late : ndarray, (..., paths, 7)
        Energy of the reverberation that comes with it, dying away from its arrival on.
    time_s : ndarray, (..., paths)
        When each arrives. [s]
    reverberation_s : ndarray, (7,)
        Reverberation time; its late energy is nothing outdoors. [s]
    """

    direct: NDArray[np.float64]
    late: NDArray[np.float64]
    time_s: NDArray[np.float64]
    reverberation_s: NDArray[np.float64]


def modulation(arrivals: Arrivals) -> NDArray[np.float64]:
    """How much of each modulation is left, (..., 7, 14), before any noise.

    The envelope's spectrum of the squared impulse response: a spike for each arrival, an
    exponential ``1 / (1 + j 2 pi F T / 13.8)`` for each reverberation (one alone is [2]).
    """
    angle = -2.0 * np.pi * arrivals.time_s[..., None] * MODULATION_HZ
    turn = np.concatenate((np.cos(angle), np.sin(angle)), axis=-1)
    slowed = 1.0 / (
        1.0 + 2j * np.pi * np.multiply.outer(arrivals.reverberation_s / DECAY_NEPERS, MODULATION_HZ)
    )
    spikes = _turned(arrivals.direct, turn)
    tails = _turned(arrivals.late, turn) * slowed
    whole = (arrivals.direct + arrivals.late).sum(-2)
    return np.asarray(np.abs(spikes + tails) / np.maximum(whole, 1e-30)[..., None])


def _turned(energy: NDArray[np.float64], turn: NDArray[np.float64]) -> NDArray[np.complex128]:
    """Energies of all paths (..., paths, 7), each turned by its cosines and sines, (..., 7, 14)."""
    both = energy.swapaxes(-1, -2) @ turn
    half = both.shape[-1] // 2
    return np.asarray(both[..., :half] + 1j * both[..., half:])


def _masking_db(level_db_spl: NDArray[np.float64]) -> NDArray[np.float64]:
    """What an octave adds in the next one up, against its own level ([1], auditory masking)."""
    steps = [level_db_spl < limit for limit, _, _ in MASKING]
    lines = [slope * level_db_spl + offset for _, slope, offset in MASKING]
    return np.select(steps, lines, default=MASKING_OF_LOUD_DB)


def _disturbance(speech: NDArray[np.float64], noise: NDArray[np.float64]) -> NDArray[np.float64]:
    """Power of masking and threshold in each octave, (..., 7)."""
    whole_db = 10.0 * np.log10(np.maximum(speech + noise, 1e-30))
    masked = 10.0 ** ((whole_db + _masking_db(whole_db)) / 10.0)
    masked = np.concatenate((np.zeros_like(masked[..., :1]), masked[..., :-1]), axis=-1)
    return np.asarray(masked + 10.0 ** (THRESHOLD_DB_SPL / 10.0))


def sti(
    modulations: NDArray[np.float64],
    *,
    snr_db: ArrayLike = np.inf,
    signal_db_spl: ArrayLike | None = None,
) -> NDArray[np.float64]:
    """Speech transmission index of modulations that are left, 0 to 1.

    Parameters
    ----------
    modulations : ndarray, (..., 7, 14)
        From :func:`modulation`.
    snr_db : array_like, (..., 7)
        Speech over noise in each octave. [dB]
    signal_db_spl : array_like, (..., 7), optional
        Level of the speech in each octave; without it neither masking nor threshold is counted.

    Returns
    -------
    ndarray, (...)
        The index; it holds within ``STI_SPREAD``.

    References
    ----------
    IEC 60268-16:2020, Annex A.
    """
    noise = 10.0 ** (-np.asarray(snr_db, dtype=np.float64) / 10.0)  # against the speech
    share = 1.0 / (1.0 + noise)
    if signal_db_spl is not None:
        speech = 10.0 ** (np.asarray(signal_db_spl, dtype=np.float64) / 10.0)
        share = speech / (speech * (1.0 + noise) + _disturbance(speech, noise * speech))
    left = np.clip(modulations * np.asarray(share)[..., None], 1e-12, 1.0 - 1e-12)
    effective_db = np.clip(10.0 * np.log10(left / (1.0 - left)), -RANGE_DB, RANGE_DB)
    transfer = ((effective_db + RANGE_DB) / (2.0 * RANGE_DB)).mean(-1)
    neighbours = np.sqrt(transfer[..., :-1] * transfer[..., 1:])
    return np.asarray(np.clip(transfer @ ALPHA - neighbours @ BETA, 0.0, 1.0))


def sti_of_arrivals(
    arrivals: Arrivals, *, noise_db_spl: ArrayLike, signal_db_spl: ArrayLike
) -> NDArray[np.float64]:
    """Speech transmission index where sound arrives several times, (...).

    ``signal_db_spl`` and ``noise_db_spl`` are (..., 7): speech as it arrives in all, and what else
    is there. [dB SPL]
    """
    snr_db = np.asarray(signal_db_spl, dtype=np.float64) - np.asarray(noise_db_spl)
    return sti(modulation(arrivals), snr_db=snr_db, signal_db_spl=signal_db_spl)


def rating(index: float) -> str:
    """Word of the standard for an index.

    >>> rating(0.29), rating(0.5), rating(0.8)
    ('bad', 'fair', 'excellent')
    """
    return next((word for limit, word in RATINGS if index < limit), "excellent")


def common_scale(index: ArrayLike) -> NDArray[np.float64]:
    """Common intelligibility scale of IEC 60849: ``1 + lg STI``.

    >>> round(float(common_scale(0.5)), 3)
    0.699
    """
    return np.asarray(1.0 + np.log10(np.asarray(index, dtype=np.float64)))


def articulation_loss_percent(index: ArrayLike) -> NDArray[np.float64]:
    """Consonants lost for an index: ``170.5405 exp(-5.419 STI)`` [3]. [%]

    >>> round(float(articulation_loss_percent(0.6)), 1)
    6.6
    """
    return np.asarray(170.5405 * np.exp(-5.419 * np.asarray(index, dtype=np.float64)))


def peutz_loss_percent(
    *, distance_m: float, reverberation_s: float, volume_m3: float, q: float
) -> float:
    """Consonants lost by distance and reverberation [4], up to 3.16 critical distances. [%]

    Beyond, more distance changes nothing any more, and the loss is ``9 T``.

    >>> round(peutz_loss_percent(distance_m=10, reverberation_s=2, volume_m3=3000, q=5), 2)
    5.33
    """
    reach_m = math.sqrt(10.0) * 0.057 * math.sqrt(q * volume_m3 / reverberation_s)
    if distance_m > reach_m:
        return 9.0 * reverberation_s
    return 200.0 * (distance_m * reverberation_s) ** 2 / (volume_m3 * q)
