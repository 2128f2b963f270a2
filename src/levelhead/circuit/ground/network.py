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
from collections.abc import Hashable, Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray

from levelhead.circuit.ground.drawing import heard_at
from levelhead.circuit.ground.earths import Earths, HumSource, earths_of
from levelhead.circuit.ground.islands import BetweenZeros, GroundIsland
from levelhead.circuit.ground.mains import BODY_OHM, LEAKAGES, MAINS_230, Mains
from levelhead.circuit.ground.pieces import GroundPiece, ground_pieces
from levelhead.circuit.ground.sketch import inputs_of
from levelhead.circuit.ground.sources import HumSources
from levelhead.circuit.placed.pieces import Piece, pieces_by_content
from levelhead.rig.model import Rig

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
    driven
        The sources, on the mains.
    unstated
        Earthed items of which nobody said on which circuit they hang.
    pieces
        What hangs together by plugs, by its content.
    """

    rig: Rig
    driven: HumSources
    items: tuple[str, ...]
    unstated: tuple[str, ...]
    pieces: Mapping[Hashable, GroundPiece]
    zero_v: Complex
    admittance_s: Complex

    def __repr__(self) -> str:
        return f"Ground({len(self.zero_v)} items, {len(self.pieces)} pieces)"

    @property
    def mains(self) -> Mains:
        """What all of it hangs on."""
        return self.driven.mains

    @property
    def sources(self) -> tuple[HumSource, ...]:
        """Everything that drives hum."""
        return self.driven.sources

    @cached_property
    def islands(self) -> tuple[GroundIsland, ...]:
        """What lies between the 0 V of items."""
        return tuple(island for piece in self.pieces.values() for island in piece.islands)

    @cached_property
    def row_of(self) -> Mapping[str, int]:
        """Row of each item in ``zero_v``."""
        return {item: row for row, item in enumerate(self.items)}

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


def solve_ground(
    rig: Rig,
    mains: Mains = MAINS_230,
    previous: Ground | None = None,
    pieces: Mapping[Hashable, Piece] | None = None,
) -> Ground:
    """Solve the ground network of everything that is plugged.

    Pieces of the copper that are as they were in ``previous``, on the same mains, are taken from
    there; so are all potentials, where what is new couples no two 0 V. ``pieces`` are those of the
    rig by content, where they are known.

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
    before = previous if previous is not None and previous.mains is mains else None
    drawn = _pieces(rig, mains, before, pieces_by_content(rig) if pieces is None else pieces)
    if before is not None and _is_driven_alike(rig, drawn, before):
        return replace(before, rig=rig, pieces=drawn)
    found = {item for piece in drawn.values() for item in piece.items}
    items = tuple(item for item in rig.items if item in found)
    return _joined(rig, mains, drawn, earths_of(rig, items, mains))


def _pieces(
    rig: Rig, mains: Mains, before: Ground | None, pieces: Mapping[Hashable, Piece]
) -> dict[Hashable, GroundPiece]:
    """Every piece between its 0 V; what an input is may change with a switch."""
    inputs = dict(inputs_of(rig))
    known = {} if before is None else before.pieces
    named = {(key, heard_at(piece, inputs)): piece for key, piece in pieces.items()}
    fresh = {key: piece for key, piece in named.items() if key not in known}
    drawn = ground_pieces(
        fresh.values(), inputs, mains.lines_hz, () if before is None else before.islands
    )
    new = dict(zip(fresh, drawn, strict=True))
    return {key: known[key] if key in known else new[key] for key in named}


def _is_driven_alike(rig: Rig, pieces: Mapping[Hashable, GroundPiece], before: Ground) -> bool:
    """Whether the same earths and the same islands lie between the same 0 V as before."""
    items = {item for piece in pieces.values() for item in piece.items}
    pairs = [(rig.items.get(item), before.rig.items[item]) for item in before.items]
    return (
        items == set(before.items)
        and rig.show.supplies == before.rig.show.supplies
        and all(
            now is not None and now.plan is was.plan and now.supply == was.supply
            for now, was in pairs
        )
        and [item for item in rig.items if item in items] == list(before.items)
        and _coupling(pieces.values()) == _coupling(before.pieces.values())
    )


def _coupling(pieces: Iterable[GroundPiece]) -> list[tuple[tuple[str, ...], BetweenZeros]]:
    return [
        (island.items, island.between)
        for piece in pieces
        for island in piece.islands
        if island.couples
    ]


def _joined(
    rig: Rig, mains: Mains, pieces: Mapping[Hashable, GroundPiece], earths: Earths
) -> Ground:
    """Islands and earths as one network, solved for every source."""
    items, lines = earths.items, len(mains.lines_hz)
    row_of = {item: row for row, item in enumerate(items)}
    admittance_s = earths.admittance_s(mains.lines_hz)
    for names, between in _coupling(pieces.values()):
        rows = np.array([row_of[item] for item in names])
        admittance_s[:, rows[:, None], rows] += between.admittance_s
    diagonal = np.einsum("lii->li", admittance_s)  # a view
    diagonal += _LEAK_S
    zero_v = np.linalg.solve(admittance_s, earths.injected_a(mains.lines_hz))
    by_source = np.moveaxis(zero_v, 0, -1)[: len(items), earths.branch_of_source]
    return Ground(
        rig=rig,
        driven=HumSources(mains, earths.sources),
        items=items,
        unstated=earths.unstated,
        pieces=pieces,
        zero_v=by_source * np.reshape([source.emf_v for source in earths.sources], (1, -1, lines)),
        admittance_s=admittance_s,
    )
