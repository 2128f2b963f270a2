"""Points and the gains between them: what a chain is made of.

Solvers hold both as columns (``chain.as_set.graph``); a ``Point`` or an ``Edge`` is made when
somebody asks for it.

A point is the output of a stage, a plugged port, or a source. Its number is the rms in its own
unit: V, full-scale sine = 1 (AES17), or Pa. An edge multiplies, per band, and may change the unit.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from levelhead.gear.figures import Figure
from levelhead.gear.plan import MeterPlan
from levelhead.quantity.bands import BANDS

__all__ = [
    "UNITS",
    "Component",
    "Edge",
    "EdgeColumns",
    "Entry",
    "Point",
    "Through",
    "Unit",
    "factor_of_db",
]

Unit = Literal["V", "FS", "Pa"]
UNITS: Final[tuple[Unit, ...]] = ("V", "FS", "Pa")
Whole = NDArray[np.int64]
Complex = NDArray[np.complex128]
EdgeGain = complex | Complex


def factor_of_db(gain_db: float) -> float:
    """Factor of a gain; off (``-inf``) is 0.

    >>> factor_of_db(-20.0), factor_of_db(-math.inf)
    (0.1, 0.0)
    """
    return 0.0 if gain_db == -math.inf else 10 ** (gain_db / 20)


@dataclass(frozen=True, slots=True)
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
    """An independent signal: how it is spread over the bands, how peaky, how sure its level.

    ``within_db`` is the part of the level's range that one performance takes, either way;
    ``under_zero_db`` how far below the zero of a meter it is loud enough.
    """

    name: str
    origin: str  # components of one origin are one performance
    label: str  # of the origin, in people's words
    spectrum: str
    peak_to_rms_db: Figure
    level: Figure
    within_db: Figure | None = None
    under_zero_db: float = 0.0


@dataclass(frozen=True, slots=True)
class Entry:
    """A component entering at a point; what both sides share enters twice and is one signal."""

    component: int
    point: int
    rms: float


@dataclass(frozen=True, slots=True, eq=False)
class EdgeColumns:
    """Edges as columns.

    Attributes
    ----------
    source, target : int, (edges,)
        Numbers of points.
    gain_and_one : complex, (edges + 1, bands)
        The last row is one: by it enters what no edge brings.
    delay_ns : int, (edges,)
        Delays add up exactly as whole numbers. [ns]
    """

    source: Whole
    target: Whole
    gain_and_one: Complex
    delay_ns: Whole

    @classmethod
    def of(cls, edges: Sequence[Edge]) -> EdgeColumns:
        """Columns of single edges."""
        gain = np.ones((len(edges) + 1, BANDS), dtype=np.complex128)
        for row, edge in enumerate(edges):
            gain[row] = edge.gain
        return cls(
            np.array([edge.source for edge in edges], dtype=np.int64),
            np.array([edge.target for edge in edges], dtype=np.int64),
            gain,
            np.array([round(edge.delay_s * 1e9) for edge in edges], dtype=np.int64),
        )

    def __len__(self) -> int:
        return len(self.source)

    @property
    def gain(self) -> Complex:
        """Gain of each edge in each band, (edges, bands)."""
        return self.gain_and_one[:-1]

    def is_laid_like(self, other: EdgeColumns) -> bool:
        """Whether all edges lead from and to the same points, with the same delays."""
        return (
            np.array_equal(self.source, other.source)
            and np.array_equal(self.target, other.target)
            and np.array_equal(self.delay_ns, other.delay_ns)
        )

    def changed_since(self, before: EdgeColumns) -> NDArray[np.bool_]:
        """Which gains differ from those of edges laid alike; (edges + 1,)."""
        changed: NDArray[np.bool_] = (self.gain_and_one != before.gain_and_one).any(axis=1)
        return changed
