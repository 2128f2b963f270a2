"""Loops: returns into their own sends, solved as a small linear system.

Every loop is cut at one edge. What one unit at each cut brings round to every cut is the loop gain,
a small matrix in each band; with it closed, the signals at the cuts are ``(1 - A)^-1`` times what
arrives there with the loops open. A loop whose gain reaches one has no level: it rings, and stays
cut. Noise is not sent round (a loop that holds adds to it by less than to the signal).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.carrying.carried import Brought, Carried, Entering, Injection
from levelhead.chain.carrying.propagate import bring, carry
from levelhead.chain.carrying.turned_down import Limiters
from levelhead.chain.graph.order import Order
from levelhead.chain.graph.points import EdgeColumns
from levelhead.quantity.bands import BANDS

__all__ = ["Loops", "Round", "carry_round"]

Complex = NDArray[np.complex128]
Real = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Round:
    """Loops that share points: the edges at which they were cut, the largest gain in any band."""

    closing: tuple[int, ...]
    gain_db: float


@dataclass(frozen=True, slots=True)
class Loops:
    """The edges at which loops were cut, the largest loop gain in any band, and each by itself."""

    closing: tuple[int, ...]
    gain_db: float
    rings: bool
    rounds: tuple[Round, ...] = ()


def carry_round(
    edges: EdgeColumns,
    order: Order,
    entering: Entering,
    previous: Carried | None = None,
    *,
    limiters: Limiters | None = None,
) -> tuple[Carried, Loops]:
    """As ``carry``, with loops closed where they hold.

    Whether a loop holds is told by the gain that weak signals find in it. Limiters take theirs on
    the last way along the signal, with all that comes round already there.
    """
    if not order.closing:
        opened = carry(edges, order, entering, previous, limiters=limiters)
        return opened, Loops((), -math.inf, rings=False)
    gain = _loop_gain(edges, order)
    rounds = _rounds(order.closing, gain)
    gain_db = max(each.gain_db for each in rounds)
    loops = Loops(order.closing, gain_db, gain_db >= 0, rounds)
    if not loops.rings:
        components = entering.components
        at_cuts = bring(edges, order, entering.injections, components, _cuts(edges, order))
        added = _round_and_round(edges, order, at_cuts, gain, components)
        entering = replace(entering, injections=[*entering.injections, *added])
    return carry(edges, order, entering, limiters=limiters), loops


def _cuts(edges: EdgeColumns, order: Order) -> list[int]:
    """Points from which the edges lead that were cut."""
    return [int(edges.source[number]) for number in order.closing]


def _rounds(closing: Sequence[int], gain: Complex) -> tuple[Round, ...]:
    """Loops that feed one another together, each lot with its own gain."""
    leads = (np.abs(gain).max(axis=0) > 0) | np.eye(len(closing), dtype=bool)
    for _ in closing:
        leads = leads @ leads  # from cut to cut by as many others as there are
    together = leads & leads.T
    members = [
        list(cuts)
        for cuts in dict.fromkeys(tuple(np.flatnonzero(row).tolist()) for row in together)
    ]
    return tuple(
        Round(tuple(closing[cut] for cut in cuts), _gain_db(gain[:, cuts][:, :, cuts]))
        for cuts in members
    )


def _gain_db(gain: Complex) -> float:
    """Largest gain once round in any band: the spectral radius. [dB]"""
    radius = float(np.abs(np.linalg.eigvals(gain)).max())
    return 20 * math.log10(radius) if radius > 0 else -math.inf


def _arriving(
    edges: EdgeColumns, closing: Sequence[int], opened: Brought, components: int
) -> Complex:
    """What comes through each cut; (bands, cuts, components)."""
    found = np.zeros((BANDS, len(closing), components), dtype=np.complex128)
    for cut, number in enumerate(closing):
        pairs = np.flatnonzero(opened.point == edges.source[number])
        through = edges.gain[number] * opened.amplitude[pairs]
        np.add.at(found[:, cut].T, opened.component[pairs], through)
    return found


def _loop_gain(edges: EdgeColumns, order: Order) -> Complex:
    """From one unit at each cut (column) round to each cut (row); (bands, cuts, cuts)."""
    probes = [
        Injection(int(edges.target[number]), cut, np.ones(BANDS, dtype=np.complex128))
        for cut, number in enumerate(order.closing)
    ]
    opened = bring(edges, order, probes, len(probes), _cuts(edges, order))
    return _arriving(edges, order.closing, opened, len(probes))


def _round_and_round(
    edges: EdgeColumns, order: Order, opened: Brought, gain: Complex, components: int
) -> list[Injection]:
    """What the closed loops bring to the targets of the cuts."""
    arriving = _arriving(edges, order.closing, opened, components)
    closed = np.linalg.solve(np.eye(len(order.closing)) - gain, arriving)
    settled = np.asarray(closed, dtype=np.complex128)
    return [
        Injection(int(edges.target[number]), component, settled[:, cut, component])
        for cut, number in enumerate(order.closing)
        for component in range(components)
        if settled[:, cut, component].any()
    ]
