"""Amplitudes and noise carried along edges: checked against a dense matrix."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from levelhead.chain.carrying.carried import Carried, Entering, Injection
from levelhead.chain.carrying.propagate import carry, carry_probes
from levelhead.chain.graph.order import points_in_order
from levelhead.chain.graph.points import Edge, EdgeColumns
from levelhead.quantity.bands import BANDS

ONES = np.ones(BANDS, dtype=np.complex128)
POINTS = 8


@st.composite
def chains(draw: st.DrawFn) -> list[Edge]:
    """Edges without loops, with real and complex gains."""
    pairs = draw(st.sets(st.tuples(st.integers(0, POINTS - 1), st.integers(0, POINTS - 1))))
    size = st.floats(min_value=0.1, max_value=2.0)
    turn = st.floats(min_value=-3.0, max_value=3.0)
    return [
        Edge(one, other, complex(draw(size) * np.exp(1j * draw(turn))))
        for one, other in sorted(pairs)
        if one < other
    ]


def carried_along(edges: list[Edge], own_noise: np.ndarray, entering: list[int]) -> Carried:
    order = points_in_order(
        EdgeColumns.of(edges), [str(number) for number in range(POINTS)], entering
    )
    injections = [Injection(point, number, ONES) for number, point in enumerate(entering)]
    return carry(EdgeColumns.of(edges), order, Entering(own_noise, injections, len(entering)))


def transfer(edges: list[Edge]) -> np.ndarray:
    """From each point (column) to each (row): ``(1 - A)^-1``."""
    matrix = np.zeros((POINTS, POINTS), dtype=np.complex128)
    for edge in edges:
        matrix[edge.target, edge.source] += edge.gain
    return np.linalg.inv(np.eye(POINTS) - matrix)


@given(edges=chains(), entering=st.lists(st.integers(0, POINTS - 1), min_size=1, max_size=4))
def test_signals_arrive_as_by_the_inverse_of_the_matrix(
    edges: list[Edge], entering: list[int]
) -> None:
    """Also several at one point: they are independent."""
    carried = carried_along(edges, np.zeros((POINTS, BANDS)), entering)
    power = (np.abs(transfer(edges)[:, entering]) ** 2).sum(axis=1)
    assert carried.signal_power()[:, 0] == pytest.approx(power, rel=1e-9, abs=1e-12)


@given(edges=chains(), noise=st.lists(st.floats(0, 3), min_size=POINTS, max_size=POINTS))
def test_noise_adds_as_one_voltage_from_each_point(edges: list[Edge], noise: list[float]) -> None:
    """Each point's noise is its own, and meets itself as a voltage wherever its ways join."""
    own = np.repeat(np.array(noise)[:, None], BANDS, axis=1)
    carried = carried_along(edges, own, [])
    power = np.abs(transfer(edges)) ** 2 @ np.array(noise)
    assert carried.noise_total()[:, 5] == pytest.approx(power, rel=1e-9, abs=1e-12)


def test_a_gain_may_differ_by_bands() -> None:
    slope = np.linspace(0.1, 1.0, BANDS).astype(np.complex128)
    carried = carried_along([Edge(0, 1, slope), Edge(1, 2, 2.0)], np.zeros((POINTS, BANDS)), [0])
    assert carried.signal_power()[2] == pytest.approx((2 * slope.real) ** 2)


def test_only_pairs_that_carry_something_are_held() -> None:
    carried = carried_along([Edge(0, 1, 1.0), Edge(2, 3, 1.0)], np.zeros((POINTS, BANDS)), [0])
    assert sorted(carried.point.tolist()) == [0, 1]


def test_hundreds_of_pairs_are_held_in_order() -> None:
    """More than the first room: what was stored stays where it was."""
    points = 300
    edges = [Edge(number, number + 1, 1.0) for number in range(points - 1)]
    order = points_in_order(
        EdgeColumns.of(edges), [f"{number:03}" for number in range(points)], [0]
    )
    carried = carry_probes(EdgeColumns.of(edges), order, [Injection(0, 0, ONES)], points)
    assert carried.point.tolist() == list(range(points))
    assert carried.signal_power() == pytest.approx(np.ones((points, BANDS)))
