"""Many networks at once: order, company, shapes, and answers that are shared."""

from __future__ import annotations

from dataclasses import fields, replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given

from levelhead.circuit.network import GROUND, Network, NetworkBuilder
from levelhead.circuit.solving import solve
from levelhead.circuit.solving.solve import solve_networks
from levelhead.circuit.solving.solved import Solved
from tests.circuit.one_by_one import (
    BANDS_HZ,
    FOUR_KT,
    NOISE_ROUNDING,
    from_seed,
    one_port,
    seeds,
    solved,
)
from tests.oracle.random_networks import (
    TAME,
    random_networks,
)


def test_equal_networks_are_solved_once() -> None:
    """Channels that are wired alike share one answer."""
    first, other, again = (one_port("resistor", ohm).build() for ohm in (600, 700, 600))
    results = solve_networks([first, other, again], BANDS_HZ)
    assert results[0] is results[2]
    assert results[1] is not results[0]


def test_answers_come_in_the_order_of_the_questions() -> None:
    """Whatever stacks the networks were sorted into."""
    networks = random_networks(np.random.default_rng(5), 40)
    results = solve_networks(networks, BANDS_HZ)
    assert [result.network.key for result in results] == [network.key for network in networks]


@pytest.mark.parametrize("entries", [1, 10_000, 2**20])
def test_company_does_not_matter(entries: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Alone, in small stacks or in one large stack, a network has the same answer."""
    networks = random_networks(np.random.default_rng(6), 40, TAME)
    monkeypatch.setattr(solve, "STACK_ENTRIES", entries)
    for network, crowded in zip(networks, solve_networks(networks, BANDS_HZ), strict=True):
        alone = solved(network)
        for name in ("transfer", "source_current", "noise_v2_per_hz"):
            ours, theirs = getattr(crowded, name), getattr(alone, name)
            assert ours.shape == theirs.shape
            atol = NOISE_ROUNDING if name == "noise_v2_per_hz" else 1e-9
            np.testing.assert_allclose(ours, theirs, rtol=1e-6, atol=atol)


@given(seed=seeds)
def test_shapes_are_those_of_the_interface(seed: int) -> None:
    """Whatever the padding, at any number of frequencies."""
    network = from_seed(seed)
    result = solved(network, [50.0, 440.0])
    elements, transformers = len(network.element_kind), len(network.transformer_nodes)
    senses, sources = len(network.sense), len(network.source_ohm)
    assert result.transfer.shape == (senses, sources, 2)
    assert result.noise_v2_per_hz.shape == (senses, 2)
    assert result.source_current.shape == (sources, sources, 2)
    assert result.node_transfer.shape == (network.node_count, sources, 2)
    assert result.transfer_ohm.shape == (senses, network.node_count, 2)
    assert result.element_sensitivity(0, 0).shape == (elements, 2)
    assert result.source_ohm_change(0, 0).shape == (sources, 2)
    assert result.transformer_change(0, 0).shape == (transformers, 5, 2)
    assert np.einsum("sn,njb->sjb", network.sense, result.node_transfer) == pytest.approx(
        result.transfer, rel=1e-6, abs=1e-9
    )


def ladder(rungs: int, ohm: float) -> Network:
    """Loads along a line, each of them sensed."""
    builder = NetworkBuilder()
    nodes = [builder.node() for _ in range(rungs)]
    builder.source(nodes[0], GROUND, 0.1)
    for one, other in pairwise(nodes):
        builder.resistor(one, other, 0.05)
        builder.inductor(other, GROUND, 0.3 * ohm)
        builder.resistor(other, GROUND, ohm)
        builder.sense({other: 1})
    return builder.build()


def test_what_was_let_go_of_a_large_network_comes_back_to_the_last_bit() -> None:
    """Its adjoint, solved again alone, against the one that was kept of a stack."""
    networks = [ladder(40, ohm) for ohm in (2000.0, 1000.0, 500.0)]
    kept = solve_networks(networks, BANDS_HZ, keeps_reach=True)
    let_go = solve_networks(networks, BANDS_HZ)
    assert all(each.reach.known is not None for each in kept)
    assert all(each.reach.known is None for each in let_go)
    for one, other in zip(kept, let_go, strict=True):
        assert np.array_equal(one.transfer_ohm, other.transfer_ohm)
        assert np.array_equal(one.element_change(3, 0), other.element_change(3, 0))
    (small,) = solve_networks([ladder(4, 1000.0)], BANDS_HZ)
    assert small.reach.known is not None


def test_nothing_solves_to_nothing() -> None:
    """No networks; a network of the reference alone; no sources; no senses; no frequencies."""
    assert solve_networks([], BANDS_HZ) == []
    assert solved(NetworkBuilder().build()).node_transfer.shape == (1, 0, 31)
    silent = replace(
        one_port("resistor", 10).build(),
        source_nodes=np.zeros((0, 2), dtype=np.int32),
        source_ohm=np.zeros(0),
    )
    assert solved(silent).transfer.shape == (1, 0, 31)
    assert solved(silent).noise_v2_per_hz == pytest.approx(FOUR_KT * 10, rel=1e-6)
    deaf = replace(one_port("resistor", 10).build(), sense=np.zeros((0, 2)))
    assert solved(deaf).transfer.shape == (0, 1, 31)
    assert solved(one_port("resistor", 10).build(), []).transfer.shape == (1, 1, 0)


def test_answers_are_read_only() -> None:
    """They are shared by networks of equal content, so nobody may write into them."""
    result = solved(one_port("resistor", 600).build())
    for part in fields(Solved):
        array = getattr(result, part.name)
        if isinstance(array, np.ndarray):
            assert not array.flags.writeable, part.name
    assert not result.transfer_ohm.flags.writeable
