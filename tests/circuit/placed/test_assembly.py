"""From what is plugged to islands: what is drawn, what is one copper, where it is cut."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from levelhead.circuit.drawn.sketch import Sketch
from levelhead.circuit.network import GROUND
from levelhead.circuit.placed.assembly import draw_rig
from tests.bench import on_bench

BOX = """
source:
  label: Output
  kind: box
  source: measured
  earth: mains
  ports: {out: {socket: xlr-m, role: out, circuit: symmetrical-output, impedance: 100 ohm}}
floating:
  like: source
  label: The same with its own 0 V
  earth: none
chain:
  label: Input with two through sockets
  kind: box
  source: measured
  earth: mains
  ports:
    in: {socket: xlr-f, role: in, circuit: balanced-input, impedance: 20 kohm, cmrr: 180 dB}
    link: {socket: xlr-m, role: through, joined: in}
    jack: {socket: jack-trs, role: through, joined: in}
splitter:
  label: Passive splitter
  kind: box
  source: measured
  ports:
    in: {socket: xlr-f, role: in}
    one: {socket: xlr-m, role: out}
    two: {socket: xlr-m, role: out}
  controls: {lift: {options: [closed, open], default: closed}}
  parts:
    - {wire: [in.2, one.2]}
    - {wire: [in.3, one.3]}
    - {wire: [in.1, one.1]}
    - {resistor: [in.2, inside.hot], value: 100 ohm}
    - {resistor: [inside.hot, two.2], value: 100 ohm}
    - {wire: [in.3, two.3]}
    - {wire: [in.1, two.1], when: {lift: closed}}
desk:
  label: Mixer
  kind: mixer
  source: measured
  earth: mains
  blocks:
    ch:
      repeat: 32
      ports:
        mic: {socket: xlr-f, role: in, circuit: balanced-input, impedance: 2 kohm}
        line: {socket: jack-trs, role: in, circuit: balanced-input, impedance: 20 kohm}
"""
LINE = "a.out > b.in: bench-lead"


# ---------------------------------------------------------------- what is drawn


def test_sockets_with_nothing_in_them_are_not_drawn() -> None:
    bench = on_bench(
        BOX, {"a": "source", "b": "desk", "c": "source"}, ["a.out > b.ch7.mic: bench-lead"]
    )
    (island,) = bench.islands
    assert set(island.senses) == {"a.out", "b.ch7.mic"}


def test_through_sockets_are_the_same_copper() -> None:
    """Also where the connectors differ: hot, cold and ground meet their like."""
    bench = on_bench(BOX, {"a": "source", "b": "chain"}, [LINE])
    for through in ("b.link", "b.jack"):
        assert bench.gain("a.out", through)[0] == pytest.approx(bench.gain("a.out", "b.in")[0])


def test_a_daisy_chain_loads_its_source_once_for_each_input() -> None:
    """Three inputs of 20 kohm on 100 ohm, through two link sockets."""
    bench = on_bench(
        BOX,
        {"a": "source", "b": "chain", "c": "chain", "d": "chain"},
        [LINE, "b.link > c.in: bench-lead", "c.jack > d.in: lead-jack-balanced-xlr 0.01 m"],
    )
    (island,) = bench.islands
    assert len(island.drives) == 2
    load_ohm = 20_000 / 3
    assert abs(bench.gain("a.out", "d.in")[0]) == pytest.approx(
        load_ohm / (load_ohm + 100), rel=1e-4
    )


def test_all_of_a_passive_box_is_drawn_when_one_of_its_sockets_is_plugged() -> None:
    bench = on_bench(BOX, {"a": "source", "s": "splitter"}, ["a.out > s.in: bench-lead"])
    (island,) = bench.islands
    assert {"s.in", "s.one", "s.two"} <= set(island.senses)


def test_parts_of_a_box_stand_between_their_pins() -> None:
    """200 ohm to the second output, through a solder point inside; the first is a wire."""
    bench = on_bench(
        BOX,
        {"a": "source", "s": "splitter", "b": "chain"},
        ["a.out > s.in: bench-lead", "s.two > b.in: bench-lead"],
    )
    assert abs(bench.gain("a.out", "b.in")[0]) == pytest.approx(20_000 / 20_300, rel=1e-4)
    assert bench.gain("a.out", "s.one")[0] == pytest.approx(bench.gain("a.out", "s.in")[0])


@pytest.mark.parametrize(("lift", "is_one"), [("closed", True), ("open", False)])
def test_a_lift_switch_parts_the_grounds(lift: str, *, is_one: bool) -> None:
    """A wire that is only there while the switch stands so."""
    bench = on_bench(
        BOX, {"a": "floating", "s": "splitter"}, ["a.out > s.in: bench-lead"],
        settings={"s.lift": lift},
    )  # fmt: skip
    sketch = draw_rig(bench.rig)
    assert (sketch.pin("s.in", "1") == sketch.pin("s.two", "1")) is is_one


def test_a_screen_between_earthed_items_is_no_island() -> None:
    bench = on_bench(BOX, {"a": "source", "b": "chain"}, [LINE])
    assert all(island.senses for island in bench.islands)


# ---------------------------------------------------------------- where it is cut


def test_earthed_items_meet_in_the_common_0_v_only() -> None:
    """A desk with 32 plugs is 32 islands, and those of equal content are equal networks."""
    items = {f"s{number}": "source" for number in range(1, 33)}
    links = [f"s{number}.out > d.ch{number}.mic: cable-xlr 10 m" for number in range(1, 33)]
    bench = on_bench(BOX, {**items, "d": "desk"}, links)
    assert len(bench.islands) == 32
    assert len({island.network().key for island in bench.islands}) == 1


def test_an_item_with_its_own_0_v_joins_what_is_plugged_to_it() -> None:
    bench = on_bench(BOX, {"a": "floating", "b": "chain"}, [LINE])
    (island,) = bench.islands
    at_zero = {node for drive in island.drives for node in (drive.plus, drive.minus)}
    assert GROUND not in at_zero


def test_a_swapped_figure_makes_another_network() -> None:
    same, other = (
        on_bench(BOX, {"a": "source", "b": type_}, ["a.out > b.in: cable-xlr 10 m"])
        for type_ in ("chain", "splitter")
    )
    assert same.islands[0].network().key != other.islands[0].network().key


@given(order=st.permutations(["a", "b", "c"]))
@settings(max_examples=6)
def test_the_order_of_items_changes_nothing(order: list[str]) -> None:
    """Levels are the same whatever stands first in the file."""
    types = {"a": "source", "b": "chain", "c": "chain"}
    bench = on_bench(
        BOX, {name: types[name] for name in order}, [LINE, "b.link > c.in: bench-lead"]
    )
    assert abs(bench.gain("a.out", "c.in")[0]) == pytest.approx(10_000 / 10_100, rel=1e-4)


# ---------------------------------------------------------------- sketches


def test_places_that_are_joined_are_one_node() -> None:
    sketch = Sketch()
    one, other, third = (("port", name, "1") for name in "abc")
    sketch.join(one, other)
    sketch.join(other, third)
    assert len({sketch.place(place) for place in (one, other, third)}) == 1
    assert dict(sketch.places)[third] == sketch.place(one)


def test_a_part_with_both_ends_on_one_node_is_none() -> None:
    sketch = Sketch()
    node = sketch.inner_node()
    sketch.resistor(node, node, 100, tag="", figure=None)
    sketch.capacitor(node, node, 1e-9, tag="", figure=None)
    sketch.inductor(node, node, 1, tag="", figure=None)
    sketch.capacitor(node, GROUND, 0.0, tag="no capacitance", figure=None)
    assert sketch.elements == []


def test_a_sense_between_pins_that_are_one_node_is_nothing() -> None:
    sketch = Sketch()
    node = sketch.inner_node()
    sketch.sense("shorted", ((node, 1.0), (node, -1.0)))
    assert sketch.senses["shorted"] == {node: 0.0}
