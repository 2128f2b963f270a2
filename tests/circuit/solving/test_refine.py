"""Bands averaged over their 1/24 octaves where the middle does not stand for them."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from levelhead.circuit.network import GROUND, Network, NetworkBuilder
from levelhead.circuit.solving.refine import LINES, bands_to_refine, line_hz, refined
from levelhead.circuit.solving.solve import solve_networks
from levelhead.circuit.solving.solved import Solved
from levelhead.quantity.bands import edges_hz, mid_hz

HZ = mid_hz()


def resonant(henry: float, farad: float, load_ohm: float) -> Network:
    """A coil behind 6 kohm on a capacitor and a load: a pickup."""
    builder = NetworkBuilder()
    coil, hot = builder.node(), builder.node()
    builder.source(coil, GROUND, 6000)
    builder.inductor(coil, hot, henry)
    builder.capacitor(hot, GROUND, farad)
    builder.resistor(hot, GROUND, load_ohm)
    builder.sense({hot: 1})
    return builder.build()


def flat() -> Network:
    builder = NetworkBuilder()
    hot = builder.node()
    builder.source(hot, GROUND, 150)
    builder.resistor(hot, GROUND, 1500)
    builder.sense({hot: 1})
    return builder.build()


def both(network: Network) -> tuple[Solved, Solved]:
    (plain,) = solve_networks([network], HZ)
    return plain, refined([plain])[0]


def test_lines_fill_their_band() -> None:
    lines, (low, high) = line_hz(HZ), edges_hz()
    half_line = 10 ** (0.05 / LINES)
    assert lines[:, 0] / half_line == pytest.approx(low)
    assert lines[:, -1] * half_line == pytest.approx(high)
    assert np.exp(np.log(lines).mean(axis=1)) == pytest.approx(HZ)


def test_a_flat_circuit_is_left_as_it_is() -> None:
    plain, fine = both(flat())
    assert fine is plain
    assert not bands_to_refine(plain).size


def test_bands_beside_a_resonance_are_refined() -> None:
    """2.2 H on 610 pF: 4345 Hz (Lemme; CV-110); an octave below 1 kHz nothing is steep."""
    plain, fine = both(resonant(2.2, 610e-12, 1e6))
    assert fine.refined == tuple(bands_to_refine(plain).tolist())
    assert HZ[list(fine.refined)].min() > 1000
    assert HZ[list(fine.refined)].max() > 10_000
    left = np.setdiff1d(np.arange(len(HZ)), fine.refined)
    assert (fine.transfer[..., left] == plain.transfer[..., left]).all()
    assert (fine.noise_v2_per_hz[..., left] == plain.noise_v2_per_hz[..., left]).all()


def closed_form(hz: np.ndarray, henry: float, farad: float, load_ohm: float) -> np.ndarray:
    s = 2j * math.pi * hz
    shunt = 1 / (1 / load_ohm + s * farad)
    return shunt / (shunt + 6000 + s * henry)


@given(henry=st.floats(1, 10), pico=st.floats(200, 1500), load_ohm=st.sampled_from([2e5, 5e5, 1e6]))
def test_the_mean_is_that_of_the_band(henry: float, pico: float, load_ohm: float) -> None:
    """Against 4000 lines to a band of the closed form: 8 lines are within 0.06 dB of it.

    (Into 10 Mohm, where nothing but its own wire damps the coil, within 0.12 dB.)
    """
    _, fine = both(resonant(henry, pico * 1e-12, load_ohm))
    low, high = edges_hz()
    for band in fine.refined:
        hz = np.geomspace(low[band], high[band], 4000)
        power = (np.abs(closed_form(hz, henry, pico * 1e-12, load_ohm)) ** 2).mean()
        found_db = 20 * math.log10(abs(fine.transfer[0, 0, band]))
        assert found_db == pytest.approx(10 * math.log10(power), abs=0.06)


def test_noise_is_the_mean_over_the_hertz_of_the_band() -> None:
    _, fine = both(resonant(2.2, 610e-12, 1e6))
    low, high = edges_hz()
    band = fine.refined[3]
    (dense,) = solve_networks([fine.network], np.linspace(low[band], high[band], 2000))
    expected_v2 = dense.noise_v2_per_hz[0].mean()
    assert fine.noise_v2_per_hz[0, band] == pytest.approx(expected_v2, rel=0.01)


def test_a_refined_band_keeps_the_phase_of_its_middle() -> None:
    plain, fine = both(resonant(2.2, 610e-12, 1e6))
    assert np.angle(fine.transfer) == pytest.approx(np.angle(plain.transfer))


def test_an_island_without_a_source_has_nothing_to_refine_but_noise() -> None:
    builder = NetworkBuilder()
    node = builder.node()
    builder.resistor(node, GROUND, 1000)
    builder.sense({node: 1})
    plain, fine = both(builder.build())
    assert fine is plain
