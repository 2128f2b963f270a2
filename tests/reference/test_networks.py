"""Published values of loading, transformers, unbalanced outputs, cables, pickups and noise.

Each circuit is built as it is described and solved; no formula of ours stands between.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.typing import ArrayLike, NDArray

from levelhead.circuit.network import GROUND, NetworkBuilder, Transformer
from levelhead.circuit.solving.solve import solve_networks
from levelhead.circuit.solving.solved import Solved
from tests.reference.values import BRIDGING_LOSSES

IDEAL_LOSSES = {"leakage_h": 1e-9, "primary_ohm": 0.0, "secondary_ohm": 0.0}


def solved(builder: NetworkBuilder, hz: ArrayLike = (1000.0,)) -> Solved:
    """Solve what was built."""
    return solve_networks([builder.build()], np.asarray(hz, dtype=np.float64))[0]


def gain_db(builder: NetworkBuilder, hz: ArrayLike = (1000.0,)) -> NDArray[np.float64]:
    """Level at the first sense, relative to the emf of the first source. [dB]"""
    level_db: NDArray[np.float64] = 20 * np.log10(np.abs(solved(builder, hz).transfer[0, 0]))
    return level_db


# ---------------------------------------------------------------- loading


@pytest.mark.reference("voltage divider, textbook, evaluated to three decimals (CV-27)")
@pytest.mark.parametrize(("source_ohm", "load_ohm", "expected_db"), BRIDGING_LOSSES)
def test_bridging_loss(source_ohm: float, load_ohm: float, expected_db: float) -> None:
    """Five usual pairs; source and load swapped would give other numbers."""
    builder = NetworkBuilder()
    node = builder.node()
    builder.source(node, GROUND, source_ohm)
    builder.resistor(node, GROUND, load_ohm)
    builder.sense({node: 1})
    assert gain_db(builder)[0] == pytest.approx(expected_db, abs=0.001)


# ---------------------------------------------------------------- transformers


def near_ideal(turns_ratio: float, *, source_ohm: float, load_ohm: float) -> NetworkBuilder:
    """Source, transformer without losses to speak of, load. Senses: secondary, primary."""
    builder = NetworkBuilder()
    primary, secondary = builder.node(), builder.node()
    builder.source(primary, GROUND, source_ohm)
    figures = Transformer(turns_ratio=turns_ratio, magnetising_h=1e6, **IDEAL_LOSSES)
    builder.transformer((primary, GROUND), (secondary, GROUND), figures)
    builder.resistor(secondary, GROUND, load_ohm)
    builder.sense({secondary: 1})
    builder.sense({primary: 1})
    return builder


def primary_ohm(builder: NetworkBuilder) -> float:
    """Impedance seen by the first source, its own resistance taken off. [ohm]"""
    result = solved(builder)
    return abs(complex(result.transfer[1, 0, 0] / result.source_current[0, 0, 0]))


@pytest.mark.reference(
    "Whitlock, 'Audio Transformers', in Ballou (ed.), Handbook for Sound Engineers (CV-37)"
)
@pytest.mark.parametrize(
    ("turns_ratio", "expected_db", "half_digit_db", "impedance_ratio"),
    [(12, -21.584, 0.001, 144), (10, -20.00, 0.005, 100), (20, -26.02, 0.005, 400)],
)
def test_step_down_of_a_passive_di(
    turns_ratio: float, expected_db: float, half_digit_db: float, impedance_ratio: float
) -> None:
    """The voltage falls by the turns, a 1.5 kohm input appears as 1.5 kohm times their square."""
    builder = near_ideal(turns_ratio, source_ohm=0.01, load_ohm=1500)
    assert gain_db(builder)[0] == pytest.approx(expected_db, abs=half_digit_db)
    assert primary_ohm(builder) == pytest.approx(1500 * impedance_ratio, rel=1e-3)


@pytest.mark.reference("licence question pool, G5C07 (600 to 4 ohm, answer 12.2:1) (CV-38)")
@pytest.mark.parametrize(
    ("turns_ratio", "seen_ohm", "load_ohm"), [(12.2, 600, 4), (25, 5000, 8), (1 / 4.08, 600, 10e3)]
)
def test_impedances_are_matched_by_the_square_root(
    turns_ratio: float, seen_ohm: float, load_ohm: float
) -> None:
    """The printed ratio is right to 0.5 %, its square to 1 %; and a match halves the emf."""
    builder = near_ideal(turns_ratio, source_ohm=seen_ohm, load_ohm=load_ohm)
    assert primary_ohm(builder) == pytest.approx(seen_ohm, rel=0.01)
    expected_db = 20 * math.log10(0.5 / turns_ratio)
    assert gain_db(builder)[0] == pytest.approx(expected_db, abs=0.05)


# ---------------------------------------------------------------- balanced outputs made unbalanced

BRIDGING_OHM = 1e6  # so that only the topology is left of the level


def symmetrical_output(*, cold_joined: bool) -> NetworkBuilder:
    """Push-pull pair of half the emf each, 50 ohm a leg. Senses: the input, the hot leg."""
    builder = NetworkBuilder()
    hot, cold, high, low = (builder.node() for _ in range(4))
    builder.source(high, low, 1e-3)  # the emf between the amplifiers ...
    for amplifier in (high, low):  # ... whose middle is held at 0 V
        builder.resistor(amplifier, GROUND, 1e-3)
    builder.resistor(high, hot, 50)
    builder.resistor(low, cold, 50)
    builder.resistor(hot, cold if cold_joined else GROUND, BRIDGING_OHM)
    builder.sense({hot: 1, cold: -1} if cold_joined else {hot: 1})
    builder.sense({hot: 1})
    return builder


def floating_output(
    *, cold_to_ground_ohm: float | None, leg_ohm: float = 20e3, load_ohm: float = BRIDGING_OHM
) -> NetworkBuilder:
    """Cross-coupled output: floating emf behind 40 ohm, each leg 20 kohm to 0 V. Senses as above.

    The input is between hot and ground if the cold pin has a resistance to ground, else balanced.
    """
    builder = NetworkBuilder()
    hot, cold = builder.node(), builder.node()
    builder.source(hot, cold, 40)
    for leg in (hot, cold):
        builder.resistor(leg, GROUND, leg_ohm)
    if cold_to_ground_ohm is None:
        builder.resistor(hot, cold, load_ohm)
        builder.sense({hot: 1, cold: -1})
    else:
        builder.resistor(cold, GROUND, cold_to_ground_ohm)
        builder.resistor(hot, GROUND, load_ohm)
        builder.sense({hot: 1})
    builder.sense({hot: 1})
    return builder


def leg_db(builder: NetworkBuilder) -> float:
    """Level of the hot leg against 0 V, relative to that of the input. [dB]"""
    transfer = np.abs(solved(builder).transfer[:, 0, 0])
    return float(20 * np.log10(transfer[1] / transfer[0]))


@pytest.mark.reference(
    "Rayburn, 'Balanced to unbalanced', note; Self, Small Signal Audio Design (CV-39 a)"
)
def test_half_a_push_pull_output_is_half_the_voltage() -> None:
    """Hot and ground only: 6.02 dB less than hot against cold."""
    loss_db = gain_db(symmetrical_output(cold_joined=False)) - gain_db(
        symmetrical_output(cold_joined=True)
    )
    assert loss_db[0] == pytest.approx(-6.02, abs=0.01)


@pytest.mark.reference(
    "Rayburn, 'Balanced to unbalanced', note; Self, Small Signal Audio Design (CV-39 b)"
)
def test_cross_coupled_output_keeps_its_level_and_loses_headroom() -> None:
    """Cold grounded at the output: 0 dB, but one leg makes the whole voltage, 6 dB sooner full."""
    balanced = floating_output(cold_to_ground_ohm=None)
    grounded = floating_output(cold_to_ground_ohm=1e-3)
    assert (gain_db(grounded) - gain_db(balanced))[0] == pytest.approx(0, abs=0.02)
    assert leg_db(grounded) - leg_db(balanced) == pytest.approx(6.02, abs=0.01)


def transformer_output(*, cold_to_ground_f: float | None) -> NetworkBuilder:
    """Line transformer 1:1, floating; cold tied, or left to the capacitance of the winding.

    It has 10 H, 1 mH of leakage, 30 ohm a winding, and feeds 10 kohm between hot and ground.
    """
    builder = NetworkBuilder()
    primary, hot, cold = builder.node(), builder.node(), builder.node()
    builder.source(primary, GROUND, 1)
    figures = Transformer(
        turns_ratio=1, magnetising_h=10, leakage_h=1e-3, primary_ohm=30, secondary_ohm=30
    )
    builder.transformer((primary, GROUND), (hot, cold), figures)
    if cold_to_ground_f is None:
        builder.resistor(cold, GROUND, 1e-3)
    else:
        builder.capacitor(cold, GROUND, cold_to_ground_f)
    builder.resistor(hot, GROUND, 10e3)
    builder.sense({hot: 1})
    return builder


@pytest.mark.reference("Self, Small Signal Audio Design; from memory (CV-39 c)")
def test_floating_transformer_may_be_grounded_at_will() -> None:
    """Cold tied to ground gives the level that hot against cold has."""
    builder = transformer_output(cold_to_ground_f=None)
    builder.sense({2: 1, 3: -1})
    transfer = np.abs(solved(builder).transfer[:, 0, 0])
    assert 20 * np.log10(transfer[0] / transfer[1]) == pytest.approx(0, abs=0.01)
    assert 20 * np.log10(transfer[0]) == pytest.approx(0, abs=0.1)


@pytest.mark.reference("circuit simulation of the stated circuit, no printed source (CV-118 a)")
@pytest.mark.parametrize(("cold_to_ground_ohm", "expected_db"), [(1e12, -12.04), (1e-3, -0.05)])
def test_cross_coupled_output_with_its_cold_pin_open(
    cold_to_ground_ohm: float, expected_db: float
) -> None:
    """Left open into 10 kohm it loses 12 dB, tied it loses nothing to speak of."""
    builder = floating_output(cold_to_ground_ohm=cold_to_ground_ohm, load_ohm=10e3)
    assert gain_db(builder)[0] == pytest.approx(expected_db, abs=0.1)


@pytest.mark.reference("circuit simulation of the stated circuit, no printed source (CV-118 b)")
def test_transformer_with_its_cold_pin_open() -> None:
    """Only 300 pF close the loop: thin, and thinner towards the bass."""
    levels_db = gain_db(transformer_output(cold_to_ground_f=300e-12), hz=[100, 1000, 10e3])
    assert levels_db == pytest.approx([-54, -34, -15], abs=1)


# ---------------------------------------------------------------- cables, rejection, pickups


@pytest.mark.reference("Duncan, 'Mating Microphones', magazine article (CV-40)")
def test_high_impedance_microphone_on_four_metres() -> None:
    """12 kohm and 4 m of 280 pF/m: -3 dB 'just above 12 kHz', 11.84 kHz computed."""
    builder = NetworkBuilder()
    node = builder.node()
    builder.source(node, GROUND, 12e3)
    builder.capacitor(node, GROUND, 4 * 280e-12)
    builder.sense({node: 1})
    hz = np.linspace(10e3, 14e3, 4001)
    corner_hz = np.interp(10 * math.log10(2), -gain_db(builder, hz), hz)
    assert corner_hz == pytest.approx(11.84e3, abs=20)


@pytest.mark.reference("Whitlock, J. Audio Eng. Soc. 1995, Wheatstone bridge model (CV-108)")
@pytest.mark.parametrize(("input_ohm", "expected_db"), [(10e3, 60.09), (20e3, 66.07), (1e6, 100.0)])
def test_imbalance_of_source_legs_spoils_rejection(input_ohm: float, expected_db: float) -> None:
    """Legs of 100 and 110 ohm under one common voltage, against what reaches the input of it."""
    builder = NetworkBuilder()
    hum, hot, cold = builder.node(), builder.node(), builder.node()
    builder.source(hum, GROUND, 1e-3)
    for leg, leg_ohm in ((hot, 100), (cold, 110)):
        builder.resistor(hum, leg, leg_ohm)
        builder.resistor(leg, GROUND, input_ohm)
    builder.sense({hot: 1, cold: -1})
    builder.sense({hot: 1})
    result = solved(builder).transfer[:, 0, 0]
    rejection_db = 20 * np.log10(np.abs(result[1] / result[0]))
    assert rejection_db == pytest.approx(expected_db, abs=0.05)
    # relative to the generator, as a simulator prints it, the divider of the hot leg comes on top
    divider_db = 20 * math.log10(1 + 100 / input_ohm)
    assert -gain_db(builder)[0] == pytest.approx(expected_db + divider_db, abs=0.05)


def pickup(
    inductance_h: float, capacitance_f: float, *, winding_ohm: float, load_ohm: float | None = None
) -> NetworkBuilder:
    """Coil with its wire and the capacitance of coil and cable; the emf is inside the coil."""
    builder = NetworkBuilder()
    coil, hot = builder.node(), builder.node()
    builder.source(coil, GROUND, winding_ohm)
    builder.inductor(coil, hot, inductance_h)
    builder.capacitor(hot, GROUND, capacitance_f)
    if load_ohm is not None:
        builder.resistor(hot, GROUND, load_ohm)
    builder.sense({hot: 1})
    return builder


@pytest.mark.reference("Lemme, Electric Guitar: resonances of pickups, 2 to 5 kHz (CV-110)")
@pytest.mark.parametrize(
    ("inductance_h", "capacitance_f", "expected_hz"),
    [(4.5, 620e-12, 3013), (2.5, 470e-12, 4643), (2.2, 610e-12, 4345)],
)
def test_pickup_resonates(inductance_h: float, capacitance_f: float, expected_hz: float) -> None:
    """Coil and cable with little loss peak at 1 / (2 pi sqrt(L C))."""
    hz = np.linspace(2000, 6000, 4001)
    levels_db = gain_db(pickup(inductance_h, capacitance_f, winding_ohm=100), hz)
    assert hz[np.argmax(levels_db)] == pytest.approx(expected_hz, rel=0.01)


@pytest.mark.reference("Lemme, Electric Guitar; peak from a circuit simulator (CV-110)")
def test_pickup_on_its_pots() -> None:
    """7 kohm of wire and a load of 200 kohm leave +6.01 dB at 2867 Hz."""
    hz = np.linspace(2000, 4000, 2001)
    levels_db = gain_db(pickup(4.5, 620e-12, winding_ohm=7e3, load_ohm=200e3), hz)
    assert levels_db.max() == pytest.approx(6.01, abs=0.01)
    assert hz[np.argmax(levels_db)] == pytest.approx(2867, rel=0.01)


# ---------------------------------------------------------------- noise


@pytest.mark.reference("Johnson 1928, Nyquist 1928; microphone source of 150 ohm (CV-11)")
def test_thermal_noise_of_a_microphone() -> None:
    """150 ohm, 20 kHz, 20 degrees C: 0.2204 uV, -130.9 dBu; as a resistor or after a divider."""
    for source_ohm, load_ohm in ((150, 1e9), (300, 300), (200, 600)):  # each 150 ohm at the sense
        builder = NetworkBuilder()
        node = builder.node()
        builder.source(node, GROUND, source_ohm)
        builder.resistor(node, GROUND, load_ohm)
        builder.sense({node: 1})
        noise_v = math.sqrt(solved(builder).noise_v2_per_hz[0, 0] * 20_000)
        assert noise_v == pytest.approx(0.22038e-6, abs=0.0001e-6)
        assert 20 * math.log10(noise_v / math.sqrt(0.6)) == pytest.approx(-130.918, abs=0.01)
        assert 20 * math.log10(noise_v) == pytest.approx(-133.136, abs=0.01)


@pytest.mark.reference("Johnson 1928, Nyquist 1928; a source into its preamp (CV-11, CV-27)")
def test_load_makes_noise_as_well() -> None:
    """150 ohm into 1.5 kohm: 136.4 ohm are heard, 0.41 dB less, not the 0.83 dB of the signal."""
    builder = NetworkBuilder()
    node = builder.node()
    builder.source(node, GROUND, 150)
    builder.resistor(node, GROUND, 1500)
    builder.sense({node: 1})
    noise_v = math.sqrt(solved(builder).noise_v2_per_hz[0, 0] * 20_000)
    assert 20 * math.log10(noise_v / math.sqrt(0.6)) == pytest.approx(-130.918 - 0.414, abs=0.01)
