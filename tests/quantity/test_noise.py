"""Thermal noise and noise figures: scaling, and what cannot be."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from levelhead.errors import QuantityError
from levelhead.quantity.decibels import dbu_from_volts, power_sum_db, volts_from_dbu
from levelhead.quantity.noise import (
    cascade_noise_figure_db,
    noise_figure_db,
    own_noise_v,
    thermal_noise_v,
)

RESISTANCES = st.floats(1e-3, 1e9)


@given(first_ohm=RESISTANCES, second_ohm=RESISTANCES)
def test_noise_powers_of_resistances_in_series_add(first_ohm: float, second_ohm: float) -> None:
    """Two resistors are as noisy as their sum."""
    apart_v = math.hypot(thermal_noise_v(first_ohm), thermal_noise_v(second_ohm))
    assert thermal_noise_v(first_ohm + second_ohm) == pytest.approx(apart_v, rel=1e-12)


@given(resistance_ohm=RESISTANCES, factor=st.floats(1.0, 1e4))
def test_noise_grows_with_the_root_of_each_input(resistance_ohm: float, factor: float) -> None:
    noise_v, root = thermal_noise_v(resistance_ohm, 100, 100), math.sqrt(factor)
    assert thermal_noise_v(resistance_ohm * factor, 100, 100) == pytest.approx(noise_v * root)
    assert thermal_noise_v(resistance_ohm, 100 * factor, 100) == pytest.approx(noise_v * root)
    assert thermal_noise_v(resistance_ohm, 100, 100 * factor) == pytest.approx(noise_v * root)


@pytest.mark.parametrize("bad", [(-1, 1, 1), (1, -1, 1), (1, 1, -1), (math.nan, 1, 1)])
def test_negative_inputs_are_refused(bad: tuple[float, float, float]) -> None:
    with pytest.raises(QuantityError, match="no rms magnitude"):
        thermal_noise_v(*bad)


@given(own_dbu=st.floats(-150, -60), source_ohm=st.floats(1, 1e6))
def test_own_noise_and_the_resistor_make_the_published_figure(
    own_dbu: float, source_ohm: float
) -> None:
    """Taking the resistor out undoes adding it in."""
    source_dbu = dbu_from_volts(thermal_noise_v(source_ohm))
    published_v = float(volts_from_dbu(power_sum_db([own_dbu, float(source_dbu)])))
    own_v = own_noise_v(noise_v=published_v, source_ohm=source_ohm)
    rounding = 1e-12 * (published_v / float(volts_from_dbu(own_dbu))) ** 2
    assert own_v == pytest.approx(float(volts_from_dbu(own_dbu)), rel=1e-9 + rounding)


def test_figure_below_physics_is_refused() -> None:
    """-134 dBu at 150 ohm is 3 dB under the resistor alone."""
    with pytest.raises(QuantityError, match=r"at least the .* V of that resistor alone"):
        own_noise_v(noise_v=float(volts_from_dbu(-134)), source_ohm=150)


def test_noiseless_input_has_a_noise_figure_of_nothing() -> None:
    assert noise_figure_db(noise_v=thermal_noise_v(150), source_ohm=150) == pytest.approx(0.0)


@given(st.floats(0, 30), st.floats(0, 30), st.floats(-30, 60))
def test_first_stage_is_the_least_a_cascade_can_have(
    first_db: float, second_db: float, gain_db: float
) -> None:
    total_db = cascade_noise_figure_db(noise_figures_db=[first_db, second_db], gains_db=[gain_db])
    assert total_db >= first_db - 1e-9
    alone_db = cascade_noise_figure_db(noise_figures_db=[first_db], gains_db=[])
    assert alone_db == pytest.approx(first_db, abs=1e-9)


@given(st.floats(0, 30), st.floats(0, 20))
def test_passive_loss_adds_itself_to_what_follows(figure_db: float, loss_db: float) -> None:
    """A pad at room temperature before a stage: noise figures simply add in dB."""
    total_db = cascade_noise_figure_db(noise_figures_db=[loss_db, figure_db], gains_db=[-loss_db])
    assert total_db == pytest.approx(loss_db + figure_db, abs=1e-9)


def test_cascades_go_along_the_last_axis() -> None:
    figures_db = cascade_noise_figure_db(noise_figures_db=[[1, 10], [2, 10]], gains_db=[20])
    assert figures_db.shape == (2,)
