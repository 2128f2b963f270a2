"""The ground network: 0 V of every item, joined by screens and earths, driven by the mains.

Audio copper is drawn as for signals, but every item keeps a 0 V of its own. Each island is then
reduced to what it is between the 0 V of its items (an admittance matrix, no approximation), and
earth conductors, supplies and leakages are added between these few nodes. Node 0 is the main earth
of the building; the neutral is tied to it there.

Conductors are resistances. Above a few kilohertz the inductance of an earth loop lets less flow
than is computed here; what a screen's current does to the signal stays its resistance, because the
cores inside share its induction.

References
----------
.. [1] AES48-2005: screens are bonded to the chassis where they enter.
.. [2] B. Whitlock, "Balanced Lines in Audio Systems: Fact, Fiction, and Transformers", J. Audio
   Eng. Soc. 43 (1995): conversion of common-mode voltage by unequal impedances.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray

from levelhead.circuit.earths import Earths, HumSource, earths_of
from levelhead.circuit.ground_islands import GroundIsland, reduced
from levelhead.circuit.ground_sketch import draw_ground, shared_zeros
from levelhead.circuit.islands import cut
from levelhead.circuit.mains import BODY_OHM, LEAKAGES, MAINS_230, Cause, Mains
from levelhead.circuit.network import GROUND
from levelhead.gear.figures import Figure
from levelhead.quantity.weighting import a_weighting_db
from levelhead.rig.model import Node, Rig

__all__ = ["Ground", "solve_ground"]

Complex: TypeAlias = NDArray[np.complex128]

_LEAK_S: Final = 1e-12  # so that nothing floats


@dataclass(frozen=True, eq=False)
class Ground:
    """A solved ground network.

    Attributes
    ----------
    zero_v : complex, (items, sources, lines)
        Of each item's 0 V against main earth, by each source alone at its typical strength. [V]
    admittance_s : complex, (lines, nodes, nodes)
        Of the whole network, the main earth left out; items come first. [S]
    unstated
        Earthed items of which nobody said on which circuit they hang.
    places
        Node of the sketch at each pin of each cable.
    """

    rig: Rig
    mains: Mains
    items: tuple[str, ...]
    sources: tuple[HumSource, ...]
    unstated: tuple[str, ...]
    islands: tuple[GroundIsland, ...]
    zero_v: Complex
    admittance_s: Complex
    places: Mapping[Node, int]

    @cached_property
    def row_of(self) -> Mapping[str, int]:
        """Row of each item in ``zero_v``."""
        return {item: row for row, item in enumerate(self.items)}

    @cached_property
    def alike(self) -> Mapping[tuple[Cause, Figure], list[int]]:
        """Rows of sources that have one cause and one strength."""
        rows: dict[tuple[Cause, Figure], list[int]] = {}
        for row, source in enumerate(self.sources):
            rows.setdefault((source.cause, source.figure), []).append(row)
        return rows

    @cached_property
    def a_weights(self) -> NDArray[np.float64]:
        """Factor of A weighting on the power of each line, (lines,)."""
        return np.asarray(10 ** (a_weighting_db(self.mains.lines_hz) / 10))

    def volts_between(self, one: str, other: str) -> float:
        """Rms between the 0 V of two items, all sources and lines. [V]"""
        drop = self.zero_v[self.row_of[one]] - self.zero_v[self.row_of[other]]
        return float(np.linalg.norm(drop))

    def touch_a(self, item: str, *, body_ohm: float = BODY_OHM) -> float:
        """Current through a body from the 0 V of an item to main earth at mains frequency. [A]

        Leakages add in phase: all hang on one mains. Faults of insulation cannot be seen from here.
        """
        row = self.row_of[item]
        injected = np.zeros(len(self.admittance_s[0]), dtype=np.complex128)
        injected[row] = 1.0
        own_ohm = np.linalg.solve(self.admittance_s[0], injected)[row]
        open_v = np.abs(self.zero_v[row, :, 0])
        leaks = np.array([source.cause in LEAKAGES for source in self.sources], dtype=bool)
        total_v = math.hypot(float(open_v[leaks].sum()), float(np.linalg.norm(open_v[~leaks])))
        return total_v / abs(complex(own_ohm) + body_ohm)


def solve_ground(rig: Rig, mains: Mains = MAINS_230, previous: Ground | None = None) -> Ground:
    """Solve the ground network of everything that is plugged.

    Islands that are as they were in ``previous``, on the same mains, are taken from there.

    Examples
    --------
    >>> from levelhead.gear.book import load_book
    >>> from levelhead.rig.build import build_rig
    >>> from levelhead.show.model import Cable, Item, Link, Show
    >>> show = Show(
    ...     "Duo",
    ...     items={"keys": Item("keys", "keyboard-stereo"), "desk": Item("desk", "mixer-compact")},
    ...     links=(
    ...         Link({"a": "keys.out-left", "b": "desk.ch1.line"}, (Cable("cable-jack", 3.0),)),
    ...     ),
    ... )
    >>> ground = solve_ground(build_rig(show, load_book()))
    >>> sorted(ground.items)
    ['desk', 'keys']
    """
    sketch = draw_ground(rig)
    shared = shared_zeros(sketch, rig)
    pieces = cut(sketch, frozenset({GROUND, *shared}))
    before = previous.islands if previous is not None and previous.mains is mains else ()
    islands = reduced(pieces, shared, mains.lines_hz, before)
    earths = earths_of(rig, tuple(shared.values()), mains)
    places = {place: node for place, node in sketch.places if place[0] == "cable"}
    return _joined(rig, mains, islands, earths, places)


def _joined(
    rig: Rig,
    mains: Mains,
    islands: tuple[GroundIsland, ...],
    earths: Earths,
    places: Mapping[Node, int],
) -> Ground:
    """Islands and earths as one network, solved for every source."""
    items, lines = earths.items, len(mains.lines_hz)
    row_of = {item: row for row, item in enumerate(items)}
    admittance_s = earths.admittance_s(mains.lines_hz)
    for island in islands:
        rows = np.array([row_of[item] for item in island.items])
        admittance_s[:, rows[:, None], rows] += island.admittance_s
    diagonal = np.einsum("lii->li", admittance_s)  # a view
    diagonal += _LEAK_S
    zero_v = np.linalg.solve(admittance_s, earths.injected_a(mains.lines_hz))
    by_source = np.moveaxis(zero_v, 0, -1)[: len(items), earths.branch_of_source]
    return Ground(
        rig=rig,
        mains=mains,
        items=items,
        sources=earths.sources,
        unstated=earths.unstated,
        islands=islands,
        zero_v=by_source * np.reshape([source.emf_v for source in earths.sources], (1, -1, lines)),
        admittance_s=admittance_s,
        places=places,
    )
