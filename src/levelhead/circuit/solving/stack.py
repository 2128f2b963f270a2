"""Networks of like size as padded arrays, so that one call can solve them all."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple, TypeVar

import numpy as np
from numpy.typing import NDArray

from levelhead.circuit.network import Kind, Network

Real = NDArray[np.float64]
_Number = TypeVar("_Number", bound=np.generic)

ELEMENT_STEP: Final = 8


class Size(NamedTuple):
    """What networks that are stacked have in common.

    It follows from one network alone, so that its voltages are the same to the last bit whatever is
    solved beside it.
    """

    nodes: int
    elements: int
    sources: int
    transformers: int
    senses: int
    noises: int


def size_of(network: Network) -> Size:
    """Elements rounded up in steps, all else as it is: a node too many costs more than a call."""
    return Size(
        max(2, network.node_count),
        math.ceil(len(network.element_value) / ELEMENT_STEP) * ELEMENT_STEP,
        len(network.source_ohm),
        len(network.transformer_value),
        len(network.sense),
        len(network.noise_a_per_rthz),
    )


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
        """Pad the arrays of networks to the size that they have in common."""
        size = size_of(networks[0])
        nodes = size.nodes
        unit: Real = np.eye(nodes)[:, 1:]  # row of a node; the reference has none

        def incidence(name: str) -> Real:
            count = size.elements if name == "element_nodes" else None
            ends = _padded([getattr(network, name) for network in networks], fill=0, count=count)
            rows: Real = unit[ends[..., 0]] - unit[ends[..., 1]]
            return rows

        def figures(name: str) -> Real:
            count = size.elements if name == "element_value" else None
            return _padded([getattr(network, name) for network in networks], fill=1.0, count=count)

        kinds = [network.element_kind for network in networks]
        windings = _padded([network.transformer_nodes for network in networks], fill=0)
        return cls(
            networks,
            *by_kind(
                _padded(kinds, fill=Kind.RESISTOR, count=size.elements), figures("element_value")
            ),
            elements=incidence("element_nodes"),
            source_s=1 / figures("source_ohm"),
            sources=incidence("source_nodes"),
            figures=figures("transformer_value"),
            windings=unit[windings[..., ::2]] - unit[windings[..., 1::2]],
            noise_a2_per_hz=figures("noise_a_per_rthz") ** 2,
            noises=incidence("noise_nodes"),
            senses=_senses(networks, size),
        )


def _senses(networks: Sequence[Network], size: Size) -> Real:
    """Weights of senses without the reference; (networks, senses, nodes)."""
    weights = np.zeros((len(networks), size.senses, size.nodes - 1))
    for row, network in enumerate(networks):
        weights[row, :, : network.node_count - 1] = network.sense[:, 1:]
    return weights


def by_kind(kind: NDArray[np.int8], value: Real) -> tuple[Real, Real, Real]:
    """Conductance [S], capacitance [F] and inverse inductance [1/H], zero where not of the kind."""
    return (
        np.where(kind == Kind.RESISTOR, 1 / value, 0.0),
        np.where(kind == Kind.CAPACITOR, value, 0.0),
        np.where(kind == Kind.INDUCTOR, 1 / value, 0.0),
    )


def _padded(
    rows: Sequence[NDArray[_Number]], fill: float, count: int | None = None
) -> NDArray[_Number]:
    """Stack arrays along a new first axis, filled up to ``count`` or the longest."""
    counts = np.array([len(row) for row in rows])
    longest = int(counts.max()) if count is None else count
    stacked = np.full((len(rows), longest, *rows[0].shape[1:]), fill, dtype=rows[0].dtype)
    stacked[np.arange(longest) < counts[:, None]] = np.concatenate(rows)
    return stacked
