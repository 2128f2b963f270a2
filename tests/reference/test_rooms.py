"""Published formulas and worked examples of rooms."""

from __future__ import annotations

import math

import numpy as np
import pytest

from levelhead.acoustics.listening.room import (
    Room,
    absorption_area_m2,
    critical_distance_m,
    eyring_s,
    room_constant_m2,
    sabine_s,
)
from levelhead.acoustics.sound.air import Air
from levelhead.quantity.bands import BANDS


def a_room(volume_m3: float, time_s: float, surface_m2: float = 1500.0) -> Room:
    """One reverberation time in all bands."""
    return Room(volume_m3=volume_m3, surface_m2=surface_m2, reverberation_s=np.full(BANDS, time_s))


@pytest.mark.reference(
    "Vigran, Building Acoustics, p. 125; 0.057 sqrt(Q V / T) of handbooks (CV-67)"
)
@pytest.mark.parametrize(
    ("q", "volume_m3", "time_s", "printed_m"),
    [(1, 200, 0.4, 1.275), (10, 3000, 1.5, 8.06), (5, 10000, 2, 9.01)],
)
def test_critical_distance(q: float, volume_m3: float, time_s: float, printed_m: float) -> None:
    """Handbooks round 0.0566 to 0.057: 0.7 %."""
    ours = float(critical_distance_m(q, absorption_area_m2(volume_m3, time_s)))
    assert ours == pytest.approx(printed_m, rel=0.01)


@pytest.mark.reference("Hopkins and Stryker 1948: Lw 100 dB, Q 2, 5 m, R 125 m2 (CV-68)")
def test_direct_and_reverberant_level() -> None:
    """Of a sound power, by ``Q / 4 pi r^2 + 4 / R``; a level at 1 m on axis stands in between."""
    at_1_m_db = 100 + 10 * math.log10(2 / (4 * math.pi))
    room = a_room(1000.0, 1.0, surface_m2=500.0)
    share = 125 / float(room_constant_m2(500.0, room.coefficient[17]))
    diffuse = room.reverberant(5.0, np.full(BANDS, 2.0), constant=True)[17] / share
    direct_db = at_1_m_db - 20 * math.log10(5.0)
    late_db = at_1_m_db + 10 * math.log10(diffuse)
    total_db = 10 * math.log10(10 ** (direct_db / 10) + 10 ** (late_db / 10))
    assert [direct_db, late_db, total_db] == pytest.approx([78.04, 85.05, 85.84], abs=0.01)


@pytest.mark.reference("university exam, worked: 10 x 8 x 6 m and 3 s (CV-69)")
def test_absorption_that_a_time_tells() -> None:
    """25.76 m2, or 0.068 on each square metre (printed; 0.0685 computed)."""
    area_m2 = float(absorption_area_m2(480.0, 3.0))
    assert [area_m2, area_m2 / 376] == pytest.approx([25.76, 0.068], abs=0.006)


@pytest.mark.reference("Everest, The Master Handbook of Acoustics, worked table of a room (CV-70)")
@pytest.mark.parametrize(
    ("sabins", "printed_s"),
    [(370.4, 0.49), (214.8, 0.85), (328.8, 0.56), (339.5, 0.54), (336.8, 0.54), (329.4, 0.55)],
)
def test_reverberation_time_of_a_handbook(sabins: float, printed_s: float) -> None:
    """Feet and sabins, with 0.049 for 0.0491."""
    foot = 0.3048
    ours = float(sabine_s(3728 * foot**3, sabins * foot**2))
    assert ours == pytest.approx(printed_s, abs=0.0075)


@pytest.mark.reference(
    "Kuttruff, Room Acoustics: Sabine's and Eyring's formulas, evaluated (CV-71)"
)
@pytest.mark.parametrize(
    ("mean", "sabine", "eyring"),
    [(0.1, 3.220, 3.056), (0.2, 1.610, 1.443), (0.3, 1.073, 0.903)],
)
def test_sabine_and_eyring(mean: float, sabine: float, eyring: float) -> None:
    """3000 m3 and 1500 m2."""
    ours = [float(sabine_s(3000.0, 1500.0 * mean)), float(eyring_s(3000.0, 1500.0, mean))]
    assert ours == pytest.approx([sabine, eyring], abs=0.002)


@pytest.mark.reference("24 ln 10 / c: 0.16102 s/m at 343.2 m/s (CV-71)")
def test_constant_of_sabine() -> None:
    """At 0 degrees it is 0.167."""
    assert float(sabine_s(1.0, 1.0)) == pytest.approx(0.16102, abs=1e-5)
    assert float(sabine_s(1.0, 1.0, air=Air.of_celsius(0.0))) == pytest.approx(0.16681, abs=1e-5)


@pytest.mark.reference(
    "Barron and Lee 1988: 31200 (T / V) exp(-0.04 r / T) against 10 m from memory"
)
@pytest.mark.parametrize("distance_m", [5.0, 10.0, 20.0, 40.0])
def test_reverberation_falls_with_distance(distance_m: float) -> None:
    """Their numbers are rounded: 31220 and 0.0403 for 343.2 m/s."""
    room = a_room(15_000.0, 2.0)
    against_10_m = 100.0 * room.reverberant(distance_m, np.ones(BANDS))[17]
    printed = 31_200 * 2.0 / 15_000.0 * math.exp(-0.04 * distance_m / 2.0)
    ours_db = 10 * math.log10(against_10_m)
    assert ours_db == pytest.approx(10 * math.log10(printed), abs=0.05)


@pytest.mark.reference(
    "Hopkins and Stryker 1948: constant field as a cross-check at the loudspeaker"
)
def test_both_theories_begin_alike() -> None:
    """Near the source they differ by what the first reflection takes: ``1 / (1 - a)``."""
    room = a_room(3000.0, 1.6)
    q = np.full(BANDS, 5.0)
    falling, constant = room.reverberant(0.0, q)[17], room.reverberant(0.0, q, constant=True)[17]
    assert 10 * math.log10(falling / constant) == pytest.approx(0.5, abs=0.4)


@pytest.mark.reference("Schroeder and Kuttruff 1962: 2000 sqrt(T / V)")
def test_schroeder_frequency() -> None:
    """Of a hall of 2000 m3 with 1.25 s."""
    assert a_room(2000.0, 1.25).schroeder_hz == pytest.approx(50.0, abs=1e-9)
