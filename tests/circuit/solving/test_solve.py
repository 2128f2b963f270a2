"""Circuits that a pencil solves, and what stands at the edge of what can be solved."""

from __future__ import annotations

import math

import numpy as np
import pytest

from levelhead.circuit.network import GROUND, NetworkBuilder, Transformer
from levelhead.circuit.solving.solve import solve_networks
from levelhead.circuit.solving.solved import Solved
from levelhead.errors import SolveError
from levelhead.quantity.noise import BOLTZMANN_J_PER_K
from tests.circuit.one_by_one import BANDS_HZ, FOUR_KT, one_port, solved

# --- with a pencil ---


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


# --- at the edge ---


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
