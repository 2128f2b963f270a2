"""Cores of transformers: they bear so many volt-seconds, whatever the volts.

A core is full when its flux is, and flux is the time integral of the volts at the winding: at half
the frequency half of the volts fill it. Of a signal in many bands the fluxes add as powers, the sum
of ``(V / f)^2``, so that a core which takes a voice may clip a bass of the same level.

References
----------
.. [1] B. Whitlock, "Audio Transformers", Handbook for Sound Engineers (ed. G. Ballou): the largest
   level of a transformer is stated at 20 Hz and rises by 6 dB an octave.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.circuit.drawn.islands import Island
from levelhead.circuit.network import Network, Transformer
from levelhead.circuit.solving.solve import solve_networks
from levelhead.circuit.solving.solved import Solved
from levelhead.circuit.solving.windings import winding_admittance_s
from levelhead.gear.figures import Figure

__all__ = [
    "MIDDLE_HZ",
    "Core",
    "bears_vs",
    "comes_by_core",
    "core_v_per_v",
    "cores_of",
    "is_behind",
    "sine_emf_v",
    "without_core",
]

_STATED_HZ: Final = 20.0  # at which a core's ceiling is stated
MIDDLE_HZ: Final = 1000.0
_COUPLED_SHARE: Final = 0.1  # of a transfer that is left without the core: then it came by it

Complex = NDArray[np.complex128]
Real = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Core:
    """A transformer of an island whose core has a limit; ``winding`` counts those of the island."""

    winding: int
    ceiling: Figure


def cores_of(island: Island) -> list[Core]:
    """Transformers of an island that have a ceiling."""
    return [
        Core(number, winding.spread["ceiling"])
        for number, winding in enumerate(island.windings)
        if "ceiling" in winding.spread
    ]


def bears_vs(figures: Transformer, ceiling_v: float) -> float:
    """Volt-seconds (rms of a sine) that a core bears, of its ceiling across the primary at 20 Hz.

    The wire and the leakage take their share of the volts before they reach the core.

    >>> winding = Transformer(
    ...     turns_ratio=10, magnetising_h=1e3, leakage_h=0.0, primary_ohm=1.0, secondary_ohm=1.0
    ... )
    >>> round(bears_vs(winding, 1.0) * 2 * 3.14159 * 20, 4)
    1.0
    """
    omega = 2 * np.pi * _STATED_HZ
    magnetising_ohm = 1j * omega * figures.magnetising_h
    series_ohm = figures.primary_ohm + 1j * omega * figures.leakage_h
    return float(ceiling_v * abs(magnetising_ohm / (magnetising_ohm + series_ohm)) / omega)


def core_v_per_v(solved: Solved, winding: int, weights: Real) -> Complex:
    """Volts at the core (those that make its flux) for 1 V of a signal; (bands,).

    Parameters
    ----------
    weights : float, (sources,)
        How much of the signal each source of the network makes.
    """
    nodes = solved.network.transformer_nodes[winding].reshape(2, 2)
    figures = solved.network.transformer_value[winding : winding + 1]
    at = np.einsum("nsb,s->nb", solved.node_transfer, weights)
    ports_v = at[nodes[:, 0]] - at[nodes[:, 1]]
    admittance_s = winding_admittance_s(figures, solved.hz)[0]
    primary_a = np.einsum("bj,jb->b", admittance_s[:, 0], ports_v)
    _, _, leakage_h, primary_ohm, _ = figures[0]
    drop: Complex = ports_v[0] - (primary_ohm + 2j * np.pi * solved.hz * leakage_h) * primary_a
    return drop


def sine_emf_v(island: Island, solved: Solved, core: Core, weights: Real) -> Real:
    """Largest sine of a signal, in each band, whose flux the core still bears; (bands,). [V rms]"""
    volts = np.abs(core_v_per_v(solved, core.winding, weights))
    limit_vs = bears_vs(island.windings[core.winding].figures, core.ceiling.value)
    with np.errstate(divide="ignore"):
        emf_v: Real = 2 * np.pi * solved.hz * limit_vs / volts
    return emf_v


def is_behind(network: Network, core: Core, weights: Real, senses: Sequence[int]) -> list[bool]:
    """Whether the signal comes to each sense by this core: without it next to nothing is left."""
    both = solve_networks([network, without_core(network, core)], np.array([MIDDLE_HZ]))
    whole, bare = (np.einsum("msb,s->mb", solved.transfer, weights)[:, 0] for solved in both)
    behind = comes_by_core(whole, bare)
    return [bool(behind[sense]) for sense in senses]


def without_core(network: Network, core: Core) -> Network:
    """A network without one of its transformers."""
    return replace(
        network,
        transformer_nodes=np.delete(network.transformer_nodes, core.winding, axis=0),
        transformer_value=np.delete(network.transformer_value, core.winding, axis=0),
    )


def comes_by_core(whole: Complex, bare: Complex) -> NDArray[np.bool_]:
    """Whether a transfer came by a core: next to nothing of it is left ``bare``, without it."""
    is_behind: NDArray[np.bool_] = np.abs(bare) < _COUPLED_SHARE * np.abs(whole)
    return is_behind
