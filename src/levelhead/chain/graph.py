"""Points and the gains between them: what the chain is made of. ``chain.build`` makes it of a rig.

A point is the output of a stage, a plugged port, or a source. Its number is the rms in its own
unit: V, full-scale sine = 1 (AES17), or Pa. An edge multiplies, per band, and may change the unit.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from levelhead.gear.figures import Figure
from levelhead.gear.plan import MeterPlan

__all__ = ["Component", "Edge", "Entry", "Graph", "Point", "Through", "Unit", "factor_of_db"]

Unit = Literal["V", "FS", "Pa"]
EdgeGain = complex | NDArray[np.complex128]


def factor_of_db(gain_db: float) -> float:
    """Factor of a gain; off (``-inf``) is 0.

    >>> factor_of_db(-20.0), factor_of_db(-math.inf)
    (0.1, 0.0)
    """
    return 0.0 if gain_db == -math.inf else 10 ** (gain_db / 20)


@dataclass(slots=True)
class Point:
    """A place where levels are known. ``address`` of a hidden point starts with ``~``.

    Attributes
    ----------
    label : str
        In people's words: ``Desk, ch3, preamp``.
    ceiling : float
        Rms of the largest clean sine of the stage or port by itself. [unit]
    noise : float
        Own rms noise, 20 Hz to 20 kHz, at this point. [unit]
    ein_v : float
        Equivalent input noise as published, with 150 ohm at the input. [V]
    ein_current_a : float
        Noise current of that input, whose volts at 150 ohm are part of the figure. [A/sqrt(Hz)]
    self_noise_pa : float
        A-weighted rms before the gain of the stage. [Pa]
    gain : float
        Of the stage; it brings noise from its input to this point.
    control : str or None
        Address of the control that sets the gain.
    thermal_v2_per_hz : (bands,) or None
        Of the resistances of the island that is sensed here. [V^2/Hz]
    """

    address: str
    unit: Unit
    item: str
    label: str = ""
    ceiling: float = math.inf
    ceiling_figure: Figure | None = None
    noise: float = 0.0
    ein_v: float = 0.0
    ein_current_a: float = 0.0
    self_noise_pa: float = 0.0
    gain: float = 1.0
    control: str | None = None
    meter: MeterPlan | None = None
    thermal_v2_per_hz: NDArray[np.float64] | None = None

    @property
    def is_hidden(self) -> bool:
        """Whether it only helps the computation."""
        return self.address.startswith("~")


@dataclass(frozen=True, slots=True)
class Through:
    """The island that an edge crosses, and the output (its signal, if stereo) that drives it."""

    island: int
    port: str
    signal: str | None


@dataclass(frozen=True, slots=True)
class Edge:
    """A way from one point to another. ``gain`` is one number, or one for each band.

    ``figures`` of the gear book stand in the gain as factors; ``control`` sets it. A delay is a
    number of its own, never a phase in the gain.
    """

    source: int
    target: int
    gain: EdgeGain
    control: str | None = None
    figures: tuple[Figure, ...] = ()
    through: Through | None = None
    delay_s: float = 0.0


@dataclass(frozen=True, slots=True)
class Component:
    """An independent signal: how it is spread over the bands, how peaky, how sure its level."""

    name: str
    origin: str  # components of one origin are one performance
    label: str  # of the origin, in people's words
    spectrum: str
    peak_to_rms_db: Figure
    level: Figure


@dataclass(frozen=True, slots=True)
class Entry:
    """A component entering at a point; what both sides share enters twice and is one signal."""

    component: int
    point: int
    rms: float


@dataclass(slots=True)
class Graph:
    """All points, edges and components of a rig."""

    points: list[Point] = field(default_factory=list)
    edges: list[Edge] = field(default_factory=list)
    components: list[Component] = field(default_factory=list)
    entries: list[Entry] = field(default_factory=list)
    index: dict[str, int] = field(default_factory=dict)
    _named: dict[str, int] = field(default_factory=dict)

    def add(self, point: Point) -> int:
        """Number of a new point."""
        self.index[point.address] = len(self.points)
        self.points.append(point)
        return len(self.points) - 1

    def join(self, edge: Edge) -> None:
        """Add an edge; what is off is not stored."""
        if np.any(edge.gain):
            self.edges.append(edge)

    def enter(self, component: Component, point: int, rms: float) -> None:
        """Let a component in at a point; components of one name are the same signal."""
        number = self._named.setdefault(component.name, len(self.components))
        if number == len(self.components):
            self.components.append(component)
        self.entries.append(Entry(number, point, rms))
