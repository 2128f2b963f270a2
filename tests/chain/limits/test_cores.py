"""Ceilings behind transformers, per band and for what passes."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from levelhead.chain.limits.cores import CoreCeiling
from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.gear.book import load_book
from levelhead.gear.figures import Figure
from levelhead.quantity.bands import mid_hz
from levelhead.quantity.spectra import band_levels_db
from levelhead.rig.build import build_rig
from levelhead.show.model import Item, Link, Show

FIGURE = Figure(1.0, 1.0, 1.0, "V", "measured")
BY_BAND = mid_hz() / 20  # 1 V at 20 Hz


def of_spectrum(name: str) -> float:
    return CoreCeiling(BY_BAND, FIGURE).of_spectrum(10 ** (band_levels_db(name) / 10))


def through_a_di(di: str, instrument: str = "bass-active.out") -> Solution:
    kind, port = instrument.split(".")
    items = {"b": Item("b", kind), "di": Item("di", di), "d": Item("d", "mixer-compact")}
    links = (
        Link({"a": f"b.{port}", "b": "di.in"}),
        Link({"a": "di.out", "b": "d.ch1.mic"}),
    )
    return solve(build_rig(Show("di", items=items, links=links), load_book()))


def test_one_band_has_the_ceiling_of_its_sine() -> None:
    power = np.zeros(31)
    power[10] = 4.0
    assert CoreCeiling(BY_BAND, FIGURE).of_spectrum(power) == pytest.approx(BY_BAND[10])


def test_fluxes_add_as_powers() -> None:
    """A volt at 20 Hz and a volt at 40 Hz: fluxes of 1 and 1/2, so sqrt(5)/2 for sqrt(2) V."""
    power = np.zeros(31)
    power[[0, 3]] = 1.0
    by_band = np.full(31, 1.0)
    by_band[3] = 2.0
    expected_v = np.sqrt(2) / np.sqrt(1 + 0.25)
    assert CoreCeiling(by_band, FIGURE).of_spectrum(power) == pytest.approx(expected_v)


def test_silence_fills_no_core() -> None:
    assert CoreCeiling(BY_BAND, FIGURE).of_spectrum(np.zeros(31)) == np.inf


def test_a_bass_fills_a_core_that_takes_a_voice() -> None:
    """The lowest string of a bass is 41 Hz, a voice begins above 100 Hz: well over 6 dB apart."""
    assert of_spectrum("loud-voice") > 2 * of_spectrum("bass-guitar")


@given(st.lists(st.floats(0, 1e3), min_size=31, max_size=31).filter(lambda p: sum(p) > 1e-3))
def test_a_signal_lies_between_its_weakest_and_strongest_band(power: list[float]) -> None:
    ceiling = CoreCeiling(BY_BAND, FIGURE).of_spectrum(np.array(power))
    present = BY_BAND[np.array(power) > 0]
    assert present.min() * (1 - 1e-9) <= ceiling <= present.max() * (1 + 1e-9)


def test_a_small_core_takes_headroom_from_a_bass_and_a_large_one_none() -> None:
    """Of the large box the instrument itself is the first to end."""
    small, large = through_a_di("di-passive-small"), through_a_di("di-passive")
    assert small.core_at("d.ch1.mic") is not None
    assert large.core_at("d.ch1.mic") is None
    lost_db = large.levels("d.ch1.mic").headroom - small.levels("d.ch1.mic").headroom  # type: ignore[operator]
    assert 1 < lost_db < 12


def test_a_ceiling_by_bands_rises_an_octave_with_each_octave_until_something_else_ends() -> None:
    solution = through_a_di("di-passive-small")
    by_band = solution.ceiling_by_band("di.out")
    assert by_band[3] / by_band[0] == pytest.approx(2.0, rel=0.05)
    assert solution.levels("b.out").ceiling is not None


def test_the_input_of_a_box_does_not_lie_behind_its_core() -> None:
    solution = through_a_di("di-passive-small")
    assert solution.number("di.in") not in solution.cores
    assert {solution.number("di.out"), solution.number("d.ch1.mic")} <= set(solution.cores)


def test_less_signal_has_the_same_ceiling() -> None:
    """A ceiling is no headroom: it moves with the spectrum, not with the level."""
    loud = through_a_di("di-passive-small")
    items = {
        **loud.rig.show.items,
        "b": Item("b", "bass-active", figures={"generator.level": "-40 dBu"}),
    }
    show = Show("di", items=items, links=loud.rig.show.links)
    soft = solve(build_rig(show, load_book()))
    assert soft.levels("di.out").ceiling == pytest.approx(loud.levels("di.out").ceiling, abs=1e-6)
