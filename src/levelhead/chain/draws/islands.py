"""One island drawn anew with other figures: its circuits and cables are built again from them.

Parts of a circuit may hang on several figures (what lies between the legs of an input is what its
impedance leaves beside its legs), so figures are moved where the gear book has them: each to as
many values as there are draws, and the island is drawn once for all of them.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from functools import cached_property
from typing import Any, Final, NamedTuple, cast

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.carrying.playing import PROGRAMME
from levelhead.circuit.drawn.islands import Island, cut
from levelhead.circuit.placed.assembly import draw_piece
from levelhead.circuit.placed.pieces import Piece
from levelhead.circuit.solving.many import many_transfers
from levelhead.circuit.solving.refine import LINES, line_hz
from levelhead.circuit.solving.solved import Solved
from levelhead.gear.figures import Figure
from levelhead.gear.plan import CablePlan, PartPlan
from levelhead.quantity.bands import BANDS, mid_hz
from levelhead.quantity.spectra import band_levels_db
from levelhead.rig.model import Rig, RigLink, RigPort

__all__ = ["FigureOf", "IslandDraws", "Output", "level_db", "outputs_of"]

Real = NDArray[np.float64]
Complex = NDArray[np.complex128]
Output = tuple[str, str | None]  # a port, and which of its signals

_LIMITS: Final = frozenset(  # figures of ports that shape no linear circuit
    {"damage", "clip", "ceiling", "current", "min-load", "phantom", "dc-tolerance"}
)
_NEAR: Final = 3  # bands, an octave: a drawn resonance stays so near, mostly
_FLOOR: Final = 1e-30  # power that counts as silence


class FigureOf(NamedTuple):
    """A figure by its owner: a port, an item with parts, or ``link 3``."""

    owner: str
    figure: int  # its identity


def outputs_of(island: Island) -> dict[Output, list[int]]:
    """Sources of each output of an island: a balanced one has two."""
    found: dict[Output, list[int]] = {}
    for column, drive in enumerate(island.drives):
        found.setdefault((drive.port, drive.signal), []).append(column)
    return found


@dataclass(frozen=True, eq=False)
class IslandDraws:
    """An island that can be solved with other figures.

    Attributes
    ----------
    piece
        All that it hangs together with, by plugs or by a box.
    block_ports
        Ports of the piece, and the others of their blocks, by address.
    addresses
        Its own ports.
    """

    piece: Piece
    block_ports: Mapping[str, RigPort]
    island: Island
    solved: Solved
    addresses: tuple[str, ...]

    @classmethod
    def of(cls, rig: Rig, piece: Piece, island: Island, solved: Solved) -> IslandDraws:
        """An island of a piece of a rig."""
        ports = {
            port.sibling(name): rig.ports[port.sibling(name)]
            for port in piece.ports
            for name in port.block.plan.ports
        }
        senses = (
            address if address in ports else address.rpartition(".")[0]
            for address in island.sense_addresses
        )
        own = dict.fromkeys((*senses, *(drive.port for drive in island.drives)))
        return cls(piece, ports, island, solved, tuple(own))

    @property
    def key(self) -> Hashable:
        """All that its draws follow from; equal plans are one object while this is kept."""
        rows = {port.address: row for row, port in enumerate(self.piece.ports)}
        own = tuple(rows[address] for address in self.addresses)
        return self.piece.shape, self.piece.lengths_m, own

    @cached_property
    def figures(self) -> dict[FigureOf, Figure]:
        """Its doubtful figures."""
        return {key: each for key, each in self._all_figures() if each.spread_db > 0}

    def _all_figures(self) -> Iterator[tuple[FigureOf, Figure]]:
        for address in self.addresses:
            port = self.block_ports[address]
            for name, figure in port.plan.figures.items():
                if name not in _LIMITS:
                    yield FigureOf(address, id(figure)), figure
            for part in port.block.plan.parts:
                for figure in part.figures.values():
                    yield FigureOf(port.item.id, id(figure)), figure
        for link in self._links:
            for segment in link.segments:
                for figure in _figures_of_cable(segment.cable):
                    yield FigureOf(f"link {link.number}", id(figure)), figure

    @cached_property
    def _links(self) -> tuple[RigLink, ...]:
        """Links of the piece of which something is part of the island."""
        tags = {element.tag.partition(",")[0] for element in self.island.elements}
        return tuple(link for link in self.piece.links if f"link {link.number}" in tags)

    def figure_of(self, tag: str, figure: Figure) -> FigureOf:
        """Which figure a sensitivity is about, by its tag."""
        if tag.startswith("link "):
            return FigureOf(tag.partition(",")[0], id(figure))
        place = tag.rpartition(".")[0]
        owner = place if place in self.block_ports else tag.partition(".")[0]
        return FigureOf(owner, id(figure))

    @cached_property
    def spreads_db(self) -> Real:
        """One standard deviation of each doubtful figure. [dB]"""
        return np.array([figure.spread_db for figure in self.figures.values()])

    @cached_property
    def lines(self) -> tuple[Real, NDArray[np.int64]]:
        """Frequencies at which draws are solved, and the band of each. [Hz]

        Bands that were averaged for what stands there are solved at their lines, and so are their
        neighbours, into which a draw may move a resonance.
        """
        hz = mid_hz()
        near = np.zeros(len(hz) + 2 * _NEAR, dtype=bool)
        for band in self.solved.refined:
            near[band : band + 2 * _NEAR + 1] = True
        fine = near[_NEAR:-_NEAR]
        found = np.concatenate([hz[~fine], line_hz(hz[fine]).ravel()])
        bands = np.concatenate([np.flatnonzero(~fine), np.repeat(np.flatnonzero(fine), LINES)])
        return found, bands

    @cached_property
    def usual_gains(self) -> Real:
        """Power gains with every figure at its value; (senses, outputs, bands)."""
        usual: Real = self._solved(self._redrawn({}), 1)[0]
        return usual

    def gains(self, moved_db: Real) -> Real:
        """Power gains; figures moved by (draws, figures) to (draws, senses, outputs, bands)."""
        island = self._redrawn(dict(zip(self.figures, moved_db.T, strict=True)))
        return self._solved(island, len(moved_db))

    def changes_db(self, moved_db: Real, spectrum: str = PROGRAMME) -> Real:
        """Changes of level of a signal; (draws, senses, outputs). [dB]"""
        usual_db = level_db(self.usual_gains, spectrum)
        return level_db(self.gains(moved_db), spectrum) - usual_db

    def _solved(self, island: Island, draws: int) -> Real:
        """Power gains of an island drawn so often; (draws, senses, outputs, bands)."""
        parts = many_transfers(island, draws, self.lines[0])
        return np.concatenate([self._gains(island, each) for each in parts])

    def _redrawn(self, moved_db: Mapping[FigureOf, Real]) -> Island:
        """The same island, with figures moved: its values are those of all draws."""
        ports = {address: _moved_port(port, moved_db) for address, port in self.block_ports.items()}
        piece = replace(
            self.piece,
            links=tuple(_moved_link(link, moved_db) for link in self.piece.links),
            ports=tuple(ports[port.address] for port in self.piece.ports),
        )
        wanted = self.island.sense_addresses[0]
        return next(each for each in cut(draw_piece(piece)) if wanted in each.senses)

    def _gains(self, island: Island, transfer: Complex) -> Real:
        """Power gains to each sense from each output, in the order of the island as it stands.

        From (draws, senses, drives, lines) to (draws, senses, outputs, bands).
        """
        rows = [island.sense_addresses.index(each) for each in self.island.sense_addresses]
        columns = outputs_of(island)
        gains = []
        for output in outputs_of(self.island):
            weights = [(column, island.drives[column].weight) for column in columns[output]]
            gain = np.asarray(sum(weight * transfer[:, rows, column] for column, weight in weights))
            gains.append(self._in_bands(gain.real**2 + gain.imag**2))
        return np.stack(gains, axis=-2)

    def _in_bands(self, at_lines: Real) -> Real:
        """Means of each band over its lines."""
        _, band = self.lines
        found = np.empty((*at_lines.shape[:-1], BANDS))
        for width in (1, LINES):
            is_so = np.bincount(band, minlength=BANDS)[band] == width
            means = at_lines[..., is_so].reshape(*at_lines.shape[:-1], -1, width).mean(axis=-1)
            found[..., band[is_so][::width]] = means
        return found


def level_db(gains: Real | NDArray[np.float32], spectrum: str) -> Real:
    """Level behind power gains of a signal with a spectrum, by its name; (..., bands). [dB]"""
    level: Real = 10 * np.log10(gains @ 10 ** (band_levels_db(spectrum) / 10) + _FLOOR)
    return level


def _figures_of_cable(cable: CablePlan) -> Iterator[Figure]:
    """Figures of its conductors and of the parts in its plugs."""
    for each in fields(cable):
        value = getattr(cable, each.name)
        if isinstance(value, Figure):
            yield value
    for part in cable.parts:
        yield from part.figures.values()


def _moved(figure: Figure, owner: str, moved: Mapping[FigureOf, Real]) -> Figure:
    change_db = moved.get(FigureOf(owner, id(figure)))
    return figure if change_db is None or not change_db.any() else _at_many(figure, change_db)


def _at_many(figure: Figure, change_db: Real) -> Figure:
    """A figure with one value a draw: its formulas do not care how many they are."""
    value = figure.value + change_db if figure.is_in_db else figure.value * 10 ** (change_db / 20)
    return replace(figure, value=cast(float, value))


def _moved_parts(
    parts: Sequence[PartPlan], owner: str, moved: Mapping[FigureOf, Real]
) -> tuple[PartPlan, ...]:
    return tuple(
        replace(
            part, figures={name: _moved(each, owner, moved) for name, each in part.figures.items()}
        )
        for part in parts
    )


def _moved_port(port: RigPort, moved: Mapping[FigureOf, Real]) -> RigPort:
    figures = {
        name: _moved(figure, port.address, moved) for name, figure in port.plan.figures.items()
    }
    block = port.block
    if block.plan.parts:
        parts = _moved_parts(block.plan.parts, port.item.id, moved)
        block = replace(block, plan=replace(block.plan, parts=parts))
    return replace(port, plan=replace(port.plan, figures=figures), block=block)


def _moved_link(link: RigLink, moved: Mapping[FigureOf, Real]) -> RigLink:
    owner = f"link {link.number}"
    segments = []
    for segment in link.segments:
        cable = segment.cable
        own: dict[str, Any] = {
            each.name: _moved(value, owner, moved)
            for each in fields(cable)
            if isinstance(value := getattr(cable, each.name), Figure)
        }
        parts = _moved_parts(cable.parts, owner, moved)
        segments.append(replace(segment, cable=replace(cable, parts=parts, **own)))
    return replace(link, segments=tuple(segments))
