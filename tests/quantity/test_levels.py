"""Levels and gains: what may be added to what, and round trips of all conversions."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from levelhead.errors import QuantityError
from levelhead.quantity.decibels import (
    coherent_sum_db,
    db_spl_from_pascals,
    dbu_from_volts,
    dbv_from_volts,
    dbw_from_watts,
    pascals_from_db_spl,
    power_sum_db,
    volts_from_dbu,
    volts_from_dbv,
    watts_from_dbw,
)
from levelhead.quantity.levels import Gain, Level, Reference

DECIBELS = st.floats(min_value=-200, max_value=120)
GAINS = st.builds(Gain, st.floats(min_value=-200, max_value=200))
PLAIN = st.sampled_from([reference for reference in Reference if reference is not Reference.DBM])
LEVELS = st.builds(Level, DECIBELS, PLAIN)
MAGNITUDES = st.floats(min_value=1e-9, max_value=1e3)

ROUND_TRIPS = [
    (dbu_from_volts, volts_from_dbu),
    (dbv_from_volts, volts_from_dbv),
    (db_spl_from_pascals, pascals_from_db_spl),
    (dbw_from_watts, watts_from_dbw),
]


@pytest.mark.parametrize(("level", "magnitude"), ROUND_TRIPS)
@given(value=MAGNITUDES)
def test_magnitude_to_level_and_back(level, magnitude, value: float) -> None:  # noqa: ANN001
    assert magnitude(level(value)) == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize(("level", "magnitude"), ROUND_TRIPS)
def test_silence_is_minus_infinity_and_comes_back_as_nothing(level, magnitude) -> None:  # noqa: ANN001
    assert level(0.0) == -np.inf
    assert magnitude(-np.inf) == 0.0


@pytest.mark.parametrize("bad", [-1e-9, math.nan, [1.0, -2.0]])
@pytest.mark.parametrize("level", [level for level, _ in ROUND_TRIPS])
def test_negative_magnitudes_are_refused(level, bad: float) -> None:  # noqa: ANN001
    with pytest.raises(QuantityError, match="no rms magnitude"):
        level(bad)


def test_conversions_keep_the_shape_of_arrays() -> None:
    assert dbu_from_volts(np.ones((3, 31))).shape == (3, 31)
    assert volts_from_dbu([[0.0], [4.0]]).shape == (2, 1)


@given(value=MAGNITUDES, factor=st.floats(min_value=1e-3, max_value=1e3))
def test_ten_times_the_voltage_is_twenty_db(value: float, factor: float) -> None:
    rise_db = dbu_from_volts(value * factor) - dbu_from_volts(value)
    assert rise_db == pytest.approx(20 * math.log10(factor), abs=1e-9)


@given(level=LEVELS, first=GAINS, second=GAINS)
def test_gains_add_up_before_or_after_the_level(level: Level, first: Gain, second: Gain) -> None:
    assert ((level + first) + second).value_db == pytest.approx(
        (level + (first + second)).value_db, abs=1e-9
    )
    assert first + level == level + first


@given(level=LEVELS, gain=GAINS)
def test_difference_of_levels_is_the_gain_between_them(level: Level, gain: Gain) -> None:
    assert ((level + gain) - level).db == pytest.approx(gain.db, abs=1e-9)
    assert level - gain == level + -gain


@given(first=LEVELS, second=LEVELS)
def test_levels_never_add(first: Level, second: Level) -> None:
    with pytest.raises(TypeError, match="unsupported operand"):
        first + second


@given(first=LEVELS, second=LEVELS)
def test_levels_of_different_references_have_no_difference(first: Level, second: Level) -> None:
    assume(first.reference is not second.reference)
    with pytest.raises(TypeError, match="bring both to one reference first"):
        first - second


def test_same_power_in_another_impedance_is_not_the_same_level() -> None:
    in_600 = Level(0, Reference.DBM, impedance_ohm=600)
    with pytest.raises(TypeError, match="is no gain"):
        in_600 - Level(0, Reference.DBM, impedance_ohm=50)


@pytest.mark.parametrize("other", [1.0, 20, "20 dB", None])
def test_numbers_without_unit_are_kept_out(other: object) -> None:
    for quantity in (Level(4, Reference.DBU), Gain(20)):
        with pytest.raises(TypeError, match="unsupported operand"):
            quantity + other  # type: ignore[operator]
        with pytest.raises(TypeError, match="unsupported operand"):
            quantity - other  # type: ignore[operator]


@given(level=LEVELS)
def test_a_level_goes_to_another_reference_and_back(level: Level) -> None:
    pairs = {Reference.DBU: Reference.DBV, Reference.DBV: Reference.DBU}
    pairs |= {Reference.DBU_A: Reference.DBV_A, Reference.DBV_A: Reference.DBU_A}
    there = level.to(pairs.get(level.reference, level.reference))
    assert there.to(level.reference).value_db == pytest.approx(level.value_db, abs=1e-9)


@pytest.mark.parametrize(
    ("reference", "wanted"),
    [
        (Reference.DBFS, Reference.DBU),
        (Reference.DBU, Reference.DBFS),
        (Reference.DB_SPL, Reference.DBU),
        (Reference.DBU_A, Reference.DBU),
        (Reference.DB_SPL_A, Reference.DB_SPL),
        (Reference.DBW, Reference.DBU),
        (Reference.DBU, Reference.DBW),
    ],
)
def test_no_conversion_without_the_gear_between(reference: Reference, wanted: Reference) -> None:
    with pytest.raises(QuantityError, match="stands a piece of gear"):
        Level(0, reference).to(wanted)


@pytest.mark.parametrize(
    ("reference", "read"),
    [(Reference.DBFS, "volts"), (Reference.DBU, "watts"), (Reference.DBU, "pascals")],
)
def test_level_gives_no_value_of_another_kind(reference: Reference, read: str) -> None:
    with pytest.raises(QuantityError, match=f"does not give {read}"):
        getattr(Level(0, reference), read)()


def test_values_of_a_level() -> None:
    assert Level(0, Reference.DBV).volts() == 1.0
    assert Level(-20, Reference.DBV).volts() == pytest.approx(0.1, rel=1e-15)
    assert Level(30, Reference.DBM, impedance_ohm=600).watts() == pytest.approx(1.0, rel=1e-12)
    assert Level(94, Reference.DB_SPL).pascals() == pytest.approx(1.0, rel=3e-3)
    assert Gain(-6.0206).ratio == pytest.approx(0.5, rel=1e-5)


def test_dbm_needs_its_impedance() -> None:
    with pytest.raises(QuantityError, match="dBm with a stated impedance"):
        Level(0, Reference.DBM)


@pytest.mark.parametrize(
    ("reference", "impedance_ohm"),
    [(Reference.DBU, 600), (Reference.DBM, 0), (Reference.DBM, math.nan), (Reference.DBW, -8)],
)
def test_impedance_goes_with_power_only(reference: Reference, impedance_ohm: float) -> None:
    with pytest.raises(QuantityError, match="a positive impedance, and only with dBm or dBW"):
        Level(0, reference, impedance_ohm)


@pytest.mark.parametrize("value_db", [math.nan, math.inf])
def test_what_is_no_number_is_no_level_and_no_gain(value_db: float) -> None:
    with pytest.raises(QuantityError, match="a number of decibels"):
        Level(value_db, Reference.DBU)
    with pytest.raises(QuantityError, match="a number of decibels"):
        Gain(value_db)


def test_silence_stays_silent_through_gains() -> None:
    silence = Level(-math.inf, Reference.DBU)
    assert silence + Gain(60) == silence
    assert Level(4, Reference.DBU) + Gain(-math.inf) == silence
    with pytest.raises(QuantityError, match="silence minus silence"):
        silence - silence


@given(st.lists(DECIBELS, min_size=1, max_size=20))
def test_sums_lie_between_the_loudest_and_its_copies(levels: list[float]) -> None:
    """Power sum <= coherent sum; both at least the loudest; order does not matter."""
    total_db, in_phase_db = power_sum_db(levels), coherent_sum_db(levels)
    count = len(levels)
    assert max(levels) - 1e-9 <= total_db <= in_phase_db + 1e-9
    assert total_db <= max(levels) + 10 * math.log10(count) + 1e-9
    assert in_phase_db <= max(levels) + 20 * math.log10(count) + 1e-9
    assert power_sum_db(levels[::-1]) == pytest.approx(float(total_db), abs=1e-9)


@given(levels=st.lists(DECIBELS, min_size=1, max_size=10), shift_db=DECIBELS)
def test_a_sum_moves_with_its_parts(levels: list[float], shift_db: float) -> None:
    moved = power_sum_db(np.array(levels) + shift_db)
    assert moved == pytest.approx(float(power_sum_db(levels)) + shift_db, abs=1e-9)


def test_silence_adds_nothing() -> None:
    assert power_sum_db([-np.inf, 80.0]) == pytest.approx(80.0)
    assert power_sum_db([-np.inf, -np.inf]) == -np.inf
    assert power_sum_db([]) == -np.inf
    assert coherent_sum_db([]) == -np.inf


def test_sums_go_along_an_axis() -> None:
    levels = [[80.0, 80.0], [70.0, 70.0], [-np.inf, 60.0]]
    assert power_sum_db(levels, axis=1) == pytest.approx([83.0103, 73.0103, 60.0], abs=1e-4)
