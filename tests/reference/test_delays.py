"""Published values of delays, combs, and levels of loudspeakers."""

from __future__ import annotations

import math

import numpy as np
import pytest

from levelhead.acoustics.sound.air import Air
from levelhead.acoustics.sound.delay import align_subwoofer, comb, delay_for, louder_by_db
from levelhead.acoustics.sound.loudspeaker import (
    ceiling_grid,
    level_at_1_m_db,
    power_compression_db,
)
from levelhead.acoustics.sound.paths import paths_to
from levelhead.acoustics.sound.sum import Doubt, summed_power
from levelhead.quantity.bands import mid_hz
from tests.acoustics.drawing import a_loudspeaker


@pytest.mark.reference("distance over speed of sound, 35 m at 10 and 30 degrees C (CV-79)")
@pytest.mark.parametrize(("celsius", "printed_ms"), [(10, 103.77), (30, 100.29)])
def test_delay_of_a_distance(celsius: float, printed_ms: float) -> None:
    """36 m and 1 m, no offset."""
    setting = delay_for(first_m=36.0, own_m=1.0, air=Air.of_celsius(celsius), offset_s=0.0)
    assert 1000 * setting.time_s == pytest.approx(printed_ms, abs=0.02)


@pytest.mark.reference("distance over speed of sound: change between 10 and 30 degrees (CV-79)")
def test_delay_drifts_with_the_air() -> None:
    """3.48 ms over 20 degrees."""
    setting = delay_for(first_m=36.0, own_m=1.0, offset_s=0.0)
    assert 20e3 * setting.per_kelvin_s == pytest.approx(100.29 - 103.77, abs=0.01)


@pytest.mark.reference(
    "Haas 1949: up to 10 dB louder, 5 to 30 ms behind; 10 to 20 ms usual (CV-80)"
)
def test_a_later_sound_may_be_louder() -> None:
    """The usual offset lies inside; 40 ms and more fall apart."""
    setting = delay_for(first_m=30.0, own_m=6.0)
    assert 0.010 <= setting.behind_s <= 0.020
    assert [setting.may_be_louder_db, louder_by_db(0.06)] == pytest.approx([10.0, 0.0])


@pytest.mark.reference("Everest, Master Handbook of Acoustics, ch. 10: first nulls (CV-81)")
@pytest.mark.parametrize(("apart_ms", "printed_hz"), [(1.0, 500), (0.5, 1000)])
def test_first_null(apart_ms: float, printed_hz: float) -> None:
    """Odd multiples of 1 / 2 tau."""
    assert comb(apart_s=apart_ms / 1000).first_null_hz == pytest.approx(printed_hz, abs=0.01)


@pytest.mark.reference("20 lg (1 + a), 20 lg (1 - a): a copy 10 dB down (CV-81)")
def test_ripple_of_a_weaker_copy() -> None:
    """+2.39 and -3.30 dB."""
    ripple = comb(apart_s=0.001, down_db=10.0)
    assert [ripple.peak_db, ripple.dip_db] == pytest.approx([2.39, -3.30], abs=0.01)
    assert not ripple.heard
    assert comb(apart_s=0.001, down_db=3.0).heard


@pytest.mark.reference("Linkwitz 1976: fourth-order sections are in phase at the crossover")
def test_subwoofer_joins_the_mains() -> None:
    """2 m nearer at 100 Hz: 5.8 ms, and 6 dB again; without it almost nothing is left."""
    joined = align_subwoofer(sub_m=8.0, main_m=10.0, crossover_hz=100.0)
    assert [1000 * joined.delay_sub_s, joined.sum_db] == pytest.approx([5.8, 6.0], abs=0.05)
    assert joined.unset_db == pytest.approx(
        20 * math.log10(2 * abs(math.cos(math.pi * 0.5828))), abs=0.1
    )
    assert not joined.inverted


@pytest.mark.reference("Linkwitz 1976: second-order sections are 180 degrees apart")
def test_second_order_turns_the_polarity() -> None:
    """At equal distances."""
    joined = align_subwoofer(sub_m=8.0, main_m=8.0, crossover_hz=100.0, filter_phase_deg=180.0)
    assert joined.inverted
    assert [joined.sum_db, joined.delay_main_s] == pytest.approx([6.02, 0.0], abs=0.01)
    assert joined.unset_db < -60


@pytest.mark.reference("10 lg P and inverse square: 97 dB, 500 W, 20 m (CV-53)")
def test_level_of_a_sensitivity_at_a_distance() -> None:
    """500 W in 8 ohm are 63.2 V; 2.83 V are 1.001 W (CV-52)."""
    level = level_at_1_m_db(math.sqrt(500 * 8), sensitivity_db=np.full(31, 97.0))
    box = a_loudspeaker(up=1.2, level_db=level)
    heard = paths_to(np.array([[0.0, 20.0, 1.2]]), [box], air=Air()).power[0, 0, 0]
    assert 10 * math.log10(heard[5] / 4e-10) == pytest.approx(97.97, abs=0.01)


@pytest.mark.reference("Button 1992: some 3 dB at the rated power from memory")
def test_power_compression() -> None:
    """Nothing at a hundredth of the power, 3 dB at all of it, and it only grows."""
    lost = power_compression_db([4.0, 28.3, 40.0, 56.6], rated_v=40.0)
    assert [lost[0], lost[2]] == pytest.approx([0.05, 3.0], abs=0.03)
    assert np.all(np.diff(lost) > 0)


@pytest.mark.reference("ceiling layouts: edge to edge is 2 (h - ear) tan(C / 2), common practice")
def test_ceiling_loudspeakers() -> None:
    """90 degrees, 2 m above ears: circles of 4 m across."""
    apart = ceiling_grid(
        size_m=(8, 12), height_m=3.2, ear_m=1.2, coverage_deg=90, overlap="edge-to-edge"
    )
    assert len(apart) == 2 * 3
    assert np.diff(np.unique(apart[:, 0])) == pytest.approx([4.0])


@pytest.mark.reference("Everest, ch. 10: first null of 1 ms is at 500 Hz (CV-81)")
def test_a_comb_at_a_seat() -> None:
    """One signal from 5 m and from 34.32 cm more: 500 Hz is the softest band around."""
    boxes = [a_loudspeaker(into=0.0), a_loudspeaker(into=-0.3432)]
    known = Doubt(ear_m=0.0, loudspeaker_m=0.0, temperature_k=0.0)
    paths = paths_to(np.array([[0.0, 5.0, 2.0]]), boxes, air=Air())
    power = summed_power(paths, boxes, air=Air(), doubt=known)[0]
    assert mid_hz()[8 + int(np.argmin(power[8:20]))] == pytest.approx(501, abs=1)
