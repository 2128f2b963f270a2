"""What an island does to the signals that cross it: one passage from each output to each sense.

Figures of an output that hang on what is plugged to it (its current, the swing of its legs), and
what cores of transformers let pass, stand here too: they are read off the solved island once and
kept as long as it stays.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.circuit.drawn.islands import Island
from levelhead.circuit.limits.cores import (
    MIDDLE_HZ,
    Core,
    comes_by_core,
    cores_of,
    sine_emf_v,
    without_core,
)
from levelhead.circuit.limits.currents import Driver, columns_of, drive_weights
from levelhead.circuit.limits.swing import swing_v_per_v
from levelhead.circuit.solving.solve import solve_networks
from levelhead.circuit.solving.solved import Solved
from levelhead.gear.figures import Figure
from levelhead.quantity.bands import BANDS, ONE_KHZ_BAND

__all__ = ["CorePassage", "PassageColumns", "Passages", "passages_of"]

Real = NDArray[np.float64]
Complex = NDArray[np.complex128]

_ROUNDING: Final = 1e-12  # 240 dB down: no insulation is as good, a solve is as rough


@dataclass(frozen=True, slots=True, eq=False)
class CorePassage:
    """What the core of a transformer lets pass.

    Attributes
    ----------
    figure
        The ceiling of the transformer.
    emf_v : float, (drivers, bands)
        Largest sine of each output's signal that it still bears. [V rms]
    is_behind : bool, (senses, drivers)
        Whether the signal comes there by this core.
    """

    figure: Figure
    emf_v: Real
    is_behind: NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class Passages:
    """Gains through one island, and what limits its outputs.

    Attributes
    ----------
    senses, drivers
        Addresses of what is sensed, outputs that drive.
    gain : complex, (senses, drivers, bands)
        Volts at the sense for one volt of the output's signal.
    leg_a_per_v : for each driver float, (legs, drivers, bands)
        Rms current of its legs, for 1 V of each output's signal. [A/V]
    current_a_per_v : float, (drivers, bands)
        Largest current of any leg, for 1 V of the output's own signal. [A/V]
    swing_v_per_v : float, (drivers,)
        Largest swing of an end of the output, for 1 V of its signal.
    cores
        Transformers whose core has a limit.
    """

    senses: tuple[str, ...]
    drivers: tuple[Driver, ...]
    gain: Complex
    leg_a_per_v: tuple[Real, ...]
    current_a_per_v: Real
    swing_v_per_v: Real
    cores: tuple[CorePassage, ...]

    def __repr__(self) -> str:
        return f"Passages({len(self.senses)} senses, {len(self.drivers)} drivers)"


@dataclass(frozen=True, slots=True, eq=False)
class PassageColumns:
    """All passages as rows, island by island, sense by sense: (rows, bands) or (rows,)."""

    gain: Complex
    current_a_per_v: Real
    swing_v_per_v: Real

    def __repr__(self) -> str:
        return f"PassageColumns({len(self.gain)} gains)"

    @classmethod
    def of(cls, passages: Sequence[Passages]) -> PassageColumns:
        """Rows of all islands."""
        nothing = np.zeros((0, BANDS), dtype=np.complex128)
        again = [each for each in passages for _ in each.senses]
        return cls(
            np.concatenate([nothing, *(each.gain.reshape(-1, BANDS) for each in passages)]),
            np.concatenate([np.zeros((0, BANDS)), *(each.current_a_per_v for each in again)]),
            np.concatenate([np.zeros(0), *(each.swing_v_per_v for each in again)]),
        )


def passages_of(islands: Sequence[Island], solved: Sequence[Solved]) -> tuple[Passages, ...]:
    """Passages of solved islands."""
    cores = [cores_of(island) for island in islands]
    pairs = zip(solved, cores, strict=True)
    bare = [without_core(each.network, core) for each, found in pairs for core in found]
    without = iter(solve_networks(bare, np.array([MIDDLE_HZ])))
    return tuple(
        _passages(island, each, [(core, next(without)) for core in found])
        for island, each, found in zip(islands, solved, cores, strict=True)
    )


def _passages(island: Island, solved: Solved, cores: Sequence[tuple[Core, Solved]]) -> Passages:
    columns = columns_of(island)
    weights = np.array([drive_weights(island, driver) for driver in columns])
    weights = weights.reshape(len(columns), len(island.drives))
    of_all_legs = np.abs(_of_signals(solved.source_current, weights))
    leg_a_per_v = tuple(of_all_legs[legs] for legs in columns.values())
    return Passages(
        senses=island.sense_addresses,
        drivers=tuple(columns),
        gain=_what_passes(_of_signals(solved.transfer, weights)),
        leg_a_per_v=leg_a_per_v,
        current_a_per_v=_own_currents(leg_a_per_v),
        swing_v_per_v=np.array([swing_v_per_v(island, solved, *each) for each in columns]),
        cores=tuple(_core_passage(island, solved, core, bare, weights) for core, bare in cores),
    )


def _what_passes(gain: Complex) -> Complex:
    """Gains without those of rounding alone, which would be ways, and close loops."""
    passes = np.abs(gain).max(axis=-1, keepdims=True, initial=0.0) >= _ROUNDING
    return np.where(passes, gain, 0.0)


def _own_currents(leg_a_per_v: Sequence[Real]) -> Real:
    """Largest rms current of any leg for 1 V of an output's own signal, (drivers, bands)."""
    most = [current[:, driver].max(axis=0) for driver, current in enumerate(leg_a_per_v)]
    return np.array(most).reshape(-1, BANDS)


def _of_signals(of_sources: Complex, weights: Real) -> Complex:
    """For 1 V of each signal, of what there is for 1 V of each source: (rows, drivers, bands)."""
    found: Complex = np.einsum("rsb,ds->rdb", of_sources, weights)
    return found


def _core_passage(
    island: Island, solved: Solved, core: Core, bare: Solved, weights: Real
) -> CorePassage:
    whole = _of_signals(solved.transfer[..., [ONE_KHZ_BAND]], weights)
    emfs = [sine_emf_v(island, solved, core, each) for each in weights]
    return CorePassage(
        core.ceiling,
        np.array(emfs).reshape(len(weights), BANDS),
        comes_by_core(whole, _of_signals(bare.transfer, weights))[..., 0],
    )
