"""Laws of passive networks, held against random ones: reciprocity, power, noise, scaling, sums."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from levelhead.circuit.network import Kind, Network
from tests.circuit.one_by_one import (
    FOUR_KT,
    LEAK_S,
    LEAKS,
    NOISE_ROUNDING,
    ROUNDING,
    from_seed,
    seeds,
    solved,
)
from tests.oracle.random_networks import (
    TAME,
    random_resistors,
)


@given(seed=seeds)
def test_what_one_source_drives_through_another_goes_both_ways(seed: int) -> None:
    """Reciprocity: 1 V here makes the current there that 1 V there makes here."""
    current_a = solved(from_seed(seed)).source_current
    np.testing.assert_allclose(current_a, np.swapaxes(current_a, 0, 1), rtol=1e-6, atol=1e-14)


@given(seed=seeds)
def test_passive_network_takes_power(seed: int) -> None:
    """The real part of the current that a source drives into a network is never negative."""
    current_a = solved(from_seed(seed)).source_current
    assert np.einsum("iib->ib", current_a).real.min() >= -1e-14


@given(seed=seeds)
def test_resistors_alone_give_no_gain(seed: int) -> None:
    """No node of a resistive network is above the emf or below zero, and none has a phase."""
    transfer = solved(random_resistors(np.random.default_rng(seed))).transfer
    assert transfer.real.max() <= 1 + 1e-12
    assert transfer.real.min() >= -1e-12
    assert np.abs(transfer.imag).max() <= 1e-15


@given(seed=seeds)
def test_thermal_noise_is_that_of_the_impedance_seen(seed: int) -> None:
    """Nyquist: 4kT times the real part, whatever the network; noiseless leaks taken off."""
    network = from_seed(seed)
    quiet = solved(replace(network, noise_a_per_rthz=0 * network.noise_a_per_rthz))
    seen_ohm = np.einsum("sn,snb->sb", network.sense, quiet.transfer_ohm)
    leaks_ohm = LEAK_S * (np.abs(quiet.transfer_ohm) ** 2).sum(axis=1)
    expected_v2 = FOUR_KT * (seen_ohm.real - leaks_ohm)
    scale_v2 = FOUR_KT * (np.abs(seen_ohm) + leaks_ohm)
    assert np.abs(quiet.noise_v2_per_hz - expected_v2).max() <= 1e-6 * scale_v2.max()
    assert (np.abs(quiet.noise_v2_per_hz - expected_v2) <= 1e-3 * scale_v2).all()


@given(seed=seeds, factor=st.floats(min_value=0.01, max_value=1))
def test_transfers_know_only_ratios_of_impedances(seed: int, factor: float) -> None:
    """All impedances times a factor: the same voltages, and noise power times the factor.

    (Not above 1: at a hundred times 1 Gohm the leak of 1 Tohm would be heard.)
    """
    network = from_seed(seed, TAME)
    first, scaled = solved(network, [1e3, 20e3]), solved(scale(network, factor), [1e3, 20e3])
    np.testing.assert_allclose(scaled.transfer, first.transfer, rtol=1e-4, atol=LEAKS)
    expected_v2 = factor * first.noise_v2_per_hz
    np.testing.assert_allclose(scaled.noise_v2_per_hz, expected_v2, rtol=1e-4, atol=NOISE_ROUNDING)


def scale(network: Network, factor: float) -> Network:
    """All impedances times a factor; noise currents so that their share of power stays."""
    is_capacitor = network.element_kind == Kind.CAPACITOR
    power = np.where(is_capacitor, 1 / factor, factor)
    return replace(
        network,
        element_value=network.element_value * power,
        transformer_value=network.transformer_value * np.array([1, *[factor] * 4]),
        source_ohm=network.source_ohm * factor,
        noise_a_per_rthz=network.noise_a_per_rthz / math.sqrt(factor),
    )


@given(seed=seeds)
def test_sources_superpose(seed: int) -> None:
    """What a source does beside others is what it does when they are mere resistors."""
    network = from_seed(seed)
    together = solved(network)
    for source in range(len(network.source_ohm)):
        alone = solved(with_one_source(network, source))
        np.testing.assert_allclose(
            alone.transfer[:, 0], together.transfer[:, source], rtol=1e-6, atol=ROUNDING
        )
        np.testing.assert_allclose(
            alone.noise_v2_per_hz, together.noise_v2_per_hz, rtol=1e-6, atol=NOISE_ROUNDING
        )


def with_one_source(network: Network, kept: int) -> Network:
    """The other sources become resistors."""
    others = np.delete(np.arange(len(network.source_ohm)), kept)
    zeros = np.zeros(len(others), dtype=np.int8)
    return replace(
        network,
        source_nodes=network.source_nodes[[kept]],
        source_ohm=network.source_ohm[[kept]],
        element_kind=np.concatenate([network.element_kind, zeros + Kind.RESISTOR]),
        element_nodes=np.concatenate([network.element_nodes, network.source_nodes[others]]),
        element_value=np.concatenate([network.element_value, network.source_ohm[others]]),
    )


@given(seed=seeds)
def test_names_of_nodes_do_not_matter(seed: int) -> None:
    """Renumbered nodes, reversed parts: the same answer at each sense."""
    network = from_seed(seed)
    order = np.random.default_rng(seed).permutation(network.node_count - 1) + 1
    new = np.concatenate([[0], order]).astype(np.int32)
    renamed = replace(
        network,
        element_kind=network.element_kind[::-1],
        element_nodes=new[network.element_nodes[::-1, ::-1]],
        element_value=network.element_value[::-1],
        transformer_nodes=new[network.transformer_nodes],
        source_nodes=new[network.source_nodes],
        sense=network.sense[:, np.argsort(new)],
        noise_nodes=new[network.noise_nodes[:, ::-1]],
    )
    first, second = solved(network), solved(renamed)
    np.testing.assert_allclose(second.transfer, first.transfer, rtol=1e-6, atol=ROUNDING)
    np.testing.assert_allclose(
        second.noise_v2_per_hz, first.noise_v2_per_hz, rtol=1e-6, atol=NOISE_ROUNDING
    )


@given(seed=seeds, share=st.floats(min_value=0.01, max_value=0.99))
def test_resistor_is_two_in_series(seed: int, share: float) -> None:
    """A node in the middle of a resistor changes neither voltages nor noise, nor does padding."""
    network = from_seed(seed, TAME)
    resistors = np.flatnonzero(network.element_kind == Kind.RESISTOR)
    if not len(resistors):
        return
    cut, middle = int(resistors[0]), network.node_count
    nodes, value = network.element_nodes.copy(), network.element_value.copy()
    rest = [[middle, nodes[cut, 1]]]
    nodes[cut, 1] = middle
    value[cut] *= share
    halved = replace(
        network,
        node_count=network.node_count + 1,
        element_kind=np.append(network.element_kind, Kind.RESISTOR),
        element_nodes=np.concatenate([nodes, rest]),
        element_value=np.append(value, network.element_value[cut] * (1 - share)),
        sense=np.pad(network.sense, ((0, 0), (0, 1))),
    )
    first, second = solved(network), solved(halved)
    np.testing.assert_allclose(second.transfer, first.transfer, rtol=1e-4, atol=LEAKS)
    np.testing.assert_allclose(
        second.noise_v2_per_hz, first.noise_v2_per_hz, rtol=1e-4, atol=NOISE_ROUNDING
    )
