"""The order of points, and where loops are cut."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from levelhead.chain.graph.order import points_in_order
from levelhead.chain.graph.points import Edge, EdgeColumns
from tests.chain.bench import Items, bench

LOOPED: Items = {"t": "tone", "d": "desk", "fx": "box"}
LOOP = [("t.out", "d.ch1.line"), ("d.aux.out", "fx.in"), ("fx.out", "d.ch2.line")]
SENDS = {"d.ch1.send": "0 dB", "d.ch2.send": "-6 dB"}


@st.composite
def forward_edges(draw: st.DrawFn) -> tuple[list[Edge], int]:
    """Edges that only lead to higher points, under shuffled numbers."""
    points = draw(st.integers(min_value=2, max_value=12))
    pairs = draw(st.sets(st.tuples(st.integers(0, points - 1), st.integers(0, points - 1))))
    shuffled = draw(st.permutations(range(points)))
    return [Edge(shuffled[a], shuffled[b], 1.0) for a, b in sorted(pairs) if a < b], points


@given(forward_edges())
def test_every_point_lies_deeper_than_all_that_feed_it(graph: tuple[list[Edge], int]) -> None:
    edges, points = graph
    order = points_in_order(EdgeColumns.of(edges), [str(number) for number in range(points)], [])
    assert order.closing == ()
    assert all(order.depth[edge.source] < order.depth[edge.target] for edge in edges)


@given(
    pairs=st.lists(st.tuples(st.integers(0, 7), st.integers(0, 7)), min_size=1, max_size=25),
    start=st.integers(0, 7),
)
def test_what_is_left_without_the_cuts_has_an_order(
    pairs: list[tuple[int, int]], start: int
) -> None:
    """Any graph at all, points that feed themselves included."""
    edges = [Edge(one, other, 1.0) for one, other in pairs]
    order = points_in_order(EdgeColumns.of(edges), [f"p{number}" for number in range(8)], [start])
    kept = [edge for number, edge in enumerate(edges) if number not in order.closing]
    assert all(order.depth[edge.source] < order.depth[edge.target] for edge in kept)


def test_a_loop_is_cut_where_the_signal_comes_round_to_itself() -> None:
    """The return's own send closes the loop; the way to the main sum stays whole."""
    solution = bench(LOOPED, LOOP, settings=SENDS)
    assert solution.loops == ("d.aux.sum",)
    assert solution.levels("d.main-left.sum").nominal is not None


def test_without_the_return_in_its_send_there_is_no_loop() -> None:
    solution = bench(LOOPED, LOOP, settings={"d.ch1.send": "0 dB"})
    assert solution.loops == ()


def test_where_a_loop_is_cut_does_not_depend_on_the_order_of_items() -> None:
    turned: Items = dict(reversed(LOOPED.items()))
    one, other = (
        bench(items, links, settings=SENDS)
        for items, links in ((LOOPED, LOOP), (turned, LOOP[::-1]))
    )
    assert one.loops == other.loops
    for levels in one.live_points():
        again = other.levels(levels.at)
        assert again.nominal == pytest.approx(levels.nominal, abs=1e-9)


def test_a_loop_adds_what_comes_round() -> None:
    """Send at -6 dB in the return: gain 1 / (1 - 0.501) against the first time."""
    around = 10 ** (-6 / 20)
    solution = bench(LOOPED, LOOP, settings=SENDS)
    expected = 4 - 20 * np.log10(1 - around)
    assert solution.levels("d.aux.sum").nominal == pytest.approx(expected, abs=1e-6)
    assert solution.loop_gain_db == pytest.approx(-6.0, abs=1e-6)
