"""Random networks and small ones, solved one by one; what rounding may do to the answers."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from hypothesis import strategies as st
from numpy.typing import NDArray

from levelhead.circuit.network import GROUND, Network, NetworkBuilder
from levelhead.circuit.solving.solve import solve_networks
from levelhead.circuit.solving.solved import Solved
from tests.oracle.random_networks import (
    WILD,
    Ranges,
    random_network,
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
