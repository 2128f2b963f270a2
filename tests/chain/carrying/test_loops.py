"""Loops: a return into its own send, solved as a linear system."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from levelhead.chain.carrying.carried import Carried, Entering, Injection
from levelhead.chain.carrying.loops import Loops, carry_round
from levelhead.chain.graph.order import points_in_order
from levelhead.chain.graph.points import Edge, EdgeColumns
from levelhead.quantity.bands import BANDS

ONES = np.ones(BANDS, dtype=np.complex128)


def round_trip(edges: list[Edge], points: int, start: int = 0) -> tuple[Carried, Loops]:
    names = [f"p{number}" for number in range(points)]
    order = points_in_order(EdgeColumns.of(edges), names, [start])
    silence = np.zeros((points, BANDS))
    return carry_round(
        EdgeColumns.of(edges), order, Entering(silence, [Injection(start, 0, ONES)], 1)
    )


@given(gain=st.floats(min_value=-0.95, max_value=0.95).filter(lambda each: abs(each) > 1e-3))
def test_one_loop_is_the_geometric_series(gain: float) -> None:
    """``1 + g + g^2 + ... = 1 / (1 - g)``."""
    carried, loops = round_trip([Edge(0, 1, 1.0), Edge(1, 2, 1.0), Edge(2, 1, gain)], 3)
    assert carried.signal_power()[2] == pytest.approx((1 / (1 - gain)) ** 2)
    assert loops.gain_db == pytest.approx(20 * np.log10(abs(gain)))
    assert not loops.rings


def test_two_loops_that_share_a_point() -> None:
    """Both returns meet at one sum: ``1 / (1 - g1 - g2)``."""
    edges = [Edge(0, 1, 1.0), Edge(1, 2, 1.0), Edge(1, 3, 1.0), Edge(2, 1, 0.3), Edge(3, 1, 0.2)]
    carried, _ = round_trip(edges, 4)
    assert carried.signal_power()[1] == pytest.approx((1 / (1 - 0.5)) ** 2)


def test_a_loop_of_more_than_one_rings_and_stays_open() -> None:
    """There is no level to tell: the loop is cut, and said to ring."""
    carried, loops = round_trip([Edge(0, 1, 1.0), Edge(1, 2, 1.0), Edge(2, 1, 1.2)], 3)
    assert loops.rings
    assert loops.gain_db == pytest.approx(20 * np.log10(1.2))
    assert carried.signal_power()[2] == pytest.approx(1.0)


def test_without_a_loop_nothing_is_closed() -> None:
    """An open chain has no loop gain."""
    _, loops = round_trip([Edge(0, 1, 2.0)], 2)
    assert loops == Loops((), -np.inf, rings=False)
