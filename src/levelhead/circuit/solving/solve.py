"""Voltages, currents and thermal noise of passive networks, many at once.

Nodal analysis: each source is its Norton equivalent, each transformer the admittance of two coupled
windings, so the unknowns are node voltages only and the matrix is symmetric. Networks of one size
are stacked, padded with parts that touch nothing, and solved by one batched LAPACK call. The same
factors also serve the adjoint: what a current into any node does to each sense.

References
----------
.. [1] L. O. Chua, P.-M. Lin, Computer-Aided Analysis of Electronic Circuits, Prentice-Hall 1975:
   nodal analysis, coupled inductors, the adjoint network.
.. [2] R. Rohrer, L. Nagel, R. Meyer, L. Weber, "Computationally efficient electronic-circuit noise
   calculations", IEEE J. Solid-State Circuits SC-6 (1971): noise of all sources by one adjoint.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from typing import Final, TypeVar

import numpy as np
from numpy.typing import NDArray

from levelhead.circuit.network import Network
from levelhead.circuit.solving.solved import Reach, Solved
from levelhead.circuit.solving.stack import Size, Stack, size_of
from levelhead.circuit.solving.windings import winding_admittance_s
from levelhead.errors import SolveError
from levelhead.quantity.noise import BOLTZMANN_J_PER_K, ROOM_K

__all__ = ["GMIN_S", "GMIN_SHARE", "STACK_ENTRIES", "solve_networks", "transfers"]

# A leak from every node to the reference, without noise, so that nothing floats. Beside a node of
# very low impedance it would drown in rounding: there it is a fixed share of what the node has.
GMIN_S: Final = 1e-12
GMIN_SHARE: Final = 2.0**-48

_REACH_BYTES: Final = 2**18  # of the adjoint of one network: more is kept where it is asked for
STACK_ENTRIES: Final = 2**20  # matrix entries solved in one call: 16 MiB

Complex = NDArray[np.complex128]
Real = NDArray[np.float64]
_Number = TypeVar("_Number", bound=np.generic)


def solve_networks(
    networks: Sequence[Network],
    hz: Real,
    *,
    temperature_k: float = ROOM_K,
    keeps_reach: bool = False,
) -> list[Solved]:
    """Solve networks at the same frequencies.

    Parameters
    ----------
    networks : sequence of Network
        Equal content is solved once.
    hz : float, (bands,), > 0
        Frequencies. [Hz]
    temperature_k : float
        Of every resistance. [K]
    keeps_reach : bool
        Whether what the adjoint of a large network tells is sure to be asked for. Else it is let
        go, and solved for again, with the same bits, should somebody ask.

    Returns
    -------
    list of Solved
        In the order of the networks.

    Raises
    ------
    SolveError
        A frequency is not above zero, or a network has no single solution.

    Examples
    --------
    >>> import numpy as np
    >>> from levelhead.circuit.network import GROUND, NetworkBuilder
    >>> builder = NetworkBuilder()
    >>> hot = builder.node()
    >>> microphone = builder.source(hot, GROUND, 150)
    >>> load = builder.resistor(hot, GROUND, 1500)
    >>> preamp = builder.sense({hot: 1})
    >>> (solved,) = solve_networks([builder.build()], np.array([1000.0]))
    >>> round(float(abs(solved.transfer[preamp, microphone, 0])), 4)
    0.9091
    """
    frequencies = _checked_frequencies(hz)
    keys = [network.key for network in networks]
    unique = dict(zip(keys, networks, strict=True))
    solved: dict[bytes, Solved] = {}
    for stack_keys in _stacks(unique, bands=len(frequencies)):
        stack = [unique[key] for key in stack_keys]
        with np.errstate(over="ignore", invalid="ignore"):  # found and named by _solve_nodes
            results = _solve_stack(
                stack, frequencies, temperature_k=temperature_k, keeps_reach=keeps_reach
            )
        solved.update(zip(stack_keys, results, strict=True))
    return [solved[key] for key in keys]


def _solve_stack(
    networks: Sequence[Network], hz: Real, *, temperature_k: float, keeps_reach: bool
) -> list[Solved]:
    """Solve networks of like size in one call."""
    stack = Stack.of(networks)
    windings_s = _stacked_windings_s(stack.figures, hz)
    node_v, reach_ohm = _solve_nodes(stack, _nodal_admittance_s(stack, windings_s, hz))
    transfer = _applied(stack.senses, node_v)
    noise_v2 = _noise_v2_per_hz(stack, windings_s, reach_ohm, temperature_k=temperature_k)
    own_emf = np.eye(stack.sources.shape[1])[..., None]
    current_a = stack.source_s[..., None, None] * (own_emf - _applied(stack.sources, node_v))
    node_transfer = _with_reference(node_v)
    is_kept = keeps_reach or reach_ohm[0].nbytes <= _REACH_BYTES
    reaches = (
        _reaches(networks, hz, reach_ohm)
        if is_kept
        else [Reach(partial(_reach_again, network, hz)) for network in networks]
    )
    for array in (transfer, noise_v2, current_a, node_transfer):
        array.setflags(write=False)
    return [
        Solved(
            network=network,
            hz=hz,
            transfer=transfer[row, : len(network.sense), : len(network.source_ohm)],
            noise_v2_per_hz=noise_v2[row, : len(network.sense)],
            source_current=current_a[row, : len(network.source_ohm), : len(network.source_ohm)],
            node_transfer=node_transfer[row, : network.node_count, : len(network.source_ohm)],
            reach=reaches[row],
        )
        for row, network in enumerate(networks)
    ]


def _reaches(networks: Sequence[Network], hz: Real, reach_ohm: Complex) -> list[Reach]:
    """What is kept of the adjoint of each network of a stack."""
    transfer_ohm = np.swapaxes(_with_reference(reach_ohm), 1, 2)
    transfer_ohm.setflags(write=False)
    found = (
        transfer_ohm[row, : len(network.sense), : network.node_count]
        for row, network in enumerate(networks)
    )
    return [
        Reach(partial(_reach_again, network, hz), each) for each, network in zip(found, networks)
    ]


def _reach_again(network: Network, hz: Real) -> Complex:
    """The adjoint of a network that was solved before; (senses, node_count, bands). [ohm]"""
    stack = Stack.of([network])
    windings_s = _stacked_windings_s(stack.figures, hz)
    _, reach_ohm = _solve_nodes(stack, _nodal_admittance_s(stack, windings_s, hz))
    return _reaches([network], hz, reach_ohm)[0].ohm()


def transfers(stack: Stack, hz: Real) -> Complex:
    """Voltage at each sense per emf of each source, and nothing else of the networks of a stack.

    Returns
    -------
    complex, (networks, senses, sources, bands)
        [V/V]

    Raises
    ------
    SolveError
        A network has no single solution.
    """
    with np.errstate(over="ignore", invalid="ignore"):  # found and named by _solve_nodes
        windings_s = _stacked_windings_s(stack.figures, hz)
        node_v, _ = _solve_nodes(stack, _nodal_admittance_s(stack, windings_s, hz))
        return _applied(stack.senses, node_v)


def _nodal_admittance_s(stack: Stack, windings_s: Complex, hz: Real) -> Complex:
    """Nodal admittance matrices; (networks, bands, nodes, nodes). [S]"""
    omega = (2 * np.pi * hz)[:, None, None]
    conductance_s = _laplacian(stack.conductance_s, stack.elements)
    conductance_s += _laplacian(stack.source_s, stack.sources)
    capacitance_f = _laplacian(stack.capacitance_f, stack.elements)
    inverse_h = _laplacian(stack.inverse_h, stack.elements)
    shape = np.broadcast_shapes(conductance_s.shape, omega.shape)
    admittance_s = np.empty(shape, dtype=np.complex128)
    admittance_s.real = conductance_s
    np.multiply(omega, capacitance_f, out=admittance_s.imag)
    if inverse_h.any():
        admittance_s.imag -= inverse_h / omega
    for slot in range(windings_s.shape[1]):
        ports = stack.windings[:, None, slot]
        admittance_s += np.swapaxes(ports, 2, 3) @ windings_s[:, slot] @ ports
    diagonal = np.einsum("nbii->nbi", admittance_s)  # a view
    diagonal += np.maximum(GMIN_S, GMIN_SHARE * np.abs(diagonal))
    return admittance_s


def _solve_nodes(stack: Stack, admittance_s: Complex) -> tuple[Complex, Complex]:
    """Node voltages per emf [V/V], and sense voltages per current into a node [ohm].

    Both are (networks, nodes, sources or senses, bands). The matrix is symmetric, so that the
    second are found like the first, as the voltages that a current into the sense would make.
    """
    driven = np.swapaxes(stack.sources * stack.source_s[..., None], 1, 2)
    right = np.concatenate([driven, np.swapaxes(stack.senses, 1, 2)], axis=2)
    try:
        answer = np.linalg.solve(admittance_s, right[:, None])
    except np.linalg.LinAlgError:
        raise _unsolvable(stack, admittance_s) from None
    # an infinite admittance may well give a finite voltage
    if not (np.isfinite(answer).all() and np.isfinite(admittance_s).all()):
        raise _unsolvable(stack, admittance_s)
    answer = np.ascontiguousarray(np.moveaxis(answer, 1, -1))
    node_v, reach_ohm = np.split(answer, [driven.shape[2]], axis=2)
    return node_v, reach_ohm


def _noise_v2_per_hz(
    stack: Stack, windings_s: Complex, reach_ohm: Complex, *, temperature_k: float
) -> Real:
    """Noise density at each sense; (networks, senses, bands). [V^2/Hz]"""
    four_kt = 4 * BOLTZMANN_J_PER_K * temperature_k
    wire_v2 = four_kt * stack.figures[..., 3:]
    networks, transformers, _, nodes = stack.windings.shape
    ports_ohm = _applied(stack.windings.reshape(networks, 2 * transformers, nodes), reach_ohm)
    ports_ohm = ports_ohm.reshape(networks, transformers, 2, *ports_ohm.shape[2:])
    # the emf of a wire is felt through the currents that it drives in both windings
    wire_share = np.einsum("ntbij,ntjmb->ntimb", windings_s, ports_ohm)
    noise_v2 = _powers(four_kt * stack.conductance_s, _applied(stack.elements, reach_ohm))
    noise_v2 += _powers(four_kt * stack.source_s, _applied(stack.sources, reach_ohm))
    noise_v2 += _powers(stack.noise_a2_per_hz, _applied(stack.noises, reach_ohm))
    wire_share = wire_share.reshape(networks, 2 * transformers, *wire_share.shape[3:])
    noise_v2 += _powers(wire_v2.reshape(networks, 2 * transformers), wire_share)
    return noise_v2


def _powers(density: Real, gains: Complex) -> Real:
    """Independent densities through (networks, parts, senses, bands) gains, added as powers."""
    power_gains = gains.real**2 + gains.imag**2
    flat = density[:, None] @ _flat(power_gains)
    return flat.reshape(len(gains), *gains.shape[2:])


def _stacked_windings_s(figures: Real, hz: Real) -> Complex:
    """``winding_admittance_s`` of (networks, transformers, 5); (networks, transformers, ...)."""
    flat = winding_admittance_s(figures.reshape(-1, 5), hz)
    return flat.reshape(*figures.shape[:2], *flat.shape[1:])


def _laplacian(values: Real, incidence: Real) -> Real:
    """Nodal matrix of the parts of one kind; (networks, 1, nodes, nodes)."""
    return (np.swapaxes(incidence, 1, 2) @ (values[..., None] * incidence))[:, None]


def _applied(weights: Real, nodes: Complex) -> Complex:
    """(networks, rows, nodes) weights of (networks, nodes, columns, bands) values."""
    flat = weights @ _flat(nodes)
    return flat.reshape(*weights.shape[:2], *nodes.shape[2:])


def _flat(values: NDArray[_Number]) -> NDArray[_Number]:
    """All axes after the second as one, also if there is nothing in them."""
    return values.reshape(*values.shape[:2], math.prod(values.shape[2:]))


def _with_reference(values: Complex) -> Complex:
    """Put the reference before the other nodes of axis 1; its value is 0."""
    return np.concatenate([np.zeros_like(values[:, :1]), values], axis=1)


def _stacks(networks: Mapping[bytes, Network], *, bands: int) -> Iterator[list[bytes]]:
    """Keys of networks that are solved together: of like size, and not too many."""
    by_size: dict[Size, list[bytes]] = {}
    for key, network in networks.items():
        by_size.setdefault(size_of(network), []).append(key)
    for size, keys in by_size.items():
        entries = bands * (size.nodes - 1) ** 2
        count = max(1, STACK_ENTRIES // max(1, entries))
        yield from (keys[start : start + count] for start in range(0, len(keys), count))


def _checked_frequencies(hz: Real) -> Real:
    """A read-only copy, or ``SolveError``."""
    frequencies = np.array(hz, dtype=np.float64)
    if frequencies.ndim != 1 or not (np.isfinite(frequencies) & (frequencies > 0)).all():
        raise SolveError(
            f"{frequencies.tolist()} Hz",
            where="frequencies of a solve",
            expected="a list of frequencies above 0 Hz",
            remedy="Direct current is solved apart, with the phantom power.",
        )
    frequencies.setflags(write=False)
    return frequencies


def _unsolvable(stack: Stack, admittance_s: Complex) -> SolveError:
    """The error for the first network of a stack whose voltages are not finite, not determined."""
    pairs = zip(stack.networks, admittance_s)
    network = next((net for net, y in pairs if not _is_regular(y)), None)
    nodes = admittance_s.shape[-1] + 1 if network is None else network.node_count
    elements = stack.elements.shape[1] if network is None else len(network.element_value)
    return SolveError(
        "no single finite solution",
        where=f"network of {nodes} nodes, {elements} elements",
        expected="some loss in every loop, and figures within some 20 powers of ten",
        remedy="Look for a resistance, capacitance or inductance of an absurd size.",
    )


def _is_regular(admittance_s: Complex) -> bool:
    """Whether matrices (bands, nodes, nodes) are finite, and their inverses too."""
    try:
        inverse_ohm = np.linalg.inv(admittance_s)
    except np.linalg.LinAlgError:
        return False
    return bool(np.isfinite(admittance_s).all() and np.isfinite(inverse_ohm).all())
