"""How far the driven ends of a floating output swing: its amplifiers run out one by one."""

from __future__ import annotations

import numpy as np

from levelhead.circuit.drawn.islands import Island
from levelhead.circuit.network import GROUND
from levelhead.circuit.solving.solved import Solved

__all__ = ["swing_v_per_v"]


def swing_v_per_v(island: Island, solved: Solved, port: str, signal: str | None) -> float:
    """Largest voltage of an end of an output's emf against its 0 V, for 1 V of its signal.

    Half into a balanced load, where each end makes half of the signal; one where the other end is
    held. Nothing for outputs whose ends are not limited one by one.

    References
    ----------
    D. Self, Small Signal Audio Design, on electronically balanced outputs: with one leg grounded
    the level stays and 6 dB of headroom go.
    """
    numbers = island.numbers
    most = 0.0
    for column, drive in enumerate(island.drives):
        if (drive.port, drive.signal) == (port, signal) and drive.zero is not None:
            at = solved.node_transfer[:, column]
            zero = at[numbers[drive.zero]] if drive.zero != GROUND else 0.0
            ends = (at[numbers[drive.plus]] - zero, at[numbers[drive.minus]] - zero)
            most = max(most, *(abs(drive.weight) * float(np.abs(end).max()) for end in ends))
    return most
