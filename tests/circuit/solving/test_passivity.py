"""Whatever of the gear book is plugged together gives no power away, and is alike both ways."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from levelhead.circuit.network import Network
from levelhead.circuit.solving.solve import solve_networks
from levelhead.circuit.solving.solved import Solved
from levelhead.gear.book import load_book
from levelhead.quantity.bands import mid_hz
from tests.oracle.gear_book_rigs import random_rig_networks

AT_ONCE = 6
ROUNDING = 1e-9  # of the largest admittance of a network
LAST_BITS = 16 * np.finfo(np.float64).eps


def admittances_s(solved: Solved) -> np.ndarray:
    """Currents of all sources per emf of each, (bands, sources, sources)."""
    return np.moveaxis(solved.source_current, -1, 0)


def off_by_s(solved: Solved) -> float:
    """What rounding may do to an admittance.

    A source's current is its emf less its own voltage, over its resistance: of an output that next
    to nothing hangs on, the last bits of the difference are left.
    """
    both = np.abs(admittances_s(solved)).max()
    return max(ROUNDING * both, LAST_BITS / solved.network.source_ohm.min(initial=np.inf))


def drawn(seed: int) -> list[Network]:
    """Rigs of the gear book: cabinets, lines, boxes, pickups."""
    return list(random_rig_networks(load_book(), np.random.default_rng(seed), AT_ONCE))


@given(seed=st.integers(0, 2**32 - 1))
@settings(max_examples=15, deadline=None)
def test_a_network_never_gives_power_away(seed: int) -> None:
    """For any emfs together: the Hermitian part of their admittances has no negative eigenvalue."""
    for solved in solve_networks(drawn(seed), mid_hz()):
        both = admittances_s(solved)
        hermitian = (both + np.conj(np.swapaxes(both, 1, 2))) / 2
        least = np.linalg.eigvalsh(hermitian).min()
        assert least >= -off_by_s(solved)


@given(seed=st.integers(0, 2**32 - 1))
@settings(max_examples=15, deadline=None)
def test_a_network_is_the_same_both_ways(seed: int) -> None:
    """An emf at one output drives the current in another that the other would drive in it."""
    for solved in solve_networks(drawn(seed), mid_hz()):
        both = admittances_s(solved)
        assert both == pytest.approx(np.swapaxes(both, 1, 2), rel=1e-6, abs=off_by_s(solved))
