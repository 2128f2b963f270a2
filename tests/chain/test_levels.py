"""Levels as people read them: units, peaks, headroom, silence."""

from __future__ import annotations

import math

import pytest

from levelhead.chain.levels import PointLevels, decibels
from levelhead.show.model import Source
from tests.chain.bench import bench, nominal

LEVELS = PointLevels("a.b", "dBu", 4.0, 13.0, 22.0, -90.0, -92.0)


@pytest.mark.parametrize(
    ("rms", "unit", "level"),
    [
        (math.sqrt(0.6), "V", 0.0),
        (1.0, "V", 2.2185),  # definition of dBu: 20 lg (1 / sqrt 0.6)
        (0.5, "FS", -6.0206),
        (1.0, "Pa", 93.9794),  # 1 Pa over 20 uPa
    ],
)
def test_each_unit_has_its_reference(rms: float, unit: str, level: float) -> None:
    assert decibels(rms, unit) == pytest.approx(level, abs=1e-4)


@pytest.mark.parametrize("rms", [0.0, math.inf])
def test_silence_and_no_limit_have_no_level(rms: float) -> None:
    assert decibels(rms, "V") is None


def test_headroom_is_ceiling_less_peak() -> None:
    assert LEVELS.headroom == pytest.approx(9.0)
    assert LEVELS.signal_over_noise == pytest.approx(96.0)


def test_without_a_ceiling_there_is_no_headroom() -> None:
    assert PointLevels("a", "dBu", 4.0, 13.0, None, None, None).headroom is None
    assert PointLevels("a", "dBu", None, None, 22.0, None, None).headroom is None
    assert PointLevels("a", "dBu", 4.0, 13.0, 22.0, None, None).signal_over_noise is None


def test_json_is_in_hundredths_and_null_for_nothing() -> None:
    """Minus nothing is nothing: JSON shows 0.0, never -0.0."""
    levels = PointLevels("a.b", "dBu", -0.001, 12.3456, None, -90.0, None)
    told = levels.to_json()
    assert told == {
        "at": "a.b",
        "unit": "dBu",
        "nominal": 0.0,
        "peak": 12.35,
        "ceiling": None,
        "floor": -90.0,
        "headroom": None,
    }
    assert math.copysign(1, float(str(told["nominal"]))) == 1


def test_units_follow_the_signal_from_air_to_air() -> None:
    """Sound pressure at the microphone, volts on the wire, sound pressure at 1 m."""
    solution = bench(
        {"mic": "microphone", "box": ("box", {"one.gain": "40 dB"}), "spk": "monitor"},
        [("mic.out", "box.in"), ("box.out", "spk.in")],
        sources=[Source("anna", "voice", "mic")],
    )
    units = {levels.at: levels.unit for levels in solution.live_points()}
    assert units["anna"] == "dB SPL"
    assert units["mic.capsule"] == units["box.in"] == units["box.three"] == "dBu"
    assert units["spk.driver"] == "dB SPL"


def test_the_whole_chain_is_a_sum_of_decibels() -> None:
    """94 dB SPL at 2 mV/Pa (-51.76 dBu), 40 dB of gain, 100 dB SPL for 0 dBu: 88.2 dB SPL."""
    solution = bench(
        {"mic": "microphone", "box": ("box", {"one.gain": "40 dB"}), "spk": "monitor"},
        [("mic.out", "box.in"), ("box.out", "spk.in")],
        sources=[Source("anna", "voice", "mic")],
    )
    at_microphone_dbu = 20 * math.log10(0.002 / math.sqrt(0.6)) + 94 - 93.9794
    assert nominal(solution, "spk.driver") == pytest.approx(at_microphone_dbu + 140, abs=1e-3)


def test_a_peak_is_that_of_the_sine_that_reaches_as_high() -> None:
    """Crest 12 dB, less the 3.01 dB that a sine has itself."""
    levels = bench({"t": "tone", "d": "desk"}, [("t.out", "d.ch1.line")]).levels("t.output")
    assert levels.nominal is not None
    assert levels.peak == pytest.approx(levels.nominal + 12 - 3.0103, abs=1e-4)
