"""Loops to ring: random rooms as impulse responses, and a loop that runs in time."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.acoustics.loop.feedback import Loop
from levelhead.acoustics.loop.responses import RingPoint, ring_point
from levelhead.quantity.bands import BANDS, edges_hz

FIRST, LAST = 11, 20  # bands in which anything is amplified: 250 Hz to 2 kHz
RATE_HZ: Final = 5000.0
SIXTY_DB: Final = 6 * np.log(10)


@dataclass(frozen=True, kw_only=True)
class RandomRoom:
    """Responses of a room, gains through a desk, and what is known of them on average."""

    responses: NDArray[np.float64]
    gains: NDArray[np.float64]
    direct: NDArray[np.float64]
    late: NDArray[np.float64]
    time_s: float
    flight_s: NDArray[np.float64]
    latency_s: float

    def rings(self) -> RingPoint:
        """Where it does ring."""
        between = (float(edges_hz()[0, FIRST]), float(edges_hz()[1, LAST]))
        return ring_point(
            self.responses,
            self.gains,
            sample_rate_hz=RATE_HZ,
            delay_s=self.latency_s,
            between_hz=between,
        )

    def loop(self) -> Loop:
        """What mean squares tell of it."""
        inside = np.zeros(BANDS)
        inside[FIRST : LAST + 1] = 1.0
        return Loop(
            direct=self.direct[..., None] * np.ones(BANDS),
            late=self.late[..., None] * np.ones(BANDS),
            electric=self.gains[..., None] * inside,
            reverberation_s=np.full(BANDS, self.time_s),
            flight_s=self.flight_s,
            latency_s=self.latency_s,
        )


def random_room(rng: np.random.Generator, *, longest_s: float = 2.5) -> RandomRoom:
    """One to four microphones, one to three loudspeakers, direct sound 15 dB below to 10 above."""
    microphones, loudspeakers = int(rng.integers(1, 5)), int(rng.integers(1, 4))
    time_s = float(np.exp(rng.uniform(np.log(0.3), np.log(longest_s))))
    shape = (microphones, loudspeakers)
    late = 10 ** (rng.normal(0.0, 2.0, shape) / 10)
    direct = late * 10 ** (rng.uniform(-15.0, 10.0) / 10) * 10 ** (rng.normal(0.0, 3.0, shape) / 10)
    count = int(0.75 * time_s * RATE_HZ)  # to 45 dB down
    decay = np.exp(-SIXTY_DB * np.arange(count) / (time_s * RATE_HZ))
    decay /= decay.sum()
    responses = rng.normal(0.0, 1.0, (*shape, count)) * np.sqrt(late[..., None] * decay)
    responses = np.concatenate((np.zeros((*shape, 100)), responses), axis=-1)
    arrival = rng.integers(5, 100, shape)  # 0.3 to 7 m
    for m in range(microphones):
        for s in range(loudspeakers):
            responses[m, s] = np.roll(responses[m, s], int(arrival[m, s]) - 100)
            responses[m, s, arrival[m, s] - 1] = np.sqrt(direct[m, s])
    gains = 10 ** (rng.normal(0.0, 3.0, (loudspeakers, microphones)) / 20)
    gains *= rng.choice([-1.0, 1.0], gains.shape)
    return RandomRoom(
        responses=responses,
        gains=gains,
        direct=direct,
        late=late,
        time_s=time_s,
        flight_s=arrival / RATE_HZ,
        latency_s=float(rng.uniform(0.0, 0.005)),
    )


def random_lawn(rng: np.random.Generator) -> RandomRoom:
    """One to four microphones, one to three loudspeakers, 1 to 8 m apart, and no wall."""
    microphones, loudspeakers = int(rng.integers(1, 5)), int(rng.integers(1, 4))
    shape = (microphones, loudspeakers)
    arrival = rng.integers(15, 117, shape)
    direct = (15 / arrival) ** 2 * 10 ** (rng.normal(0.0, 2.0, shape) / 10)
    responses = np.zeros((*shape, 117))
    rows, columns = np.indices(shape)
    responses[rows, columns, arrival - 1] = np.sqrt(direct)
    gains = 10 ** (rng.normal(0.0, 3.0, (loudspeakers, microphones)) / 20)
    return RandomRoom(
        responses=responses,
        gains=gains * rng.choice([-1.0, 1.0], gains.shape),
        direct=direct,
        late=np.zeros(shape),
        time_s=0.0,
        flight_s=arrival / RATE_HZ,
        latency_s=float(rng.uniform(0.0, 0.005)),
    )


def grows(
    responses: NDArray[np.float64], gains: NDArray[np.float64], latency: int, samples: int
) -> bool:
    """Run a loop in time, sample by sample in blocks of its latency: does sound grow in it?

    The desk is late by ``latency`` samples, so a block of the loudspeakers is known before the
    microphones hear it.
    """
    microphones, loudspeakers, taps = responses.shape
    played = np.zeros((loudspeakers, taps + samples))
    heard = np.zeros((microphones, samples))
    played[:, taps : taps + latency] = np.random.default_rng(1).normal(size=(loudspeakers, latency))
    reverse = responses[..., ::-1]
    for start in range(0, samples - latency, latency):
        if start:
            played[:, taps + start : taps + start + latency] = (
                gains @ heard[:, start - latency : start]
            )
        window = played[:, start + 1 : start + taps + latency]
        views = np.lib.stride_tricks.sliding_window_view(window, taps, axis=-1)
        heard[:, start : start + latency] = np.einsum("sbt,mst->mb", views, reverse, optimize=True)
    energy = (heard**2).sum(0)
    third = samples // 3
    return bool(energy[2 * third :].sum() > energy[third : 2 * third].sum())
