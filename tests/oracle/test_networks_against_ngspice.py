"""Our solver against ngspice: voltages, currents and noise of random networks in all 31 bands."""

from __future__ import annotations

import numpy as np
import pytest

from levelhead.circuit.network import GROUND, NetworkBuilder, Transformer
from tests.oracle.comparing import Compared, Quantity, compare, currents, drops, senses
from tests.oracle.random_networks import random_networks
from tests.oracle.spice import simulate

pytestmark = pytest.mark.oracle

NETWORKS = 20  # in one ngspice process
FIRST, MORE = 2024, range(2025, 2035)
SEEDS = [FIRST, *(pytest.param(seed, marks=pytest.mark.long) for seed in MORE)]


@pytest.fixture(scope="module", params=SEEDS)
def compared(request: pytest.FixtureRequest) -> Compared:
    return compare(random_networks(np.random.default_rng(request.param), NETWORKS))


@pytest.mark.parametrize("quantity", [drops, senses, currents])
def test_voltages_and_currents_agree(compared: Compared, quantity: Quantity) -> None:
    """Every part, sense and source, for the emf of each source."""
    compared.assert_close(quantity)


def test_noise_agrees(compared: Compared) -> None:
    """Thermal noise of all resistances together with the noise currents, at every sense."""
    compared.assert_noise_close()


def test_generator_makes_every_kind_of_part() -> None:
    """An oracle proves nothing about parts that never occur in what it is asked."""
    networks = random_networks(np.random.default_rng(FIRST), NETWORKS)
    assert {int(kind) for network in networks for kind in network.element_kind} == {0, 1, 2}
    assert {2, 12} <= {network.node_count for network in networks}
    assert sum(len(network.transformer_nodes) > 0 for network in networks) >= NETWORKS // 3
    assert sum(len(network.source_nodes) > 1 for network in networks) >= NETWORKS // 3
    assert sum(len(network.noise_nodes) > 0 for network in networks) >= NETWORKS // 3
    assert sum(bool((network.sense < 0).any()) for network in networks) >= NETWORKS // 3


def test_generator_repeats_itself() -> None:
    """The same seed gives the same networks, so that a failure can be found again."""
    first, again = (random_networks(np.random.default_rng(FIRST), 3) for _ in range(2))
    assert [network.key for network in first] == [network.key for network in again]


def test_ngspice_is_driven_right() -> None:
    """The oracle itself on a circuit that a pencil solves: 1 kohm and 2 kohm, then 1 nA/sqrt(Hz).

    Thevenin: 667 ohm, so the noise is 4kT times that at 20 degrees C, plus (667 nV)^2.
    """
    builder = NetworkBuilder()
    node = builder.node()
    builder.source(node, GROUND, 1000)
    builder.resistor(node, GROUND, 2000)
    builder.sense({node: -3})
    builder.noise_current(node, GROUND, 1e-9)
    (spiced,) = simulate([builder.build()])
    assert spiced.node_transfer[1, 0] == pytest.approx(2 / 3, rel=1e-6)
    assert spiced.transfer[0, 0] == pytest.approx(-2, rel=1e-6)
    assert spiced.source_current[0, 0] == pytest.approx(1 / 3000, rel=1e-6)
    noise_v2 = 9 * (4 * 1.380649e-23 * 293.15 * 2000 / 3 + (1e-9 * 2000 / 3) ** 2)
    assert spiced.noise_v2_per_hz[0] == pytest.approx(noise_v2, rel=1e-5)


def test_floating_secondary_agrees_in_its_difference() -> None:
    """Nothing ties this winding to the reference: its difference is as exact as any voltage."""
    builder = NetworkBuilder()
    primary, plus, minus = builder.node(), builder.node(), builder.node()
    builder.source(primary, GROUND, 150)
    figures = Transformer(
        turns_ratio=0.1, magnetising_h=8, leakage_h=2e-3, primary_ohm=40, secondary_ohm=900
    )
    builder.transformer((primary, GROUND), (plus, minus), figures)
    builder.resistor(plus, minus, 150e3)
    builder.capacitor(plus, minus, 220e-12)
    builder.sense({plus: 1, minus: -1})
    compared = compare([builder.build()])
    compared.assert_close(senses)
    compared.assert_noise_close()
