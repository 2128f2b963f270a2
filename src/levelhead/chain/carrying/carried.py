"""What is carried along a chain, as values: what enters, and what stands at every point."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.carrying.turned_down import TurnedDown
from levelhead.chain.graph.layout import Layout, Levels
from levelhead.chain.graph.order import Order
from levelhead.chain.graph.points import EdgeColumns

__all__ = ["Brought", "Carried", "Entering", "Injection"]

Real = NDArray[np.float64]
Complex = NDArray[np.complex128]
Whole = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Injection:
    """A component that enters at a point with an amplitude in each band."""

    point: int
    component: int
    amplitude: Complex


@dataclass(frozen=True, slots=True, eq=False)
class Entering:
    """What enters a chain: noise that arises at each point, and signals.

    Attributes
    ----------
    own_noise : float, (points, bands)
        Mean square that arises at each point.
    injections
        Signals where they enter.
    components : int
        Number of signals; noises are numbered from here.
    """

    own_noise: Real
    injections: Sequence[Injection]
    components: int


@dataclass(frozen=True, slots=True, eq=False)
class Carried:
    """Amplitudes of all pairs; those of one point stand together.

    Attributes
    ----------
    rows : complex, (inputs + pairs, bands)
        What entered, then the amplitude of each pair.
    power : float, (pairs, bands)
        Mean square of each pair in each band.
    noise_power : float, (points, bands)
        Noise that has met no fan-out yet, mean square.
    signals, noises : float, (points, bands)
        Mean square of all signals, and of noise that has met a fan-out, at each point.
    linear : complex, (inputs + pairs, bands)
        The rows as they were without limiters.
    turned_down : TurnedDown or None
        What limiters did, where there are any.
    """

    edges: EdgeColumns
    order: Order
    levels: Levels
    layout: Layout
    entering: Whole
    rows: Complex
    power: Real
    noise_power: Real
    signals: Real
    noises: Real
    linear: Complex
    turned_down: TurnedDown | None = None

    def __repr__(self) -> str:
        return f"Carried({len(self.power)} pairs)"

    @property
    def point(self) -> Whole:
        """Point of each pair, (pairs,)."""
        return self.layout.point

    @property
    def component(self) -> Whole:
        """Component of each pair, (pairs,); from ``first_noise`` on they are noises."""
        return self.layout.component

    @property
    def first_noise(self) -> int:
        """Number of signals."""
        return self.layout.first_noise

    @property
    def amplitude(self) -> Complex:
        """Amplitude of each pair in each band, (pairs, bands)."""
        return self.rows[self.layout.inputs :]

    @property
    def delay_s(self) -> Real:
        """Delay of each pair, (pairs,); pairs of one component at one point differ in it."""
        return self.layout.delay_ns.astype(np.float64) * 1e-9

    def signal_power(self) -> Real:
        """Mean square of all signals at each point; (points, bands)."""
        return self.signals

    def noise_total(self) -> Real:
        """Mean square of all noise at each point; (points, bands)."""
        return self.noise_power + self.noises


@dataclass(frozen=True, slots=True, eq=False)
class Brought:
    """Amplitudes of signals at some points.

    Attributes
    ----------
    point, component : int, (pairs,)
    amplitude : complex, (pairs, bands)
    """

    point: Whole
    component: Whole
    amplitude: Complex
