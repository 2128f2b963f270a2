"""Levels at seats."""

from __future__ import annotations

import numpy as np
import pytest

from levelhead.acoustics.listening.seats import Area, Venue, evenness_db, grid_of, seats
from levelhead.acoustics.sound.paths import Plane
from levelhead.errors import QuantityError
from levelhead.quantity.bands import BANDS
from tests.acoustics.drawing import a_loudspeaker, a_room

HALL = Area(name="stalls", corners_m=((-4, 2), (4, 2), (4, 12), (-4, 12)))


def test_grid_fills_an_area() -> None:
    """One seat a square metre, all inside, at the height of ears."""
    grid = grid_of(HALL)
    assert grid.shape == (80, 3)
    assert np.all(grid[:, 2] == 1.2)
    assert (np.abs(grid[:, 0]) < 4).all()


def test_grid_keeps_out_of_the_missing_corner() -> None:
    """An L: 3/4 of the square."""
    corner = Area(name="L", corners_m=((0, 0), (10, 0), (10, 5), (5, 5), (5, 10), (0, 10)))
    grid = grid_of(corner)
    assert len(grid) == 75
    assert not np.any((grid[:, 0] > 5) & (grid[:, 1] > 5))


def test_a_floor_may_rise() -> None:
    """Ears at the back are higher."""
    area = Area(name="rake", corners_m=HALL.corners_m, ear_m=1.2, back_ear_m=3.2)
    grid = grid_of(area)
    assert grid[:, 2].max() == pytest.approx(3.1)
    assert grid[:, 2].min() == pytest.approx(1.3)


@pytest.mark.parametrize("corners", [((0, 0), (1, 0)), ((0, 0), (5, 0), (9, 0))])
def test_an_area_without_room_is_refused(corners: tuple[tuple[float, float], ...]) -> None:
    with pytest.raises(QuantityError, match=r"area 'strip': .* expected three corners"):
        grid_of(Area(name="strip", corners_m=corners))


def test_no_loudspeaker_is_told() -> None:
    with pytest.raises(QuantityError, match="no loudspeaker plays to these places"):
        seats(grid_of(HALL), [], Venue())


def test_a_listener_inside_a_loudspeaker_is_told() -> None:
    """And its level is no infinity."""
    ears = np.array([[0.0, 0.05, 2.0], [0.0, 6.0, 1.2]])
    heard = seats(ears, [a_loudspeaker()], Venue())
    assert heard.inside.tolist() == [True, False]
    assert np.isfinite(heard.a_weighted_db).all()


def test_outdoors_is_direct_sound_only() -> None:
    """6 dB less for twice the distance, no reverberation."""
    ears = np.array([[0.0, 5.0, 2.0], [0.0, 10.0, 2.0]])
    heard = seats(ears, [a_loudspeaker()], Venue())
    assert float(heard.level_db[0, 10] - heard.level_db[1, 10]) == pytest.approx(6.03, abs=0.02)
    assert np.all(heard.late_db == -np.inf)
    assert heard.sti == pytest.approx([1.0, 1.0], abs=0.02)


def test_indoors_the_level_falls_less() -> None:
    """Far from the loudspeaker the room carries, and speech drowns."""
    ears = np.array([[0.0, 2.0, 2.0], [0.0, 20.0, 2.0]])
    heard = seats(ears, [a_loudspeaker()], Venue(room=a_room(3000.0, 2.0)))
    ratio = heard.direct_to_reverberant_db[:, 17]
    assert ratio[0] > 0 > ratio[1]
    assert float(heard.level_db[0, 17] - heard.level_db[1, 17]) < 12
    assert heard.sti[0] > heard.sti[1] + 0.1


def test_reverberation_alone_gives_the_index_of_its_time() -> None:
    """Far out, the index is that of 2 s: 0.437 (Houtgast and Steeneken), less masking."""
    far = np.array([[0.0, 30.0, 2.0]])
    heard = seats(far, [a_loudspeaker(up=2.0)], Venue(room=a_room(500.0, 2.0)))
    assert float(heard.sti[0]) == pytest.approx(0.437, abs=0.03)


def test_noise_takes_speech() -> None:
    """As loud as the speech in each octave: half, less masking."""
    ears = np.array([[0.0, 10.0, 2.0]])
    level = seats(ears, [a_loudspeaker()], Venue()).level_db[0]
    heard = seats(ears, [a_loudspeaker()], Venue(noise_db=level))
    assert float(heard.sti[0]) == pytest.approx(0.5, abs=0.05)
    assert float(heard.signal_to_noise_db[0]) == pytest.approx(0.0, abs=1e-9)


def test_spread_is_that_of_the_reverberation() -> None:
    """None outdoors and near the loudspeaker; some decibels at 31.5 Hz in a small room."""
    ears = np.array([[0.0, 0.3, 2.0], [0.0, 12.0, 2.0]])
    room = a_room(200.0, 0.8, 220.0)
    heard = seats(ears, [a_loudspeaker()], Venue(room=room))
    assert heard.spread_db[0, 17] < 0.5
    assert 3.0 < heard.spread_db[1, 2] < 6.0
    assert heard.spread_db[1, 25] < 1.0
    assert room.schroeder_hz == pytest.approx(126.5, abs=0.1)


def test_evenness_of_a_row() -> None:
    """Eight of ten lie within."""
    between, deviation = evenness_db(np.linspace(80.0, 90.0, 101))
    assert [between, deviation] == pytest.approx([8.0, 2.92], abs=0.01)


def test_more_absorption_less_reverberation() -> None:
    """Twice the time is 3.01 dB more, and at 1 m it has fallen by 0.09 dB less."""
    ears = np.array([[0.0, 1.0, 2.0]])
    late = [
        seats(ears, [a_loudspeaker()], Venue(room=a_room(2000.0, time))).late_db[0, 17]
        for time in (1.0, 2.0)
    ]
    assert late[1] - late[0] == pytest.approx(3.10, abs=0.01)


def test_floor_under_a_subwoofer() -> None:
    """A box on hard ground plays half a sphere: 6 dB more outdoors."""
    floor = Plane(
        point_m=np.zeros(3), normal=np.array([0.0, 0.0, 1.0]), absorption=np.full(BANDS, 0.02)
    )
    ears = np.array([[0.0, 20.0, 1.6]])
    on_floor = a_loudspeaker(up=0.3)
    bare = seats(ears, [on_floor], Venue()).level_db[0, 5]
    real = seats(ears, [on_floor], Venue(planes=(floor,))).level_db[0, 5]
    assert real - bare == pytest.approx(6.0, abs=0.2)
