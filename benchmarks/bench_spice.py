"""The networks of a whole show in ngspice, an independent simulator: same bands, same noise.

ngspice gets its networks in decks of a few, which suits it best: a noise run solves a whole deck
for one output. It is timed as it is used, starting, reading its deck and writing its answer.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from benchmarks.bench_show import book_of, show_of
from benchmarks.harness import Call, benchmark
from levelhead.circuit.network import Network
from levelhead.circuit.placed.assembly import assemble
from levelhead.circuit.solving.solve import solve_networks
from levelhead.quantity.bands import mid_hz
from levelhead.rig.build import build_rig
from tests.oracle.spice import simulate

GROUP: Final = "all networks of 128 channels"
SHOW: Final = "128 different"
DECK: Final = 8  # networks in one process: fewer or more are slower


def networks_of(name: str) -> list[Network]:
    """Every network of a show."""
    return [island.network() for island in assemble(build_rig(show_of(name), book_of(name)))]


@benchmark(group=GROUP, name="solved here", runs=5)
def solved_here() -> Call:
    """Voltages, currents, noise and adjoint of every network in 31 bands."""
    networks = networks_of(SHOW)
    return lambda: solve_networks(networks, mid_hz())


@benchmark(group=GROUP, name="drawn and solved here", runs=5)
def drawn_here() -> Call:
    """The same from the rig on, as ngspice reads its decks."""
    rig = build_rig(show_of(SHOW), book_of(SHOW))

    def call() -> object:
        return solve_networks([island.network() for island in assemble(rig)], mid_hz())

    return call


@benchmark(group=GROUP, name="in ngspice", runs=3, goal_ratio=50)
def in_ngspice() -> Call:
    """The same networks, bands and outputs; the first deck is looked at, that they are the same."""
    networks = networks_of(SHOW)
    decks = [networks[start : start + DECK] for start in range(0, len(networks), DECK)]
    for theirs, ours in zip(simulate(decks[0]), solve_networks(decks[0], mid_hz()), strict=True):
        np.testing.assert_allclose(theirs.transfer, ours.transfer, rtol=1e-4, atol=1e-9)
    return lambda: [simulate(deck) for deck in decks]
