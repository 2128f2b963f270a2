from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields, replace

import numpy as np
import pytest

from levelhead.circuit.network import GROUND, Kind, Network, NetworkBuilder, Transformer
from levelhead.errors import SolveError

STEP_UP = Transformer(
    turns_ratio=0.1, magnetising_h=8, leakage_h=2e-3, primary_ohm=40, secondary_ohm=900
)


def one_of_everything() -> NetworkBuilder:
    """A builder with one part of every kind on three nodes."""
    builder = NetworkBuilder()
    a, b, c = builder.node(), builder.node(), builder.node()
    builder.resistor(a, b, 150)
    builder.capacitor(b, GROUND, 47e-9)
    builder.inductor(b, c, 2.5)
    builder.transformer((a, GROUND), (c, b), STEP_UP)
    builder.source(a, GROUND, 200)
    builder.sense({a: 1, c: -0.5})
    builder.noise_current(c, GROUND, 1e-12)
    return builder


def test_builder_counts_its_parts() -> None:
    """Each method returns the index under which the solved arrays hold the part."""
    builder = NetworkBuilder()
    assert [builder.node() for _ in range(3)] == [1, 2, 3]
    assert [builder.resistor(1, 2, 10), builder.capacitor(2, 3, 1e-9)] == [0, 1]
    assert [builder.source(1, GROUND, 50), builder.source(2, GROUND, 50)] == [0, 1]
    assert [builder.sense({1: 1}), builder.sense({2: 1})] == [0, 1]
    assert builder.transformer((1, 0), (2, 0), STEP_UP) == 0
    assert builder.noise_current(1, 0, 1e-12) == 0


def test_builder_puts_every_figure_in_its_place() -> None:
    """The arrays hold what the builder was told, in the order of the interface."""
    network = one_of_everything().build()
    assert network.node_count == 4
    assert network.element_kind.tolist() == [Kind.RESISTOR, Kind.CAPACITOR, Kind.INDUCTOR]
    assert network.element_nodes.tolist() == [[1, 2], [2, 0], [2, 3]]
    assert network.element_value.tolist() == [150, 47e-9, 2.5]
    assert network.transformer_nodes.tolist() == [[1, 0, 3, 2]]
    assert network.transformer_value.tolist() == [[0.1, 8, 2e-3, 40, 900]]
    assert network.source_nodes.tolist() == [[1, 0]]
    assert network.source_ohm.tolist() == [200]
    assert network.sense.tolist() == [[0, 1, 0, -0.5]]
    assert network.noise_nodes.tolist() == [[3, 0]]
    assert network.noise_a_per_rthz.tolist() == [1e-12]


def test_network_of_nothing_can_be_built() -> None:
    """A reference without parts is a network; all its arrays are empty."""
    network = NetworkBuilder().build()
    assert network.node_count == 1
    assert network.sense.shape == (0, 1)
    assert network.transformer_value.shape == (0, 5)


def test_network_does_not_change_with_the_arrays_it_was_made_of() -> None:
    """Its content key would lie otherwise."""
    value = np.array([150.0, 47e-9, 2.5])
    network = replace(one_of_everything().build(), element_value=value)
    value[0] = 1
    assert network.element_value[0] == 150
    with pytest.raises(ValueError, match="read-only"):
        network.element_value[0] = 1


def test_equal_content_has_an_equal_key() -> None:
    """Two networks made apart from the same parts are one to the solver."""
    assert one_of_everything().build().key == one_of_everything().build().key


@pytest.mark.parametrize(
    "name", [part.name for part in fields(Network) if part.name != "node_count"]
)
def test_key_sees_every_array(name: str) -> None:
    """A change of any one figure anywhere changes the key."""
    network = one_of_everything().build()
    changed = getattr(network, name).copy()
    changed.flat[0] = 1 if changed.flat[0] != 1 else 2
    assert replace(network, **{name: changed}).key != network.key


def test_key_sees_the_node_count() -> None:
    """A node that nothing touches is still a row of the answer."""
    network = NetworkBuilder().build()
    assert replace(network, node_count=2, sense=np.zeros((0, 2))).key != network.key


@pytest.mark.parametrize(
    ("spoil", "message"),
    [
        (lambda b: b.resistor(1, 2, 0), r"element_value\[3\]: 0.0; expected a value above 0"),
        (lambda b: b.capacitor(1, 2, -1e-9), r"element_value\[3\]: -1e-09; expected"),
        (lambda b: b.inductor(1, 2, float("inf")), r"element_value\[3\]: inf; expected"),
        (lambda b: b.resistor(1, 2, float("nan")), r"element_value\[3\]: nan; expected"),
        (lambda b: b.resistor(1, 4, 10), r"element_nodes\[3\]: \[1, 4\]; expected nodes from 0"),
        (lambda b: b.resistor(-1, 0, 10), r"element_nodes\[3\]: \[-1, 0\]; expected nodes"),
        (lambda b: b.source(1, 0, 0), r"source_ohm\[1\]: 0.0; expected a value above 0"),
        (lambda b: b.source(1, 9, 50), r"source_nodes\[1\]: \[1, 9\]; expected nodes"),
        (lambda b: b.sense({4: 1}), r"sense: a weight at node 4; expected nodes from 0 to 3"),
        (lambda b: b.sense({1: float("nan")}), r"sense\[1\].*expected finite weights"),
        (lambda b: b.noise_current(1, 0, -1), r"noise_a_per_rthz\[1\]: -1.0; expected 0"),
        (lambda b: b.noise_current(1, 5, 1), r"noise_nodes\[1\]: \[1, 5\]; expected nodes"),
        (
            lambda b: b.transformer((1, 0), (2, 7), STEP_UP),
            r"transformer_nodes\[1\]: \[1, 0, 2, 7\]; expected nodes from 0 to 3",
        ),
    ],
)
def test_impossible_part_is_refused(
    spoil: Callable[[NetworkBuilder], object], message: str
) -> None:
    """The error names the array, the row, what stood there and what could stand there."""
    builder = one_of_everything()
    spoil(builder)
    with pytest.raises(SolveError, match=message):
        builder.build()


@pytest.mark.parametrize(
    "figures",
    [
        replace(STEP_UP, turns_ratio=0),
        replace(STEP_UP, magnetising_h=0),
        replace(STEP_UP, leakage_h=-1e-3),
        replace(STEP_UP, primary_ohm=float("nan")),
        replace(STEP_UP, leakage_h=0, primary_ohm=0, secondary_ohm=0),
    ],
)
def test_impossible_transformer_is_refused(figures: Transformer) -> None:
    """Turns, iron and some loss are needed; without any loss the two windings are one."""
    builder = NetworkBuilder()
    builder.transformer((builder.node(), GROUND), (builder.node(), GROUND), figures)
    with pytest.raises(SolveError, match=r"transformer_value\[0\].*ratio and magnetising H above"):
        builder.build()


def test_transformer_may_have_only_one_loss() -> None:
    """Leakage alone, or the wire of one winding, is enough to tell the windings apart."""
    for name in ("leakage_h", "primary_ohm", "secondary_ohm"):
        losses = {"leakage_h": 0.0, "primary_ohm": 0.0, "secondary_ohm": 0.0, name: 1.0}
        builder = NetworkBuilder()
        figures = Transformer(turns_ratio=1, magnetising_h=1, **losses)
        builder.transformer((builder.node(), GROUND), (builder.node(), GROUND), figures)
        assert builder.build().transformer_value[0, 2:].sum() == 1


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"node_count": 0}, "node_count: 0 nodes; expected the reference at least"),
        ({"element_value": np.ones(2)}, r"element_value: shape \(2,\); expected shape \(3,\)"),
        ({"element_nodes": np.ones((3, 3))}, r"element_nodes: shape \(3, 3\); expected"),
        ({"sense": np.ones((1, 3))}, r"sense: shape \(1, 3\); expected shape \(1, 4\)"),
        ({"source_ohm": np.float64(50)}, r"source_ohm: shape \(\); expected shape \(1,\)"),
        ({"transformer_value": np.ones((1, 4))}, r"transformer_value: shape \(1, 4\)"),
        ({"element_kind": np.array([0, 1, 3])}, r"element_kind\[2\]: 3; expected a Kind"),
    ],
)
def test_arrays_that_do_not_fit_are_refused(changes: dict[str, object], message: str) -> None:
    """Shapes are checked when a network is made, not when some solver stumbles."""
    network = one_of_everything().build()
    with pytest.raises(SolveError, match=message):
        replace(network, **changes)  # type: ignore[arg-type]
