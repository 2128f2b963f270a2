"""How far a sound system is from ringing, where impulse responses are known.

The complex loop is a matrix at each frequency. Raising all gains, the system rings when one of its
eigenvalues first touches one: where its curve crosses the real axis, furthest to the right. Delays
are in the responses; the grid is much finer than 1 / T, or peaks fall through it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.errors import QuantityError

__all__ = ["RingPoint", "ring_point"]

FINER: Final = 16  # grid points for each 1 / T: the chord of a curve is off by 0.2 dB at most


@dataclass(frozen=True, slots=True, kw_only=True)
class RingPoint:
    """Where a loop rings: how much all gains may rise until then, and at which frequency."""

    margin_db: float
    frequency_hz: float


def ring_point(
    responses: NDArray[np.float64],
    electric: NDArray[np.float64] | NDArray[np.complex128],
    *,
    sample_rate_hz: float,
    delay_s: float = 0.0,
    between_hz: tuple[float, float] = (20.0, 20_000.0),
) -> RingPoint:
    """Gain at which a loop of known responses rings.

    Parameters
    ----------
    responses : ndarray, (microphones, loudspeakers, samples)
        Impulse responses from what drives a loudspeaker to what a microphone gives.
    electric : ndarray, (loudspeakers, microphones) or (loudspeakers, microphones, frequencies)
        Gains from microphones to loudspeakers, with their sign; on the grid of ``rfft`` over
        :func:`grid_size` samples if they have frequencies.
    delay_s : float
        Latency of the electronics. [s]
    between_hz : (float, float)
        The range in which anything is amplified. [Hz]

    Raises
    ------
    QuantityError
        The shapes do not belong together.
    """
    microphones, loudspeakers, samples = responses.shape
    if electric.shape[:2] != (loudspeakers, microphones):
        raise QuantityError(
            f"responses of {microphones} microphones and {loudspeakers} loudspeakers, gains of"
            f" {electric.shape[1]} and {electric.shape[0]}",
            where="feedback loop",
            expected="the same microphones and loudspeakers",
            remedy="Give one response for each of both, and one gain the other way round.",
        )
    size = grid_size(samples, delay_s, sample_rate_hz)
    air = np.moveaxis(np.fft.rfft(responses, size), -1, 0)
    frequencies_hz = np.asarray(np.fft.rfftfreq(size, 1.0 / sample_rate_hz), dtype=np.float64)
    inside = (frequencies_hz >= between_hz[0]) & (frequencies_hz <= between_hz[1])
    desk = electric if electric.ndim == 2 else np.moveaxis(electric, -1, 0)[inside]  # noqa: PLR2004
    turn = np.exp(-2j * np.pi * frequencies_hz[inside] * delay_s)[:, None, None]
    around = desk @ (air[inside] * turn)
    values = around[:, :, 0] if loudspeakers == 1 else np.linalg.eigvals(around)
    return _first_to_ring(values, frequencies_hz[inside])


def grid_size(samples: int, delay_s: float, sample_rate_hz: float) -> int:
    """Length of the transform: a power of two, 16 times as long as the loop rings."""
    return int(2 ** math.ceil(math.log2(FINER * (samples + delay_s * sample_rate_hz))))


def _first_to_ring(
    values: NDArray[np.complex128], frequencies_hz: NDArray[np.float64]
) -> RingPoint:
    """Crossing of the real axis furthest to the right, over all eigenvalues, (n, k).

    Each eigenvalue goes on to the nearest one at the next frequency.
    """
    here, there = values[:-1], values[1:]
    nearest = np.argmin(np.abs(here[:, :, None] - there[:, None, :]), axis=-1)
    after = np.take_along_axis(there, nearest, axis=-1)
    crosses = (here.imag <= 0) != (after.imag <= 0)
    with np.errstate(divide="ignore", invalid="ignore"):  # no crossing, no share
        at = here.real + here.imag / (here.imag - after.imag) * (after.real - here.real)
    real = np.where(crosses, at, -np.inf)
    step, which = np.unravel_index(int(np.argmax(real)), real.shape)
    most = float(real[step, which])
    margin_db = -20.0 * math.log10(most) if most > 0 else math.inf
    return RingPoint(margin_db=margin_db, frequency_hz=float(frequencies_hz[step]))
