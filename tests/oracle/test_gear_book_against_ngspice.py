"""Rigs of the gear book against ngspice: what templates, cables and boxes draw."""

from __future__ import annotations

import numpy as np
import pytest

from levelhead.gear.book import load_book
from tests.oracle.comparing import Compared, Quantity, compare, currents, senses
from tests.oracle.gear_book_rigs import random_rig_networks

pytestmark = pytest.mark.oracle

NETWORKS = 20  # in one ngspice process
FIRST, MORE = 61938, range(61939, 61949)
# Crosstalk through a box that only picofarads tie to the reference: both programs round there.
FAR_BELOW = 1e-7  # V per V: 140 dB down
SEEDS = [FIRST, *(pytest.param(seed, marks=pytest.mark.long) for seed in MORE)]


@pytest.fixture(scope="module", params=SEEDS)
def compared(request: pytest.FixtureRequest) -> Compared:
    rng = np.random.default_rng(request.param)
    return compare(list(random_rig_networks(load_book(), rng, NETWORKS)))


@pytest.mark.parametrize("quantity", [senses, currents])
def test_voltages_and_currents_agree(compared: Compared, quantity: Quantity) -> None:
    """Every port and every output, for each emf, within 0.01 dB."""
    compared.assert_close(quantity, rounding=FAR_BELOW)


def test_noise_agrees(compared: Compared) -> None:
    """Thermal noise at every port within 0.05 dB."""
    compared.assert_noise_close()


def test_rigs_are_of_many_kinds() -> None:
    """An oracle proves nothing about gear that never occurs in what it is asked."""
    networks = list(random_rig_networks(load_book(), np.random.default_rng(FIRST), 40))
    assert len({network.key for network in networks}) >= 30
    assert sum(len(network.transformer_nodes) > 0 for network in networks) >= 4
