"""Solving with what was solved before: the same numbers to the last bit, whatever was edited."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from levelhead.chain.solution import Solution
from levelhead.errors import LevelheadError
from levelhead.show.edits import Edit, Plug, Recable, Relabel, Remove, Set, Unplug, apply
from levelhead.show.model import Cable, Link, Show, Source
from tests.chain.bench import BOOK, POWERED, Items, bench_show, solved_show

ITEMS: Items = {
    "t": "tone",
    "p": "pair",
    "mic": "microphone",
    "fx": "box",
    "di": "powered",
    "d": ("desk", {"ch.preamp.ein": "-120 dBu", "main.sum.noise": "-90 dBu"}),
    "m": "monitor",
}
LINKS = [
    ("t.out", "d.ch1.line"),
    ("p.out-left", "d.ch2.line"),
    ("p.out-right", "d.ch3.line"),
    ("mic.out", "d.ch4.line"),
    ("d.aux.out", "fx.in"),
    ("d.main-left.out", "m.in"),
]
SOURCES = [Source("anna", "voice", "mic"), Source("ben", "voice", "mic", 0.5)]
FREE = [("fx.out", "d.ch5.line"), ("t.out", "di.in"), ("di.out", "d.ch6.line")]

controls = st.sampled_from(
    [f"d.ch{number}.{name}" for number in (1, 2, 4, 5) for name in ("gain", "fader", "send")]
    + ["d.main"]
)
values = st.sampled_from(["off", "-10 dB", "0 dB", "7 dB"])
turns = st.builds(Set, controls, values)
pans = st.builds(Set, st.just("d.ch2.pan"), st.sampled_from(["left", "centre", "right"]))
switches = st.builds(Set, st.just("di.battery"), st.sampled_from(["none", "fitted"]))
cables = st.builds(
    Recable,
    st.sampled_from([end for _, end in LINKS]),
    st.sampled_from([(Cable("wire", 1.0),), (Cable("wire", 50_000.0),)]),
)
plugs = st.sampled_from([Plug(Link({"a": a, "b": b}, (Cable("wire", 1.0),))) for a, b in FREE])
unplugs = st.sampled_from(
    [Unplug(Link({"a": a, "b": b}, (Cable("wire", 1.0),))) for a, b in [*LINKS, *FREE]]
)
items = st.sampled_from([Relabel("d", "Big desk"), Remove("mic"), Remove("t")])
edits = st.one_of(turns, turns, pans, switches, cables, plugs, unplugs, items)


def the_show() -> Show:
    return bench_show(ITEMS, LINKS, sources=SOURCES)


def edited(show: Show, edit: Edit) -> Show:
    """The show after an edit, or as it was where the edit does not go."""
    try:
        after, _ = apply(show, [edit])
        solved_show(after)
    except LevelheadError:
        return show
    return after


def assert_equal(one: Solution, other: Solution) -> None:
    assert list(one.graph.wiring.addresses) == list(other.graph.wiring.addresses)
    for name in ("nominal", "crest_db", "ceiling", "floor", "floor_a"):
        np.testing.assert_array_equal(getattr(one, name), getattr(other, name), err_msg=name)
    np.testing.assert_array_equal(one.graph.columns.gain, other.graph.columns.gain)
    np.testing.assert_array_equal(one.carried.amplitude, other.carried.amplitude)
    assert [each.label for each in one.graph.points] == [each.label for each in other.graph.points]
    assert [each.control for each in one.graph.edges] == [
        each.control for each in other.graph.edges
    ]
    assert (one.paths, one.loops, one.dead) == (other.paths, other.loops, other.dead)
    assert one.copper.phantom == other.copper.phantom


@pytest.fixture(autouse=True, scope="module")
def book_with_a_powered_box() -> object:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("tests.chain.bench.BOOK", BOOK.extended({"powered": POWERED}))
        yield


@settings(max_examples=40, deadline=None)
@given(st.lists(edits, min_size=1, max_size=6))
def test_solving_on_is_solving_anew(sequence: list[Edit]) -> None:
    """Any edits in any order: knobs, switches, cables, plugs, items."""
    show = the_show()
    solution = solved_show(show)
    for edit in sequence:
        show = edited(show, edit)
        solution = solved_show(show, solution)
        assert_equal(solution, solved_show(show))


def test_a_gain_that_is_turned_keeps_the_wiring() -> None:
    show = the_show()
    before = solved_show(show)
    after = solved_show(apply(show, [Set("d.ch1.gain", "7 dB")])[0], before)
    assert after.copper is before.copper
    assert after.graph.wiring is before.graph.wiring
    assert after.carried.layout is before.carried.layout
    moved = after.levels("d.ch1.preamp").nominal
    was = before.levels("d.ch1.preamp").nominal
    assert moved is not None
    assert was is not None
    assert moved - was == pytest.approx(7.0)


@given(st.permutations(list(ITEMS)), st.permutations(LINKS), st.permutations(SOURCES))
@settings(max_examples=20, deadline=None)
def test_levels_do_not_depend_on_the_order_of_items(
    names: list[str], links: list[tuple[str, str]], sources: list[Source]
) -> None:
    """Up to rounding: the same sums, added up in another order."""
    one = solved_show(the_show())
    turned = bench_show({name: ITEMS[name] for name in names}, links, sources=sources)
    other = solved_show(turned)
    for address in one.graph.index:
        mine, theirs = one.levels(address), other.levels(address)
        for name in ("nominal", "peak", "ceiling", "floor", "floor_a"):
            expected = pytest.approx(getattr(mine, name), abs=1e-9)
            assert getattr(theirs, name) == expected, (address, name)
    assert set(one.paths) == set(other.paths)
