"""Ways of one signal together, against sums over tones and over drawn places."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from levelhead.acoustics.sound.air import USUAL_AIR, Air
from levelhead.acoustics.sound.loudspeaker import Loudspeaker
from levelhead.acoustics.sound.paths import Paths, Plane, paths_to
from levelhead.acoustics.sound.sum import Doubt, summed_power
from levelhead.quantity.bands import BANDS, edges_hz, mid_hz
from tests.acoustics.drawing import a_loudspeaker

SURE = Doubt(ear_m=0.0, loudspeaker_m=0.0, temperature_k=0.0)
LEAST = Doubt(ear_m=0.0, loudspeaker_m=1e-6, temperature_k=0.0)


def tones(paths: Paths, signs: list[float], count: int = 400) -> NDArray[np.float64]:
    """Mean over many tones of a band of the squared sum of pressures, (places, 31)."""
    low, high = edges_hz()
    steps = (np.arange(count) + 0.5) / count
    frequency = low[:, None] + (high - low)[:, None] * steps
    phase = np.exp(-2j * np.pi * paths.time_s[..., None, None] * frequency)
    pressure = np.sqrt(paths.power)[..., None] * phase
    together = (pressure * np.array(signs)[:, None, None, None, None]).sum((0, 1))
    return np.asarray((np.abs(together) ** 2).mean(-1))


def places(count: int = 20) -> NDArray[np.float64]:
    """Somewhere in a hall."""
    return np.random.default_rng(3).uniform((-5, 2, 1), (5, 12, 2), (count, 3))


@pytest.mark.parametrize("inverted", [False, True])
def test_cross_terms_are_those_of_many_tones(*, inverted: bool) -> None:
    """Three loudspeakers, one of them turned round, places known to the micrometre."""
    boxes = [a_loudspeaker(-2.0), a_loudspeaker(2.0, inverted=inverted), a_loudspeaker(0.0, -1.0)]
    paths = paths_to(places(), boxes, air=USUAL_AIR)
    ours = summed_power(paths, boxes, air=USUAL_AIR, doubt=LEAST)
    theirs = tones(paths, [1.0, -1.0 if inverted else 1.0, 1.0])
    whole = paths.power.sum((0, 1))
    assert ours / whole == pytest.approx(theirs / whole, abs=0.01)


def test_two_in_one_place_are_6_db_louder() -> None:
    """In all bands that the doubt of a loudspeaker's place leaves alone."""
    boxes = [a_loudspeaker(), a_loudspeaker()]
    paths = paths_to(places(), boxes, air=USUAL_AIR)
    together = summed_power(paths, boxes, air=USUAL_AIR)
    gain_db = 10 * np.log10(together / paths.power[0, 0])
    assert gain_db[:, :8] == pytest.approx(np.full((20, 8), 6.02), abs=0.1)
    assert gain_db[:, 27:] == pytest.approx(np.full((20, 4), 3.01), abs=0.1)


def test_different_signals_add_as_power() -> None:
    boxes = [a_loudspeaker(-2.0, signal="left"), a_loudspeaker(2.0, signal="right")]
    paths = paths_to(places(), boxes, air=USUAL_AIR)
    ours = summed_power(paths, boxes, air=USUAL_AIR)
    assert ours == pytest.approx(paths.power.sum((0, 1)), rel=1e-6)


def test_opposite_polarity_cancels_in_the_middle() -> None:
    """No deeper than anybody would believe."""
    boxes = [a_loudspeaker(-2.0), a_loudspeaker(2.0, inverted=True)]
    middle = np.array([[0.0, 8.0, 1.5]])
    paths = paths_to(middle, boxes, air=USUAL_AIR)
    left_db = 10 * np.log10(
        summed_power(paths, boxes, air=USUAL_AIR)[0] / paths.power.sum((0, 1))[0]
    )
    assert left_db[2] < -20.0
    assert left_db.min() >= -40.01
    assert left_db[27] == pytest.approx(0.0, abs=0.1)


def test_coherence_is_the_mean_over_drawn_places() -> None:
    """Ears drawn by 10 cm, loudspeakers by 3 cm, air by 2 degrees: 4,000 evenings."""
    doubt = Doubt(ear_m=0.1, loudspeaker_m=0.03, temperature_k=2.0)
    boxes = [a_loudspeaker(-3.0), a_loudspeaker(3.0, 1.0)]
    place = np.array([[1.0, 8.0, 1.5]])
    rng = np.random.default_rng(11)
    paths = paths_to(place, boxes, air=USUAL_AIR)
    ears = place + rng.normal(0.0, doubt.ear_m, (4000, 3))
    drawn = [_drawn_times(each, boxes, rng, doubt) for each in ears]
    low, high = edges_hz()
    steps = low[:, None] + (high - low)[:, None] * ((np.arange(20) + 0.5) / 20)
    mean = np.mean([np.cos(2 * np.pi * steps * tau).mean(-1) for tau in drawn], axis=0)
    cross = 2 * np.sqrt(paths.power[0, 0, 0] * paths.power[1, 0, 0])
    ours = summed_power(paths, boxes, air=USUAL_AIR, doubt=doubt)[0]
    assert (ours - paths.power.sum((0, 1))[0]) / cross == pytest.approx(mean, abs=0.04)


def _drawn_times(
    ear: NDArray[np.float64], boxes: list[Loudspeaker], rng: np.random.Generator, doubt: Doubt
) -> float:
    """Difference in time between two loudspeakers, for one evening."""
    speed = Air(temperature_k=293.15 + rng.normal(0.0, doubt.temperature_k)).speed_m_per_s
    distance = [np.linalg.norm(ear - box.at_m) + rng.normal(0.0, 0.03) for box in boxes]
    return float(distance[1] - distance[0]) / speed


def test_floor_reflects_the_mirror_image() -> None:
    """A hard floor far below the wave: 6 dB more; one that swallows all: nothing."""
    place = np.array([[0.0, 10.0, 0.05]])
    box = [a_loudspeaker(up=0.05)]
    point, normal = np.zeros(3), np.array([0.0, 0.0, 1.0])
    hard = Plane(point_m=point, normal=normal, absorption=np.zeros(BANDS))
    soft = Plane(point_m=point, normal=normal, absorption=np.ones(BANDS))
    alone = paths_to(place, box, air=USUAL_AIR).power[0, 0, 0]
    levels = []
    for plane in (hard, soft):
        paths = paths_to(place, box, air=USUAL_AIR, planes=[plane])
        levels.append(10 * np.log10(summed_power(paths, box, air=USUAL_AIR)[0] / alone))
    assert levels[0][:12] == pytest.approx(np.full(12, 6.02), abs=0.15)
    assert levels[1] == pytest.approx(np.zeros(BANDS), abs=1e-6)


def test_a_wall_behind_which_one_stands_reflects_nothing() -> None:
    wall = Plane(
        point_m=np.array([0.0, 5.0, 0.0]),
        normal=np.array([0.0, -1.0, 0.0]),
        absorption=np.zeros(BANDS),
    )
    behind = np.array([[0.0, 8.0, 1.0]])
    paths = paths_to(behind, [a_loudspeaker()], air=USUAL_AIR, planes=[wall])
    assert np.all(paths.power[0, 1] == 0)


@pytest.mark.parametrize("distance_m", [5.0, 10.0, 40.0])
def test_level_falls_with_distance_and_air(distance_m: float) -> None:
    """90 dB at 1 m, less spreading, less what the air takes at 8 kHz (0.1 dB a metre)."""
    place = np.array([[0.0, distance_m, 2.0]])
    power = paths_to(place, [a_loudspeaker()], air=USUAL_AIR).power[0, 0, 0]
    level_db = 10 * np.log10(power / 4e-10)
    assert level_db[2] == pytest.approx(90 - 20 * np.log10(distance_m), abs=0.02)
    assert mid_hz()[26] == pytest.approx(7943, abs=1)
    lost = level_db[2] - level_db[26]
    assert lost == pytest.approx(0.1038 * distance_m, abs=0.03)


def test_places_known_exactly_fade_in_no_band() -> None:
    boxes = [a_loudspeaker(), a_loudspeaker()]
    paths = paths_to(places(3), boxes, air=USUAL_AIR)
    gain = summed_power(paths, boxes, air=USUAL_AIR, doubt=SURE) / paths.power[0, 0]
    assert gain == pytest.approx(np.full((3, BANDS), 4.0), rel=1e-3)
