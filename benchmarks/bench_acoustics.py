"""Sound at seats: how long it takes for a full hall, against bare numpy for the same numbers."""

from __future__ import annotations

from typing import Final

import numpy as np

from benchmarks.harness import Call, benchmark
from levelhead.acoustics.listening.room import Room
from levelhead.acoustics.listening.seats import Venue, seats
from levelhead.acoustics.loop.feedback import Loop, feedback_margin
from levelhead.acoustics.sound.air import USUAL_AIR
from levelhead.acoustics.sound.directivity import coverage_of_size
from levelhead.acoustics.sound.loudspeaker import Loudspeaker
from levelhead.acoustics.sound.paths import paths_to
from levelhead.acoustics.sound.sum import USUAL_DOUBT, summed_power
from levelhead.quantity.bands import BANDS, edges_hz, mid_hz

SEATS: Final = 5000
LOUDSPEAKERS: Final = 16
RNG: Final = np.random.default_rng(7)
PLACES_M: Final = RNG.uniform((-15, 2, 1.2), (15, 40, 1.8), (SEATS, 3))


def loudspeakers() -> list[Loudspeaker]:
    """Sixteen boxes in a row over the stage, all with one signal."""
    box = coverage_of_size(across_deg=90, up_deg=60, width_m=0.35, height_m=0.6)
    return [
        Loudspeaker(
            at_m=np.array([right, 0.0, 5.0]),
            axis=np.array([-right / 20.0, 15.0, -4.0]),
            level_db=np.full(BANDS, 90.0),
            directivity=box,
        )
        for right in np.linspace(-12.0, 12.0, LOUDSPEAKERS)
    ]


@benchmark(group="seats", name="bare numpy: power and cross terms, no choices", runs=5)
def bare() -> Call:
    """Do the least that any program must: one exponential for each way, one sine for each edge."""
    at_m = np.array([each.at_m for each in loudspeakers()])
    edges = (2 * np.pi * np.append(edges_hz()[0], edges_hz()[1, -1])).astype(np.float32)
    wide, mid = np.diff(edges), (mid_hz() * 0.003).astype(np.float32) ** 2

    def sums() -> np.ndarray:
        distance = np.linalg.norm(PLACES_M[:, None] - at_m, axis=-1)
        power = np.exp(-np.multiply.outer(distance, mid_hz() * 1e-6)) / distance[..., None] ** 2
        pressure, time = np.sqrt(power).astype(np.float32), (distance / 343.2).astype(np.float32)
        total = power.sum(1)
        for one in range(LOUDSPEAKERS - 1):
            tau = np.abs(time[:, one + 1 :] - time[:, one : one + 1])[..., None] + np.float32(1e-6)
            cross = np.diff(np.sin(tau * edges), axis=-1) / (tau * wide) * np.exp(-mid * tau)
            total += 2 * (cross * pressure[:, one + 1 :]).sum(1) * pressure[:, one]
        return total

    return sums


@benchmark(group="seats", name="ways and their sum", runs=5, goal_ratio=3.0)
def ways() -> Call:
    """Sum straight ways with directivity, air, doubt of places and of the air."""
    boxes = loudspeakers()
    return lambda: summed_power(
        paths_to(PLACES_M, boxes, air=USUAL_AIR), boxes, air=USUAL_AIR, doubt=USUAL_DOUBT
    )


@benchmark(group="seats", name="5,000 seats, 16 loudspeakers, 31 bands, speech", runs=5, goal_s=1.0)
def whole() -> Call:
    """Everything a seat is told: reverberation and speech transmission too."""
    room = Room(volume_m3=9000.0, surface_m2=3000.0, reverberation_s=np.full(BANDS, 1.6))
    venue = Venue(room=room, noise_db=np.full(BANDS, 25.0))
    boxes = loudspeakers()
    return lambda: seats(PLACES_M, boxes, venue)


@benchmark(group="feedback", name="32 microphones, 16 loudspeakers", runs=9, goal_s=0.1)
def loop() -> Call:
    """Mean loop gain, peaks and ring points of a loop in which all feed all."""
    shape = (32, 16, BANDS)
    big = Loop(
        direct=RNG.uniform(1e-6, 1e-3, shape),
        late=RNG.uniform(1e-5, 1e-3, shape),
        electric=RNG.uniform(0.1, 1.0, (16, 32, BANDS)),
        reverberation_s=np.full(BANDS, 1.5),
        flight_s=RNG.uniform(0.003, 0.03, (32, 16)),
        latency_s=0.003,
    )
    return lambda: feedback_margin(big)
