"""A solved network: transfers, noise, currents, and what each figure does to a transfer.

Sensitivities follow from the adjoint: the voltage that each part has, times what a current into it
does at the sense.

References
----------
.. [1] L. O. Chua, P.-M. Lin, Computer-Aided Analysis of Electronic Circuits, Prentice-Hall 1975:
   nodal analysis, coupled inductors, the adjoint network.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from levelhead.circuit.network import Kind, Network
from levelhead.circuit.solving.stack import by_kind
from levelhead.circuit.solving.windings import winding_admittance_s, winding_impedance_changes_ohm

__all__ = ["Reach", "Solved"]

Complex = NDArray[np.complex128]
Real = NDArray[np.float64]


@dataclass(slots=True, eq=False)
class Reach:
    """Voltage at a sense per current into a node: kept, or solved for when somebody asks."""

    solve: Callable[[], Complex]
    known: Complex | None = None

    def __repr__(self) -> str:
        return f"Reach({'let go' if self.known is None else 'kept'})"

    def ohm(self) -> Complex:
        """(senses, node_count, bands). [ohm]"""
        if self.known is None:
            self.known = self.solve()
        return self.known


@dataclass(frozen=True, slots=True, eq=False)
class Solved:
    """A solved network; all arrays are read-only, and shared by networks of equal content.

    Attributes
    ----------
    network, hz
        What was solved, and the frequencies ("bands"). [Hz]
    transfer : complex, (senses, sources, bands)
        Voltage at a sense per emf of a source. [V/V]
    noise_v2_per_hz : float, (senses, bands)
        Density of the thermal noise of every resistance (elements, sources, windings) and of the
        noise currents. [V^2/Hz]
    source_current : complex, (sources i, sources j, bands)
        Current leaving the plus end of source i per emf of source j. [A/V]
    node_transfer : complex, (node_count, sources, bands)
        Node voltage per emf of a source. [V/V]
    reach
        What ``transfer_ohm`` comes from.
    refined
        Bands whose ``transfer`` and noise are means of their 1/24 octaves (``refine``).
    """

    network: Network
    hz: Real
    transfer: Complex
    noise_v2_per_hz: Real
    source_current: Complex
    node_transfer: Complex
    reach: Reach
    refined: tuple[int, ...] = ()

    def __repr__(self) -> str:
        return f"Solved({len(self.transfer)} senses, {len(self.hz)} bands)"

    @property
    def transfer_ohm(self) -> Complex:
        """Voltage at a sense per current into a node (and out of the reference). [ohm]

        (senses, node_count, bands)
        """
        return self.reach.ohm()

    @property
    def nbytes(self) -> int:
        """Bytes of all its arrays, as far as they are kept."""
        reach = 0 if self.reach.known is None else self.reach.known.nbytes
        return (
            self.transfer.nbytes
            + self.noise_v2_per_hz.nbytes
            + self.source_current.nbytes
            + self.node_transfer.nbytes
            + reach
        )

    def element_change(self, sense: int, source: int) -> Complex:
        """Change of a transfer with the logarithm of each element's value. [V/V]

        Returns
        -------
        complex, (elements, bands)
            ``dT / d ln(value)``: times 0.05 it is what 5 % more ohm, F or H does, to first order.
        """
        ends = self.network.element_nodes
        drop = _across(self.node_transfer[:, source], ends)
        reach = _across(self.transfer_ohm[sense], ends)
        # dT = -w dy v, and y falls with more ohm or H, rises with more F
        sign = np.where(self.network.element_kind == Kind.CAPACITOR, -1.0, 1.0)
        return sign[:, None] * self._element_admittance_s() * drop * reach

    def source_ohm_change(self, sense: int, source: int) -> Complex:
        """As ``element_change``, for the resistances of the sources; (sources, bands). [V/V]"""
        reach = _across(self.transfer_ohm[sense], self.network.source_nodes)
        return -reach * self.source_current[:, source]

    def transformer_change(self, sense: int, source: int) -> Complex:
        """As ``element_change``, for the five figures; (transformers, 5, bands). [V/V]"""
        nodes, figures = self.network.transformer_nodes, self.network.transformer_value
        admittance_s = winding_admittance_s(figures, self.hz)
        change_ohm = winding_impedance_changes_ohm(figures, self.hz)
        ports = nodes.reshape(-1, 2, 2)
        drop = _across(self.node_transfer[:, source], ports)  # (transformers, 2, bands)
        reach = _across(self.transfer_ohm[sense], ports)
        # dT = -w dY v with dY = -Y dZ Y
        through_a = np.einsum("tbij,tjb->tib", admittance_s, drop)
        through_ohm = np.einsum("tbij,tjb->tib", admittance_s, reach)
        change: Complex = np.einsum("tib,tfbij,tjb->tfb", through_ohm, change_ohm, through_a)
        return change

    def element_sensitivity(self, sense: int, source: int) -> Complex:
        """Relative change of a transfer with the relative change of each element's value.

        Returns
        -------
        complex, (elements, bands)
            ``d ln(T) / d ln(value)``; where nothing gets through there is nothing to relate to, and
            the value is not finite. ``element_change`` has no such gap.
        """
        with np.errstate(divide="ignore", invalid="ignore"):
            relative: Complex = self.element_change(sense, source) / self.transfer[sense, source]
        return relative

    def _element_admittance_s(self) -> Complex:
        """Admittance of each element; (elements, bands). [S]"""
        conductance_s, capacitance_f, inverse_h = by_kind(
            self.network.element_kind, self.network.element_value
        )
        omega = 2 * np.pi * self.hz
        susceptance_s = np.outer(capacitance_f, omega) - np.outer(inverse_h, 1 / omega)
        return conductance_s[:, None] + 1j * susceptance_s


def _across(nodes: Complex, ends: NDArray[np.int32]) -> Complex:
    """Difference of (nodes, bands) values between pairs of nodes (..., 2); (..., bands)."""
    return nodes[ends[..., 0]] - nodes[ends[..., 1]]
