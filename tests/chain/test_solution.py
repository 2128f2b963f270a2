"""A solved rig: what must hold of every show."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from levelhead.chain.solution import Solution
from levelhead.errors import SolveError
from levelhead.show.edits import Edit, Recable, Set, SetFigure, Unplug, apply
from levelhead.show.model import Cable, Show, Source
from tests.chain.bench import Items, bench, bench_show, nominal, solved_show

BUSY = bench_show(
    {
        "mic": ("microphone", {"out.impedance": "200 ohm", "capsule.self-noise": "18 dB SPL"}),
        "keys": ("pair", {"out-left.impedance": "1 kohm"}),
        "play": "player",
        "desk": ("desk", {"ch.preamp.ein": "-126 dBu", "ch.line.impedance": "2 kohm"}),
        "fx": ("box", {"two.noise": "-90 dBu"}),
        "wedge": "monitor",
    },
    [
        ("mic.out", "desk.ch1.line"),
        ("keys.out-left", "desk.ch2.line"),
        ("keys.out-right", "desk.ch3.line"),
        ("play.out", "desk.ch4.line"),
        ("desk.aux.out", "fx.in"),
        ("fx.out", "desk.ch5.line"),
        ("desk.main-left.out", "wedge.in"),
    ],
    settings={"desk.ch1.gain": "40 dB", "desk.ch1.send": "-3 dB", "desk.ch2.pan": "0.3"},
    sources=[Source("anna", "voice", "mic", 0.05)],
)


def numbers(solution: Solution) -> dict[str, tuple[float, ...]]:
    """Every number of every point, by its address."""
    columns = (
        solution.nominal,
        solution.crest_db,
        solution.ceiling,
        solution.floor,
        solution.floor_a,
    )
    return {
        point.address: tuple(float(column[row]) for column in columns)
        for row, point in enumerate(solution.graph.points)
    }


def assert_same(one: Solution, other: Solution, *, rel: float = 1e-9) -> None:
    """Equal at every point, in every number."""
    first, second = numbers(one), numbers(other)
    assert first.keys() == second.keys()
    for address, values in first.items():
        assert second[address] == pytest.approx(values, rel=rel, abs=1e-12), address


@given(more_db=st.integers(min_value=-30, max_value=10))
def test_a_fader_moves_everything_after_it_by_as_much(more_db: int) -> None:
    """And nothing before it."""
    links = [("t.out", "d.ch1.line"), ("d.main-left.out", "w.in")]
    items = {"t": "tone", "d": "desk", "w": "monitor"}
    before = bench(items, links)
    after = bench(items, links, settings={"d.ch1.fader": f"{more_db} dB"})
    for address in ("d.ch1.fader", "d.main-left.sum", "d.main-left.level", "w.in", "w.driver"):
        moved_db = nominal(after, address) - nominal(before, address)
        assert moved_db == pytest.approx(more_db, abs=1e-9), address
    for address in ("t.output", "d.ch1.line", "d.ch1.preamp"):
        assert nominal(after, address) == nominal(before, address)


@given(order=st.randoms(use_true_random=False))
def test_the_order_of_items_and_links_changes_nothing(order: object) -> None:
    """Nor that of settings."""
    shuffle = order.shuffle  # type: ignore[attr-defined]
    names, links = list(BUSY.items), list(BUSY.links)
    shuffle(names)
    shuffle(links)
    turned = Show(
        BUSY.name,
        items={name: BUSY.items[name] for name in names},
        links=tuple(links),
        settings=dict(reversed(BUSY.settings.items())),
        sources=BUSY.sources,
    )
    one, other = solved_show(BUSY), solved_show(turned)
    assert_same(one, other)
    assert set(one.paths) == set(other.paths)


@given(gains=st.tuples(*[st.floats(min_value=-20, max_value=20)] * 3))
def test_sources_superpose(gains: tuple[float, float, float]) -> None:
    """What independent sources give together is the power sum of what each gives alone."""
    items = {"a": "tone", "b": "tone", "c": "tone", "d": "desk"}
    links = [("a.out", "d.ch1.line"), ("b.out", "d.ch2.line"), ("c.out", "d.ch3.line")]
    settings = {f"d.ch{n}.gain": f"{gain:.3f} dB" for n, gain in enumerate(gains, start=1)}
    together = nominal(bench(items, links, settings=settings), "d.main-left.sum")
    alone = [nominal(bench(items, [link], settings=settings), "d.main-left.sum") for link in links]
    expected = 10 * math.log10(sum(10 ** (level / 10) for level in alone))
    assert together == pytest.approx(expected, abs=1e-6)


def test_a_copy_superposes_as_voltage_with_its_sign() -> None:
    """The same tone straight and inverted: pins 2 and 3 swapped is not a matter of level alone."""
    items = {"t": "tone", "e": "desk", "d": "desk"}
    links = [
        ("t.out", "e.ch1.line"),
        ("e.main-left.out", "d.ch1.line"),
        ("e.aux.out", "d.ch2.line"),
    ]
    settings = {"e.ch1.send": "-6.0206 dB"}
    solution = bench(items, links, settings=settings)
    assert nominal(solution, "d.main-left.sum") == pytest.approx(4 + 20 * math.log10(1.5), abs=1e-3)


MOVES: tuple[Edit, ...] = (
    Set("desk.ch1.fader", "-7 dB"),
    Set("desk.ch1.send", "off"),
    Set("play.volume", "-20 dB"),
    SetFigure("keys", "out-left.impedance", "2 kohm"),
    SetFigure("keys", "generator.level", "-10 dBu"),
    SetFigure("desk", "ch2.preamp.gain", "3 dB"),
    Recable("desk.ch1.line", (Cable("wire", 100.0),)),
    Unplug(BUSY.links[3]),
)


@given(moves=st.lists(st.sampled_from(MOVES), max_size=5, unique_by=str))
def test_a_solve_with_the_previous_one_equals_a_fresh_one(moves: list[Edit]) -> None:
    """Whatever was reused on the way."""
    show, solution = BUSY, solved_show(BUSY)
    for move in moves:
        show, _ = apply(show, [move])
        solution = solved_show(show, solution)
    assert_same(solution, solved_show(show))


def test_moving_a_fader_solves_no_circuit() -> None:
    before = solved_show(BUSY)
    show, _ = apply(BUSY, [Set("desk.ch1.fader", "-7 dB")])
    assert solved_show(show, before).copper is before.copper


def test_another_cable_solves_its_island_only() -> None:
    before = solved_show(BUSY)
    show, _ = apply(BUSY, [Recable("desk.ch1.line", (Cable("wire", 100.0),))])
    after = solved_show(show, before)
    kept = {id(each) for each in before.solved}
    assert sum(id(each) not in kept for each in after.solved) == 1


def test_equal_channels_are_solved_once() -> None:
    solution = bench(
        {"a": "tone", "b": "tone", "d": "desk"},
        [("a.out", "d.ch1.line"), ("b.out", "d.ch2.line")],
    )
    one, other = (
        next(
            solved
            for island, solved in zip(solution.islands, solution.solved, strict=True)
            if address in island.sense_addresses
        )
        for address in ("d.ch1.line", "d.ch2.line")
    )
    assert one is other


def test_an_unknown_point_is_refused_with_a_way_out() -> None:
    with pytest.raises(SolveError, match=r"no point 'd\.ch9\.line'.*levelhead levels"):
        bench({"t": "tone", "d": "desk"}).levels("d.ch9.line")


def test_live_points_are_those_that_carry_a_signal_each_once() -> None:
    addresses = [levels.at for levels in solved_show(BUSY).live_points()]
    assert len(addresses) == len(set(addresses))
    assert "desk.ch1.preamp" in addresses
    assert "desk.ch6.preamp" not in addresses
    assert not any(address.startswith("~") for address in addresses)


def test_the_strongest_edge_of_a_sum_is_that_of_the_loudest() -> None:
    solution = bench(
        {"a": "tone", "b": "tone", "d": "desk"},
        [("a.out", "d.ch1.line"), ("b.out", "d.ch2.line")],
        settings={"d.ch1.fader": "-20 dB"},
    )
    edge = solution.strongest_edges[solution.number("d.main-left.sum")]
    assert solution.graph.points[edge.source].address == "d.ch2.fader"
    assert solution.number("d.ch3.preamp") not in solution.strongest_edges


def test_arrays_have_a_number_for_every_point() -> None:
    solution = solved_show(BUSY)
    for column in (solution.nominal, solution.ceiling, solution.floor, solution.floor_a):
        assert column.shape == (len(solution.graph.points),)
        assert not np.isnan(column).any()
        assert (column >= 0).all()


def test_an_output_tells_what_it_sees() -> None:
    """1 kohm between the pins of an input, beside 2 x 1 Mohm to 0 V."""
    items: Items = {
        "t": ("tone", {"out.impedance": "100 ohm"}),
        "d": ("desk", {"ch.line.impedance": "1 kohm", "ch.line.common-mode": "1 Mohm"}),
    }
    solution = bench(items, [("t.out", "d.ch1.line")])
    seen_ohm = solution.load_at("t.out")
    assert seen_ohm is not None
    assert abs(seen_ohm[17]) == pytest.approx(1000, rel=2e-3)
    assert solution.load_at("d.ch1.line") is None


def test_direct_current_is_told_of_plugged_ports_only() -> None:
    solution = bench({"t": "tone", "d": "desk"}, [("t.out", "d.ch1.line")])
    found = solution.dc_at("t.out")
    assert found is not None
    assert (found.volts, found.current_a, found.let_go_j) == pytest.approx((0, 0, 0), abs=1e-9)
    assert solution.dc_at("d.ch2.line") is None
