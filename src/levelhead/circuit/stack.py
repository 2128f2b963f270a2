"""Networks of like size as padded arrays, so that one call can solve them all."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from levelhead.circuit.network import Kind, Network

Real = NDArray[np.float64]
_Number = TypeVar("_Number", bound=np.generic)


@dataclass(frozen=True, slots=True, eq=False)
class Stack:
    """Networks of like size as padded arrays.

    An incidence is +1 at the first node of a part, -1 at the second; node 0 is left out. Padding is
    parts without nodes and nodes without parts.
    """

    networks: Sequence[Network]
    conductance_s: Real  # (networks, elements)
    capacitance_f: Real
    inverse_h: Real
    elements: Real  # (networks, elements, nodes) incidence
    source_s: Real  # (networks, sources)
    sources: Real  # (networks, sources, nodes) incidence
    figures: Real  # (networks, transformers, 5)
    windings: Real  # (networks, transformers, 2, nodes) incidence
    noise_a2_per_hz: Real  # (networks, noise currents)
    noises: Real  # (networks, noise currents, nodes) incidence
    senses: Real  # (networks, senses, nodes) weights

    @classmethod
    def of(cls, networks: Sequence[Network]) -> Stack:
        """Pad the arrays of networks to their longest."""
        nodes = max(2, *(network.node_count for network in networks))
        unit: Real = np.eye(nodes)[:, 1:]  # row of a node; the reference has none

        def incidence(name: str) -> Real:
            ends = _padded([getattr(network, name) for network in networks], fill=0)
            rows: Real = unit[ends[..., 0]] - unit[ends[..., 1]]
            return rows

        def figures(name: str) -> Real:
            return _padded([getattr(network, name) for network in networks], fill=1.0)

        kinds = _padded([network.element_kind for network in networks], fill=Kind.RESISTOR)
        windings = _padded([network.transformer_nodes for network in networks], fill=0)
        senses = [np.pad(n.sense[:, 1:], ((0, 0), (0, nodes - n.node_count))) for n in networks]
        return cls(
            networks,
            *by_kind(kinds, figures("element_value")),
            elements=incidence("element_nodes"),
            source_s=1 / figures("source_ohm"),
            sources=incidence("source_nodes"),
            figures=figures("transformer_value"),
            windings=unit[windings[..., ::2]] - unit[windings[..., 1::2]],
            noise_a2_per_hz=figures("noise_a_per_rthz") ** 2,
            noises=incidence("noise_nodes"),
            senses=_padded(senses, fill=0.0),
        )


def by_kind(kind: NDArray[np.int8], value: Real) -> tuple[Real, Real, Real]:
    """Conductance [S], capacitance [F] and inverse inductance [1/H], zero where not of the kind."""
    return (
        np.where(kind == Kind.RESISTOR, 1 / value, 0.0),
        np.where(kind == Kind.CAPACITOR, value, 0.0),
        np.where(kind == Kind.INDUCTOR, 1 / value, 0.0),
    )


def _padded(rows: Sequence[NDArray[_Number]], fill: float) -> NDArray[_Number]:
    """Stack arrays of unlike length along a new first axis."""
    counts = np.array([len(row) for row in rows])
    longest = int(counts.max())
    stacked = np.full((len(rows), longest, *rows[0].shape[1:]), fill, dtype=rows[0].dtype)
    stacked[np.arange(longest) < counts[:, None]] = np.concatenate(rows)
    return stacked
