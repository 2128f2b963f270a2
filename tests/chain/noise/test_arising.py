"""Noise: inputs at any gain, sums of strips, one strip by two ways."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from levelhead.chain.noise.arising import a_weights, audio_width_hz
from levelhead.quantity.noise import thermal_noise_v
from levelhead.show.model import Source
from tests.chain.bench import Items, bench, floor

AUDIO_HZ = 19_980.0
NOISY = {"ch.preamp.noise": "-80 dBu"}
DBU_V = math.sqrt(0.6)


def dbu(volts: float) -> float:
    return 20 * math.log10(volts / DBU_V)


def test_the_bands_within_the_audio_range_are_19_980_hz_wide() -> None:
    assert audio_width_hz().sum() == pytest.approx(AUDIO_HZ)
    assert a_weights()[17] == pytest.approx(1.0, abs=1e-3)


def test_a_source_of_its_published_resistance_gives_the_published_noise() -> None:
    """150 ohm at the input: the resistor is taken from the figure and comes back by the network."""
    items: Items = {
        "t": ("tone", {"out.impedance": "150 ohm"}),
        "b": ("box", {"one.ein": "-128 dBu", "one.gain": "40 dB"}),
        "d": "desk",
    }
    solution = bench(items, [("t.out", "b.in"), ("b.out", "d.ch1.line")])
    assert floor(solution, "b.one") == pytest.approx(-128 + 40, abs=0.01)


def test_a_shorted_input_is_quieter_than_its_published_figure() -> None:
    """EIN -128 dBu less the 150 ohm resistor (-130.92 dBu): -131.1 dBu."""
    items: Items = {"t": "tone", "b": ("box", {"one.ein": "-128 dBu", "one.gain": "40 dB"})}
    solution = bench({**items, "d": "desk"}, [("t.out", "b.in"), ("b.out", "d.ch1.line")])
    resistor_v = float(thermal_noise_v(150.0, AUDIO_HZ))
    own_v = math.sqrt((10 ** (-128 / 20) * DBU_V) ** 2 - resistor_v**2)
    assert floor(solution, "b.one") == pytest.approx(dbu(own_v) + 40, abs=0.01)


def test_a_figure_below_its_own_resistor_adds_nothing() -> None:
    """Somebody published an A-weighted figure: better than physics, taken as noiseless."""
    items: Items = {"t": "tone", "b": ("box", {"one.ein": "-135 dBu"}), "d": "desk"}
    solution = bench(items, [("t.out", "b.in"), ("b.out", "d.ch1.line")])
    assert floor(solution, "b.one") < -160


@given(gain_db=st.integers(min_value=-20, max_value=60))
def test_noise_of_an_input_falls_with_its_gain_until_the_output_takes_over(gain_db: int) -> None:
    """``EIN(G)^2 = EIN^2 + (output noise / G)^2``, all told at the output."""
    figures = {"ch.preamp.ein": "-120 dBu", "ch.preamp.noise": "-85 dBu"}
    items: Items = {"t": ("tone", {"out.impedance": "150 ohm"}), "d": ("desk", figures)}
    settings = {"d.ch1.gain": f"{gain_db} dB"}
    solution = bench(items, [("t.out", "d.ch1.line")], settings=settings)
    expected = 10 * math.log10(10 ** ((-120 + gain_db) / 10) + 10 ** (-85 / 10))
    assert floor(solution, "d.ch1.preamp") == pytest.approx(expected, abs=0.01)


def test_self_noise_of_a_microphone_is_a_weighted_as_published() -> None:
    """14 dB(A) at 2 mV/Pa: 80 dB under 94 dB SPL, A-weighted; 2.05 dB more without weighting."""
    solution = bench(
        {"mic": ("microphone", {"capsule.self-noise": "14 dB SPL"}), "d": "desk"},
        [("mic.out", "d.ch1.line")],
        sources=[Source("anna", "voice", "mic")],
    )
    levels = solution.levels("mic.capsule")
    assert levels.floor is not None
    assert levels.signal_over_noise == pytest.approx(80.0, abs=0.01)
    assert levels.floor_a == pytest.approx(levels.floor - 2.05, abs=0.02)


def test_noises_of_two_strips_add_as_power() -> None:
    one = bench({"a": "tone", "d": ("desk", NOISY)}, [("a.out", "d.ch1.line")])
    links = [("a.out", "d.ch1.line"), ("b.out", "d.ch2.line")]
    two = bench({"a": "tone", "b": "tone", "d": ("desk", NOISY)}, links)
    more_db = floor(two, "d.main-left.sum") - floor(one, "d.main-left.sum")
    assert more_db == pytest.approx(10 * math.log10(2), abs=1e-3)


def test_noise_of_one_strip_by_two_ways_adds_as_voltage() -> None:
    """Preamp of ``e`` to both sides, both sides to one bus: the same noise twice, 6.02 dB."""
    items: Items = {"a": "tone", "e": ("desk", NOISY), "d": "desk"}
    links = [("a.out", "e.ch1.line"), ("e.main-left.out", "d.ch1.line")]
    one = bench(items, links, settings={"e.ch1.pan": "centre"})
    both = [*links, ("e.main-right.out", "d.ch2.line")]
    two = bench(items, both, settings={"e.ch1.pan": "centre"})
    more_db = floor(two, "d.main-left.sum") - floor(one, "d.main-left.sum")
    assert more_db == pytest.approx(20 * math.log10(2), abs=1e-3)


def test_noise_behind_the_fan_out_stays_independent() -> None:
    """Two sums of their own that meet again add as power, whatever came before."""
    items: Items = {"a": "tone", "e": ("desk", {"main.sum.noise": "-80 dBu"}), "d": "desk"}
    links = [("a.out", "e.ch1.line"), ("e.main-left.out", "d.ch1.line")]
    one = bench(items, links, settings={"e.ch1.pan": "centre"})
    both = [*links, ("e.main-right.out", "d.ch2.line")]
    two = bench(items, both, settings={"e.ch1.pan": "centre"})
    more_db = floor(two, "d.main-left.sum") - floor(one, "d.main-left.sum")
    assert more_db == pytest.approx(10 * math.log10(2), abs=1e-3)


def test_an_idle_strip_makes_no_noise() -> None:
    """Nothing is plugged there, so nobody opens it."""
    solution = bench({"a": "tone", "d": ("desk", NOISY)}, [("a.out", "d.ch1.line")])
    assert solution.levels("d.ch2.preamp").floor is None


def test_a_digital_volume_stands_before_the_noise_of_its_converter() -> None:
    """12 dB down costs 12 dB of signal over noise."""
    links = [("p.out", "d.ch1.line")]
    full = bench({"p": "player", "d": "desk"}, links).levels("p.converter")
    quarter = bench({"p": "player", "d": "desk"}, links, settings={"p.volume": "-12 dB"}).levels(
        "p.converter"
    )
    assert full.floor == quarter.floor
    assert full.signal_over_noise is not None
    assert quarter.signal_over_noise == pytest.approx(full.signal_over_noise - 12.0)


def with_noise_current(source_ohm: str, current: str) -> float:
    """Noise behind an input of EIN -128 dBu, less its gain. [V]"""
    items: Items = {
        "t": ("tone", {"out.impedance": source_ohm}),
        "b": ("box", {"one.ein": "-128 dBu", "one.gain": "40 dB", "in.current-noise": current}),
        "d": "desk",
    }
    solution = bench(items, [("t.out", "b.in"), ("b.out", "d.ch1.line")])
    return 10 ** ((floor(solution, "b.one") - 40) / 20) * DBU_V


@pytest.mark.parametrize("current", ["0 A/rtHz", "1 pA/rtHz", "5 pA/rtHz"])
def test_the_noise_current_is_part_of_the_published_figure(current: str) -> None:
    """At 150 ohm the total is what was published, however it is made up."""
    assert dbu(with_noise_current("150 ohm", current)) == pytest.approx(-128, abs=0.01)


@given(source_ohm=st.sampled_from([600, 2_000, 10_000, 100_000]), pico=st.sampled_from([0.5, 2, 4]))
def test_a_noise_current_makes_volts_at_the_source_that_is_plugged(
    source_ohm: int, pico: float
) -> None:
    """``e_n^2 + (i_n R)^2 + 4kTR``, with e_n from 150 ohm (Motchenbacher and Connelly, ch. 2)."""
    current_a = pico * 1e-12
    published_v2 = (10 ** (-128 / 20) * DBU_V) ** 2
    own_v2 = published_v2 - float(thermal_noise_v(150.0, AUDIO_HZ)) ** 2
    own_v2 -= (current_a * 150) ** 2 * AUDIO_HZ
    total_v2 = own_v2 + (current_a * source_ohm) ** 2 * AUDIO_HZ
    total_v2 += float(thermal_noise_v(source_ohm, AUDIO_HZ)) ** 2
    found_v = with_noise_current(f"{source_ohm} ohm", f"{pico} pA/rtHz")
    assert dbu(found_v) == pytest.approx(dbu(math.sqrt(total_v2)), abs=0.02)
