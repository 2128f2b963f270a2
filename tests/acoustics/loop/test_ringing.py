"""Where loops ring: against a loop that runs in time, and against random rooms."""

from __future__ import annotations

import math

import numpy as np
import pytest

from levelhead.acoustics.loop.feedback import feedback_margin
from levelhead.acoustics.loop.responses import ring_point
from levelhead.errors import QuantityError
from tests.acoustics.rings import RATE_HZ, RandomRoom, grows, random_room

LAYOUTS = 20
WITHIN_DB = 0.5
LATENCY = 20  # samples, 4 ms


def banded(room: RandomRoom) -> RandomRoom:
    """The same room without the lowest and highest notes: nothing at 0 Hz and at half the rate."""
    pass_band = np.array([-1.0, 0.0, 2.0, 0.0, -1.0]) / 4.0
    responses = np.apply_along_axis(np.convolve, -1, room.responses, pass_band)
    return RandomRoom(**{**vars(room), "responses": responses, "latency_s": LATENCY / RATE_HZ})


@pytest.mark.parametrize("seed", range(LAYOUTS))
def test_a_loop_in_time_rings_where_eigenvalues_say(seed: int) -> None:
    """Half a decibel less and it dies away, half a decibel more and it grows."""
    room = banded(random_room(np.random.default_rng(seed), longest_s=0.5))
    margin_db = ring_point(
        room.responses,
        room.gains,
        sample_rate_hz=RATE_HZ,
        delay_s=room.latency_s,
        between_hz=(0.0, RATE_HZ / 2),
    ).margin_db
    for by_db, wanted in ((-WITHIN_DB, False), (WITHIN_DB, True)):
        gains = room.gains * 10 ** ((margin_db + by_db) / 20)
        assert grows(room.responses, gains, LATENCY, samples=25_000) is wanted, by_db


def test_one_echo_rings_at_its_gain() -> None:
    """A single reflection of a half: 6.02 dB, at multiples of one over its time."""
    response = np.zeros((1, 1, 200))
    response[0, 0, 100] = 0.5
    found = ring_point(response, np.ones((1, 1)), sample_rate_hz=1000.0, between_hz=(15.0, 400.0))
    assert found.margin_db == pytest.approx(6.02, abs=0.01)
    assert found.frequency_hz / 10 == pytest.approx(round(found.frequency_hz / 10), abs=0.1)


def test_a_turned_polarity_rings_in_between() -> None:
    response = np.zeros((1, 1, 200))
    response[0, 0, 100] = -0.5
    found = ring_point(response, np.ones((1, 1)), sample_rate_hz=1000.0, between_hz=(11.0, 400.0))
    assert math.remainder(found.frequency_hz, 10) == pytest.approx(-5.0, abs=0.5) or (
        math.remainder(found.frequency_hz, 10) == pytest.approx(5.0, abs=0.5)
    )


def test_responses_and_gains_belong_together() -> None:
    with pytest.raises(QuantityError, match="responses of 2 microphones and 1 loudspeakers"):
        ring_point(np.ones((2, 1, 8)), np.ones((2, 2)), sample_rate_hz=1000.0)


def covered(rooms: int, longest_s: float, seed: int) -> tuple[float, float]:
    """Share of rooms that stand the 95 % ring point, and by how much the median is off. [dB]"""
    rng = np.random.default_rng(seed)
    stands, off = [], []
    for _ in range(rooms):
        room = random_room(rng, longest_s=longest_s)
        rings_db, told = room.rings().margin_db, feedback_margin(room.loop())
        stands.append(rings_db >= told.sure_db)
        off.append(rings_db - told.median_db)
    return float(np.mean(stands)), float(np.median(off))


def test_ring_points_of_random_rooms() -> None:
    """Forty small ones: the long test has the numbers."""
    share, off_db = covered(40, 0.8, seed=3)
    assert 0.85 <= share <= 1.0
    assert off_db == pytest.approx(0.0, abs=1.5)


@pytest.mark.long
def test_ring_points_of_two_hundred_random_rooms() -> None:
    """The 95 % ring point holds in 90 to 98 % of rooms, the median within 1.5 dB."""
    share, off_db = covered(200, 2.5, seed=2024)
    assert 0.90 <= share <= 0.98
    assert off_db == pytest.approx(0.0, abs=1.5)
