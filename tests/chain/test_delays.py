"""Two ways of one signal with different delays: the exact mean over each band."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from levelhead.chain.carrying.carried import Carried, Injection
from levelhead.chain.carrying.propagate import carry_probes
from levelhead.chain.graph.order import points_in_order
from levelhead.chain.graph.points import Edge, EdgeColumns
from levelhead.quantity.bands import BANDS, edges_hz

ONES = np.ones(BANDS, dtype=np.complex128)


def two_ways(delay_s: float, gain: complex) -> Carried:
    """A source, and one point that it reaches directly and by a delayed way."""
    edges = [Edge(0, 1, 1.0), Edge(1, 2, 1.0), Edge(0, 2, gain, delay_s=delay_s)]
    order = points_in_order(EdgeColumns.of(edges), ["a", "b", "c"], [0])
    return carry_probes(EdgeColumns.of(edges), order, [Injection(0, 0, ONES)], 3)


def mean_power_in_bands(delay_s: float, gain: complex) -> np.ndarray:
    """The same by brute force: many frequencies in each band."""
    low, high = edges_hz()
    hz = low[:, None] + (high - low)[:, None] * (np.arange(20_000) + 0.5) / 20_000
    return (np.abs(1 + gain * np.exp(-2j * np.pi * hz * delay_s)) ** 2).mean(axis=1)


@given(
    delay_us=st.integers(min_value=1, max_value=30_000),
    size=st.floats(min_value=0.01, max_value=1.5),
    turn=st.floats(min_value=-3.1, max_value=3.1),
)
def test_two_arrivals_add_as_their_mean_over_the_band(
    delay_us: int, size: float, turn: float
) -> None:
    """The closed form against the mean of 20 000 frequencies in each band."""
    gain = size * np.exp(1j * turn)
    power = two_ways(delay_us * 1e-6, gain).signal_power()[2]
    assert power == pytest.approx(mean_power_in_bands(delay_us * 1e-6, gain), rel=1e-3, abs=1e-3)


def test_no_delay_adds_as_voltages() -> None:
    """Equal arrivals without delay are twice the voltage; opposite ones cancel."""
    assert two_ways(0.0, 1.0).signal_power()[2] == pytest.approx(4.0)
    assert two_ways(0.0, -1.0).signal_power()[2] == pytest.approx(0.0)


def test_long_delay_adds_as_powers_at_high_frequencies() -> None:
    """Over a band that holds many teeth of the comb, the mean is the sum of powers."""
    assert two_ways(0.03, 1.0).signal_power()[2][-1] == pytest.approx(2.0, rel=0.01)


def test_delays_add_along_a_way() -> None:
    """2 ms and 3 ms in a row are 5 ms against the direct way."""
    edges = [
        Edge(0, 1, 1.0, delay_s=2e-3),
        Edge(1, 2, 1.0, delay_s=3e-3),
        Edge(0, 2, 1.0),
    ]
    order = points_in_order(EdgeColumns.of(edges), ["a", "b", "c"], [0])
    carried = carry_probes(EdgeColumns.of(edges), order, [Injection(0, 0, ONES)], 3)
    assert sorted(carried.delay_s[carried.point == 2]) == pytest.approx([0.0, 5e-3])
    assert carried.signal_power()[2] == pytest.approx(mean_power_in_bands(5e-3, 1.0), rel=1e-3)
