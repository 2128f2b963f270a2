"""The same networks by our solver and by ngspice, side by side."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from levelhead.circuit.network import Network
from levelhead.circuit.solving.solve import solve_networks
from levelhead.circuit.solving.solved import Solved
from tests.oracle.spice import BANDS_HZ, Spiced, simulate

VOLTAGE_SHARE = 10 ** (0.01 / 20) - 1  # 0.01 dB
NOISE_SHARE = 10 ** (0.05 / 10) - 1  # 0.05 dB, of a power
# Where a part hangs on the reference by picofarads, ngspice rounds its common voltage to 1e-8 V
# per V. (Elimination in 80-bit numbers says so; ours is off by less than 1e-10 there.)
ROUNDING = 3e-8  # V per V, A per V
NOISE_ROUNDING_V2_PER_HZ = 1e-30

Quantity = Callable[[Solved | Spiced, Network], NDArray[np.complex128]]


@dataclass(frozen=True)
class Compared:
    """The same networks by both programs."""

    networks: Sequence[Network]
    ours: Sequence[Solved]
    theirs: Sequence[Spiced]

    def assert_close(self, quantity: Quantity, *, rounding: float = ROUNDING) -> None:
        """Complex values agree, in size and phase, for every network and band."""
        for number, (network, ours, theirs) in enumerate(
            zip(self.networks, self.ours, self.theirs, strict=True)
        ):
            np.testing.assert_allclose(
                quantity(ours, network),
                quantity(theirs, network),
                rtol=VOLTAGE_SHARE,
                atol=rounding,
                err_msg=f"network {number}",
            )

    def assert_noise_close(self) -> None:
        """Noise densities agree for every network and band."""
        for number, (ours, theirs) in enumerate(zip(self.ours, self.theirs, strict=True)):
            np.testing.assert_allclose(
                ours.noise_v2_per_hz,
                theirs.noise_v2_per_hz,
                rtol=NOISE_SHARE,
                atol=NOISE_ROUNDING_V2_PER_HZ,
                err_msg=f"network {number}",
            )


def compare(networks: Sequence[Network]) -> Compared:
    """Solve the networks in both programs."""
    return Compared(networks, solve_networks(networks, BANDS_HZ), simulate(networks))


def drops(solution: Solved | Spiced, network: Network) -> NDArray[np.complex128]:
    """Voltage across every element, winding and source.

    With those of all leaks to the reference this is every node voltage, but for the common voltage
    of a part that nothing ties to the reference: there both programs print rounding.
    """
    pairs = (network.element_nodes, network.transformer_nodes.reshape(-1, 2), network.source_nodes)
    plus, minus = np.concatenate(pairs).T
    across: NDArray[np.complex128] = solution.node_transfer[plus] - solution.node_transfer[minus]
    return across


def senses(solution: Solved | Spiced, _: Network) -> NDArray[np.complex128]:
    """Voltage at every sense."""
    return solution.transfer


def currents(solution: Solved | Spiced, _: Network) -> NDArray[np.complex128]:
    """Current out of every source."""
    return solution.source_current
