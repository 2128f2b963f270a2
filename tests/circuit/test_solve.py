from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import fields, replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from levelhead.circuit import solve
from levelhead.circuit.network import GROUND, Kind, Network, NetworkBuilder, Transformer
from levelhead.circuit.solve import solve_networks
from levelhead.circuit.solved import Solved
from levelhead.errors import SolveError
from levelhead.quantity.noise import BOLTZMANN_J_PER_K
from tests.oracle.random_networks import (
    TAME,
    WILD,
    Ranges,
    random_network,
    random_networks,
    random_resistors,
)

BANDS_HZ = 1000 * 10 ** (np.arange(-17, 14) / 10)
LEAK_S = 1e-12
FOUR_KT = 4 * 1.380649e-23 * 293.15
ROUNDING = 3e-8  # V per V, 150 dB below; the ngspice comparison says where it comes from
NOISE_ROUNDING = 1e-25  # V^2/Hz: 0.3 pV in 1 Hz, a thousandth of the quietest microphone
LEAKS = 1e-5  # V per V: what a leak of 1 Tohm more or less may do

seeds = st.integers(min_value=0, max_value=2**32 - 1)


def solved(network: Network, hz: Sequence[float] | NDArray[np.float64] = BANDS_HZ) -> Solved:
    """One network, by itself."""
    return solve_networks([network], np.asarray(hz, dtype=np.float64))[0]


def from_seed(seed: int, ranges: Ranges = WILD) -> Network:
    """A random network of all kinds of parts."""
    return random_network(np.random.default_rng(seed), ranges)


def one_port(impedance: str, value: float, ohm: float = 1000) -> NetworkBuilder:
    """A source with one element as its load; the sense is across that."""
    builder = NetworkBuilder()
    node = builder.node()
    builder.source(node, GROUND, ohm)
    getattr(builder, impedance)(node, GROUND, value)
    builder.sense({node: 1})
    return builder


# ---------------------------------------------------------------- circuits that a pencil solves


@pytest.mark.parametrize("hz", [20.0, 1000.0, 20e3])
def test_elements_have_the_impedance_of_the_textbook(hz: float) -> None:
    """A divider of 1 kohm and R, 1/(j w C), j w L, in size and phase."""
    omega = 2 * math.pi * hz
    for kind, value, impedance_ohm in (
        ("resistor", 3000, 3000),
        ("capacitor", 100e-9, 1 / (1j * omega * 100e-9)),
        ("inductor", 0.15, 1j * omega * 0.15),
    ):
        transfer = solved(one_port(kind, value).build(), [hz]).transfer[0, 0, 0]
        assert transfer == pytest.approx(impedance_ohm / (1000 + impedance_ohm), rel=1e-6)


def test_current_leaves_the_plus_end() -> None:
    """A source into its load drives a positive current; one beside it takes what comes in."""
    builder = one_port("resistor", 2000)
    builder.source(1, GROUND, 12e3)
    builder.source(GROUND, 1, 12e3)
    result = solved(builder.build(), [1000.0])
    # 1 kohm, then 2 kohm beside twice 12 kohm
    total_a = 1 / (1000 + 1500)
    assert result.source_current[0, 0, 0] == pytest.approx(total_a, rel=1e-6)
    assert result.source_current[1, 0, 0] == pytest.approx(-total_a / 8, rel=1e-6)
    assert result.source_current[2, 0, 0] == pytest.approx(total_a / 8, rel=1e-6)


def test_sense_adds_weighted_nodes() -> None:
    """Half the difference of two nodes plus nothing of the reference."""
    builder = NetworkBuilder()
    top, middle = builder.node(), builder.node()
    builder.source(top, GROUND, 100)
    builder.resistor(top, middle, 200)
    builder.resistor(middle, GROUND, 700)
    builder.sense({top: 0.5, middle: -0.5, GROUND: 7})
    assert solved(builder.build(), [1000.0]).transfer[0, 0, 0] == pytest.approx(0.1, rel=1e-6)


def step_down(
    secondary: tuple[int, int] = (2, 0), load_ohm: float = 1e9, figures: Transformer | None = None
) -> Solved:
    """A transformer behind 1 ohm, its secondary loaded; the sense is node 2."""
    builder = NetworkBuilder()
    primary, _ = builder.node(), builder.node()
    builder.source(primary, GROUND, 1)
    figures = figures or Transformer(
        turns_ratio=12, magnetising_h=1e3, leakage_h=1e-6, primary_ohm=0, secondary_ohm=0
    )
    builder.transformer((primary, GROUND), secondary, figures)
    builder.resistor(2, GROUND, load_ohm)
    builder.sense({2: 1})
    return solved(builder.build())


def test_plus_ends_of_a_transformer_are_in_phase() -> None:
    """Turned round, the secondary gives the opposite voltage."""
    assert step_down().transfer[0, 0] == pytest.approx(1 / 12, rel=1e-4)
    assert step_down((0, 2)).transfer[0, 0] == pytest.approx(-1 / 12, rel=1e-4)


def test_open_and_shorted_secondaries_measure_the_inductances() -> None:
    """What the figures of a transformer claim to be, seen from the primary at 1 kHz."""
    figures = Transformer(
        turns_ratio=7, magnetising_h=5, leakage_h=0.02, primary_ohm=30, secondary_ohm=0
    )
    for load_ohm, inductance_h in ((1e12, 5.02), (1e-6, 0.02)):
        current_a = step_down(load_ohm=load_ohm, figures=figures).source_current[0, 0]
        expected_ohm = 1 + 30 + 2j * np.pi * BANDS_HZ * inductance_h
        assert 1 / current_a == pytest.approx(expected_ohm, rel=1e-4)


def test_wire_of_the_secondary_is_seen_times_the_square_of_the_turns() -> None:
    """3 ohm and a 5 ohm load behind 10:1 are 800 ohm at the primary."""
    figures = Transformer(
        turns_ratio=10, magnetising_h=1e6, leakage_h=0, primary_ohm=50, secondary_ohm=3
    )
    current_a = step_down(load_ohm=5, figures=figures).source_current[0, 0]
    assert 1 / current_a == pytest.approx(1 + 50 + 800, rel=1e-4)


def test_noise_current_flows_through_what_it_finds() -> None:
    """2 pA/sqrt(Hz) in 10 kohm beside 10 kohm: 10 nV/sqrt(Hz), added to the thermal noise."""
    builder = one_port("resistor", 10e3, ohm=10e3)
    builder.noise_current(1, GROUND, 2e-12)
    noise_v2 = solved(builder.build()).noise_v2_per_hz[0]
    assert noise_v2 == pytest.approx(FOUR_KT * 5e3 + 1e-16, rel=1e-6)


def test_noise_grows_with_temperature() -> None:
    """Twice the kelvins, twice the power."""
    network = one_port("resistor", 600).build()
    (warm,) = solve_networks([network], BANDS_HZ, temperature_k=2 * 293.15)
    assert warm.noise_v2_per_hz == pytest.approx(2 * solved(network).noise_v2_per_hz, rel=1e-12)


def test_capacitors_and_inductors_make_no_noise() -> None:
    """At resonance an LC circuit across 1 kohm is not there at all."""
    builder = one_port("capacitor", 1e-6)
    builder.inductor(1, GROUND, 1 / ((2 * math.pi * 1000) ** 2 * 1e-6))
    noise_v2 = solved(builder.build(), [1000.0]).noise_v2_per_hz[0, 0]
    assert noise_v2 == pytest.approx(FOUR_KT * 1000, rel=1e-6)


# ---------------------------------------------------------------- laws of passive networks


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


# ---------------------------------------------------------------- sensitivities

STEP = 2e-5  # of a logarithm; the sharpest resonances are 1e-4 wide
SLOPES_HZ = np.array([1e3, 4.7e3, 20e3])  # below, rounding would show when it is divided by a step
STENCIL = {-2: 1 / 12, -1: -8 / 12, 1: 8 / 12, 2: -1 / 12}  # central difference of fourth order


def difference(network: Network, name: str, place: tuple[int, ...]) -> NDArray[np.complex128]:
    """Change of all transfers with the logarithm of one figure, by solving again and again."""
    nearby = []
    for steps in STENCIL:
        values = getattr(network, name).copy()
        values[place] *= math.exp(steps * STEP)
        nearby.append(replace(network, **{name: values}))
    results = solve_networks(nearby, SLOPES_HZ)
    terms = [
        weight * result.transfer for weight, result in zip(STENCIL.values(), results, strict=True)
    ]
    slope: NDArray[np.complex128] = np.sum(terms, axis=0) / STEP
    return slope


@given(seed=seeds)
def test_sensitivities_are_the_slopes(seed: int) -> None:
    """Every element, source resistance and transformer figure against central differences."""
    network = from_seed(seed, TAME)
    result = solved(network, SLOPES_HZ)
    for name, change in (
        ("element_value", result.element_change),
        ("source_ohm", result.source_ohm_change),
        ("transformer_value", result.transformer_change),
    ):
        for place in np.ndindex(getattr(network, name).shape):
            slope = difference(network, name, place)
            for sense, source in np.ndindex(slope.shape[:2]):
                np.testing.assert_allclose(
                    change(sense, source)[place], slope[sense, source], rtol=1e-4, atol=3e-6
                )


@given(seed=seeds)
def test_sensitivities_cancel_when_all_impedances_grow(seed: int) -> None:
    """Voltages know only ratios, so the slopes along all impedances add up to nothing."""
    network = from_seed(seed, TAME)
    result = solved(network, [1e3, 20e3])
    sign = np.where(network.element_kind == Kind.CAPACITOR, -1, 1)
    for sense, source in np.ndindex(result.transfer.shape[:2]):
        slopes = (
            sign @ result.element_change(sense, source),
            result.source_ohm_change(sense, source).sum(axis=0),
            result.transformer_change(sense, source)[:, 1:].sum(axis=(0, 1)),
        )
        assert np.abs(sum(slopes)).max() <= LEAKS


def test_relative_sensitivity_of_a_divider() -> None:
    """3 kohm across 1 kohm: 1 % more ohm is a quarter of 1 % more voltage."""
    result = solved(one_port("resistor", 3000).build(), [1000.0])
    assert result.element_sensitivity(0, 0)[0, 0] == pytest.approx(0.25, rel=1e-6)
    assert result.source_ohm_change(0, 0)[0, 0] == pytest.approx(-0.25 * 0.75, rel=1e-6)


def test_balanced_bridge_has_a_slope_but_no_relative_one() -> None:
    """A perfect balance passes nothing; the change is finite all the same."""
    builder = NetworkBuilder()
    common, hot, cold = builder.node(), builder.node(), builder.node()
    builder.source(common, GROUND, 1)
    for leg in (hot, cold):
        builder.resistor(common, leg, 1000)
        builder.resistor(leg, GROUND, 1000)
    builder.sense({hot: 1, cold: -1})
    result = solved(builder.build(), [1000.0])
    assert result.transfer[0, 0, 0] == pytest.approx(0, abs=1e-12)
    # the 1 ohm of the source is seen by each leg: 1000 / 2000 / 1002 * 1000, not quite a quarter
    assert result.element_change(0, 0)[:, 0] == pytest.approx([-0.25, 0.25, 0.25, -0.25], rel=0.002)


# ---------------------------------------------------------------- many at once


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


# ---------------------------------------------------------------- at the edge


def test_node_that_nothing_touches_has_no_voltage() -> None:
    """The leak holds it at the reference."""
    builder = one_port("resistor", 600)
    builder.sense({builder.node(): 1})
    result = solved(builder.build())
    assert (result.transfer[1] == 0).all()
    assert (result.noise_v2_per_hz[1] == 0).all()


@pytest.mark.parametrize("wire_ohm", [1.0, 1e-3, 1e-6, 1e-9])
def test_floating_part_keeps_its_differences(wire_ohm: float) -> None:
    """A battery item on thin or thick wires, tied to nothing: its own load sees the divider."""
    builder = NetworkBuilder()
    out, hot, low = builder.node(), builder.node(), builder.node()
    builder.source(out, low, 100)
    builder.resistor(out, hot, wire_ohm)
    builder.resistor(hot, low, 900)
    builder.sense({hot: 1, low: -1})
    transfer = solved(builder.build()).transfer[0, 0]
    assert transfer == pytest.approx(900 / (1000 + wire_ohm), rel=1e-6)


def test_loose_end_of_thick_wire_can_be_solved() -> None:
    """A wire of 2**-20 ohm that nothing ties: beside it a leak of 1 Tohm is lost in rounding."""
    builder = one_port("resistor", 600)
    ends = builder.node(), builder.node()
    builder.resistor(*ends, 2**-20)
    for end in ends:
        builder.sense({end: 1})
    transfer = solved(builder.build()).transfer
    assert transfer[0, 0] == pytest.approx(600 / 1600, rel=1e-6)
    assert (transfer[1:] == 0).all()


def test_tight_coupling_loses_no_digits() -> None:
    """With a leakage of 1e-12 the determinant by subtraction would be noise."""
    figures = Transformer(
        turns_ratio=2, magnetising_h=10, leakage_h=1e-11, primary_ohm=1e-9, secondary_ohm=1e-9
    )
    assert step_down(load_ohm=100, figures=figures).transfer[0, 0, -1] == pytest.approx(
        0.5 * 400 / 401, rel=1e-6
    )


@pytest.mark.parametrize("hz", [[0.0], [-50.0], [float("nan")], [float("inf")], [[50.0]]])
def test_frequencies_must_be_above_zero(hz: list[float]) -> None:
    """At zero inductors are shorts: that is another solver."""
    with pytest.raises(SolveError, match="expected a list of frequencies above 0 Hz"):
        solved(one_port("resistor", 600).build(), hz)


def test_absurd_figures_are_an_error_that_names_the_network() -> None:
    """Not an infinity in the answer, and not the fault of the networks beside it."""
    sane, absurd = one_port("resistor", 600), one_port("resistor", 1e-320)
    absurd.inductor(1, GROUND, 1)
    with pytest.raises(SolveError, match="network of 2 nodes, 2 elements: no single finite"):
        solve_networks([sane.build(), absurd.build()], BANDS_HZ)


def test_boltzmann_is_that_of_the_si() -> None:
    """The exact value of 2019."""
    assert BOLTZMANN_J_PER_K == 1.380649e-23
