"""The order of points, and where loops are cut."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from levelhead.chain.graph.order import points_in_order
from levelhead.chain.graph.points import Edge, EdgeColumns
from levelhead.chain.solve import solve
from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.show.document import parse_show
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


@given(graph=forward_edges(), data=st.data())
def test_loops_that_only_leaks_close_are_cut_at_leaks(
    graph: tuple[list[Edge], int], data: st.DataObject
) -> None:
    """Ways that are meant stay whole; a leak stays too where nothing comes round by it."""
    firm, points = graph
    pairs = st.tuples(st.integers(0, points - 1), st.integers(0, points - 1))
    leaks = [Edge(one, other, 1e-5) for one, other in data.draw(st.lists(pairs, max_size=6))]
    edges, names = [*firm, *leaks], [f"p{number:02}" for number in range(points)]
    numbers = range(len(firm), len(edges))
    order = points_in_order(EdgeColumns.of(edges), names, [0], numbers)
    assert set(order.closing) <= set(numbers)
    kept = [edge for number, edge in enumerate(edges) if number not in order.closing]
    assert all(order.depth[edge.source] < order.depth[edge.target] for edge in kept)
    for number in order.closing:
        again = points_in_order(EdgeColumns.of([*kept, edges[number]]), names, [0])
        assert again.closing != (), "cut though nothing comes round"


SLEEVES = """
levelhead: 1
show: {name: A player by unbalanced leads}
items:
  desk: {type: mixer-utility}
  lapel: {type: mic-lavalier}
  player: {type: player-pro}
  amp: {type: bass-amp}
  cab: {type: subwoofer-passive-posts}
links:
  - {from: lapel.out, to: desk.ch1.mic}
  - {from: player.out-left, to: desk.line.in, via: [lead-xlr-phono 50 m]}
  - {from: desk.out, to: amp.return, via: [lead-xlr-jack 7 m]}
  - {from: amp.out, to: cab.in, via: [lead-loudspeaker-bare 8 m]}
sources:
  talker: {type: voice-talker, at: lapel}
settings: {desk: {phantom: on}}
"""


def test_what_comes_back_by_a_sleeve_leaves_the_way_to_the_main_whole() -> None:
    """The current of an output drops along a shared sleeve, 100 dB down, into the line input.

    The loop is cut there: noise is not sent through cuts, and the hiss of the line input has to
    reach the main.
    """
    solution = solve(build_rig(parse_show(SLEEVES, "sleeves").show, load_book()))
    assert solution.loops == ("desk.line.in",)
    preamp, bus = (solution.number(f"desk.{point}") for point in ("line.preamp", "main.sum"))
    assert solution.floor[bus] >= solution.floor[preamp]


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
