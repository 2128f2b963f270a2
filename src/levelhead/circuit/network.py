"""A passive network as plain arrays: elements, transformers, sources, senses and noise currents.

Nothing here knows of gear. Node 0 is the reference; every other node is a place where parts meet.
``NetworkBuilder`` collects the parts one by one, ``circuit.solving.solve`` finds the voltages.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import astuple, dataclass, field
from enum import IntEnum
from typing import Final, NamedTuple, TypeVar

import numpy as np
from numpy.typing import NDArray

from levelhead.errors import SolveError

GROUND: Final = 0  # the reference node of every network

_Part = TypeVar("_Part")
_Number = TypeVar("_Number", bound=np.generic)


class Kind(IntEnum):
    """What a two-ended element is; its value is in ohm, F or H."""

    RESISTOR = 0
    CAPACITOR = 1
    INDUCTOR = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Transformer:
    """Two coupled windings.

    Open and shorted secondaries measure the inductances: seen from the primary, ``magnetising_h +
    leakage_h`` with the secondary open and ``leakage_h`` with a lossless secondary shorted.

    Parameters
    ----------
    turns_ratio : float, > 0
        Primary turns to secondary turns, 12 for a 12:1 step-down.
    magnetising_h, leakage_h : float, > 0 and >= 0
        Seen from the primary. [H]
    primary_ohm, secondary_ohm : float, >= 0
        Wire of each winding. Leakage and both wires cannot all be nothing. [ohm]
    """

    turns_ratio: float
    magnetising_h: float
    leakage_h: float
    primary_ohm: float
    secondary_ohm: float


@dataclass(frozen=True, slots=True, eq=False)
class Network:
    """A passive linear network; node 0 is the reference.

    The arrays are copied and made read-only.

    Parameters
    ----------
    node_count : int
        Nodes, the reference included.
    element_kind : int8, (elements,)
        A ``Kind`` each.
    element_nodes : int32, (elements, 2)
        Where each element sits.
    element_value : float64, (elements,), > 0
        [ohm, F or H]
    transformer_nodes : int32, (transformers, 4)
        Primary plus and minus, secondary plus and minus; the plus ends are in phase.
    transformer_value : float64, (transformers, 5)
        The figures of a ``Transformer`` in their order: ratio, magnetising and leakage
        inductance, primary and secondary wire. [1, H, H, ohm, ohm]
    source_nodes : int32, (sources, 2)
        An emf drives from the second node (minus) to the first (plus) ...
    source_ohm : float64, (sources,), > 0
        ... behind this resistance, which makes thermal noise. [ohm]
    sense : float64, (senses, node_count)
        Weights of the node voltages, e.g. 1 and -1 for a difference.
    noise_nodes : int32, (noise currents, 2)
        An uncorrelated noise current flows into one node and out of the other ...
    noise_a_per_rthz : float64, (noise currents,), >= 0
        ... of this density. [A/sqrt(Hz)]

    Raises
    ------
    SolveError
        A shape, a node or a value is impossible.
    """

    node_count: int
    element_kind: NDArray[np.int8]
    element_nodes: NDArray[np.int32]
    element_value: NDArray[np.float64]
    transformer_nodes: NDArray[np.int32]
    transformer_value: NDArray[np.float64]
    source_nodes: NDArray[np.int32]
    source_ohm: NDArray[np.float64]
    sense: NDArray[np.float64]
    noise_nodes: NDArray[np.int32]
    noise_a_per_rthz: NDArray[np.float64]

    def __post_init__(self) -> None:
        if self.node_count < 1:
            raise _impossible("node_count", f"{self.node_count} nodes", "the reference at least")
        for column in _COLUMNS:
            array = np.array(getattr(self, column.name), dtype=column.dtype)
            array.setflags(write=False)
            object.__setattr__(self, column.name, array)
            self._check_shape(column)
        self._check_nodes()
        self._check_values()

    def _check_shape(self, column: _Column) -> None:
        """An array has the row length of its column and as many rows as its partner."""
        shape: tuple[int, ...] = getattr(self, column.name).shape
        rows = len(getattr(self, column.partner)) if column.partner else shape[0] if shape else 0
        width = self.node_count if column.name == "sense" else column.width
        expected = (rows,) if width is None else (rows, width)
        if shape != expected:
            raise _impossible(column.name, f"shape {shape}", f"shape {expected}")

    def _check_nodes(self) -> None:
        """Every end sits on a node that exists."""
        for name in ("element_nodes", "transformer_nodes", "source_nodes", "noise_nodes"):
            nodes: NDArray[np.int32] = getattr(self, name)
            exists = (nodes >= 0) & (nodes < self.node_count)
            _check_each(name, nodes, exists, f"nodes from 0 to {self.node_count - 1}")

    def _check_values(self) -> None:
        """Every figure is finite and has a possible sign."""
        kind, noise_a, windings = self.element_kind, self.noise_a_per_rthz, self.transformer_value
        kind_exists = (kind >= min(Kind)) & (kind <= max(Kind))
        _check_each("element_kind", kind, kind_exists, "a Kind")
        for name in ("element_value", "source_ohm"):
            value: NDArray[np.float64] = getattr(self, name)
            _check_each(name, value, np.isfinite(value) & (value > 0), "a value above 0")
        _check_each("sense", self.sense, np.isfinite(self.sense), "finite weights")
        is_noise = np.isfinite(noise_a) & (noise_a >= 0)
        _check_each("noise_a_per_rthz", noise_a, is_noise, "0 A/sqrt(Hz) or more")
        is_winding = np.isfinite(windings) & (windings >= 0)
        is_winding[:, :2] &= windings[:, :2] > 0
        is_winding[:, 2:] &= windings[:, 2:].any(axis=1, keepdims=True)
        expected = "ratio and magnetising H above 0, and some leakage H or wire ohm"
        _check_each("transformer_value", windings, is_winding, expected)

    def revalued(self, element_value: NDArray[np.float64]) -> Network:
        """The same network with other values of its elements, which are above 0."""
        other = object.__new__(Network)
        for name in ("node_count", *(column.name for column in _COLUMNS)):
            object.__setattr__(other, name, getattr(self, name))
        element_value.setflags(write=False)
        object.__setattr__(other, "element_value", element_value)
        expected = "a value above 0"
        _check_each("element_value", element_value, element_value > 0, expected)
        return other

    @property
    def key(self) -> bytes:
        """Digest of the content: equal content, equal key."""
        digest = hashlib.blake2b(self.node_count.to_bytes(8, "little"), digest_size=16)
        for column in _COLUMNS:
            array: NDArray[np.generic] = getattr(self, column.name)
            digest.update(len(array).to_bytes(8, "little"))
            digest.update(array.tobytes())
        return digest.digest()


@dataclass(slots=True)
class NetworkBuilder:
    """Collects parts; ``build`` makes the network. Each method returns the part's index.

    Examples
    --------
    A 150 ohm microphone into 1.5 kohm:

    >>> builder = NetworkBuilder()
    >>> hot = builder.node()
    >>> microphone = builder.source(hot, GROUND, 150)
    >>> load = builder.resistor(hot, GROUND, 1500)
    >>> preamp = builder.sense({hot: 1})
    >>> builder.build().node_count
    2
    """

    _node_count: int = 1
    _elements: list[tuple[Kind, int, int, float]] = field(default_factory=list)
    _transformers: list[tuple[tuple[int, int], tuple[int, int], Transformer]] = field(
        default_factory=list
    )
    _sources: list[tuple[int, int, float]] = field(default_factory=list)
    _senses: list[dict[int, float]] = field(default_factory=list)
    _noises: list[tuple[int, int, float]] = field(default_factory=list)

    def node(self) -> int:
        """A new node."""
        self._node_count += 1
        return self._node_count - 1

    def resistor(self, a: int, b: int, ohm: float) -> int:
        """A resistance between two nodes. [ohm]"""
        return _appended(self._elements, (Kind.RESISTOR, a, b, ohm))

    def capacitor(self, a: int, b: int, farad: float) -> int:
        """A capacitance between two nodes. [F]"""
        return _appended(self._elements, (Kind.CAPACITOR, a, b, farad))

    def inductor(self, a: int, b: int, henry: float) -> int:
        """An inductance between two nodes. [H]"""
        return _appended(self._elements, (Kind.INDUCTOR, a, b, henry))

    def transformer(
        self, primary: tuple[int, int], secondary: tuple[int, int], figures: Transformer
    ) -> int:
        """Two coupled windings, each given as (plus, minus); the plus ends are in phase."""
        return _appended(self._transformers, (primary, secondary, figures))

    def source(self, plus: int, minus: int, ohm: float) -> int:
        """An emf of unknown voltage behind a resistance. [ohm]"""
        return _appended(self._sources, (plus, minus, ohm))

    def sense(self, weights: Mapping[int, float]) -> int:
        """A voltage to be known: the weighted sum of node voltages."""
        return _appended(self._senses, dict(weights))

    def noise_current(self, a: int, b: int, a_per_rthz: float) -> int:
        """A noise current between two nodes, independent of all others. [A/sqrt(Hz)]"""
        return _appended(self._noises, (a, b, a_per_rthz))

    def build(self) -> Network:
        """Make the network of all parts so far; ``SolveError`` if one is impossible."""
        elements, transformers = self._elements, self._transformers
        windings = [(*primary, *secondary) for primary, secondary, _ in transformers]
        figures = [astuple(transformer) for *_, transformer in transformers]
        return Network(
            node_count=self._node_count,
            element_kind=np.array([kind for kind, *_ in elements], dtype=np.int8),
            element_nodes=_rows([(a, b) for _, a, b, _ in elements], np.int32, 2),
            element_value=np.array([value for *_, value in elements], dtype=np.float64),
            transformer_nodes=_rows(windings, np.int32, 4),
            transformer_value=_rows(figures, np.float64, 5),
            source_nodes=_rows([(a, b) for a, b, _ in self._sources], np.int32, 2),
            source_ohm=np.array([ohm for *_, ohm in self._sources], dtype=np.float64),
            sense=self._sense_rows(),
            noise_nodes=_rows([(a, b) for a, b, _ in self._noises], np.int32, 2),
            noise_a_per_rthz=np.array([a for *_, a in self._noises], dtype=np.float64),
        )

    def _sense_rows(self) -> NDArray[np.float64]:
        """One row of weights a sense."""
        rows = np.zeros((len(self._senses), self._node_count))
        for row, weights in zip(rows, self._senses, strict=True):
            for node, weight in weights.items():
                if not 0 <= node < self._node_count:
                    known = f"nodes from 0 to {self._node_count - 1}"
                    raise _impossible("sense", f"a weight at node {node}", known)
                row[node] = weight
        return rows


class _Column(NamedTuple):
    """How one array of a network must look."""

    name: str
    dtype: type[np.generic]
    width: int | None = None  # length of a row; None where a row is one number
    partner: str | None = None  # has as many rows


_COLUMNS: Final = (
    _Column("element_kind", np.int8),
    _Column("element_nodes", np.int32, 2, "element_kind"),
    _Column("element_value", np.float64, None, "element_kind"),
    _Column("transformer_nodes", np.int32, 4),
    _Column("transformer_value", np.float64, 5, "transformer_nodes"),
    _Column("source_nodes", np.int32, 2),
    _Column("source_ohm", np.float64, None, "source_nodes"),
    _Column("sense", np.float64),  # a row is as long as there are nodes
    _Column("noise_nodes", np.int32, 2),
    _Column("noise_a_per_rthz", np.float64, None, "noise_nodes"),
)


def _appended(parts: list[_Part], part: _Part) -> int:
    """Index of the part just added."""
    parts.append(part)
    return len(parts) - 1


def _rows(rows: Sequence[Sequence[float]], dtype: type[_Number], width: int) -> NDArray[_Number]:
    """Rows of equal length; also of none at all."""
    return np.array(rows, dtype=dtype).reshape(-1, width)


def _check_each(
    name: str, values: NDArray[_Number], holds: NDArray[np.bool_], expected: str
) -> None:
    """``SolveError`` naming the first row in which something does not hold."""
    if holds.all():
        return
    row = int(np.argwhere(~holds)[0, 0])
    raise _impossible(f"{name}[{row}]", str(values[row].tolist()), expected)


def _impossible(where: str, what: str, expected: str) -> SolveError:
    """The error for a part that no circuit can have."""
    return SolveError(
        what,
        where=f"network, {where}",
        expected=expected,
        remedy="Look at the figures of the gear and cables that this circuit is made of.",
    )
