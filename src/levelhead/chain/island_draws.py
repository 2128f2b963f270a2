"""One island drawn anew with other figures: its circuits and cables are built again from them.

Parts of a circuit may hang on several figures (what lies between the legs of an input is what its
impedance leaves beside its legs), so figures are moved where the gear book has them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from functools import cached_property
from typing import Any, Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from levelhead.circuit.assembly import Island, assemble
from levelhead.circuit.pieces import Piece, pieces_of
from levelhead.circuit.solve import Solved, solve_networks
from levelhead.gear.figures import Figure
from levelhead.gear.plan import CablePlan, PartPlan
from levelhead.quantity.bands import mid_hz
from levelhead.rig.model import Rig, RigLink, RigPort

__all__ = ["FigureOf", "IslandDraws", "Output", "outputs_of"]

Real = NDArray[np.float64]
Output = tuple[str, str | None]  # a port, and which of its signals

_LIMITS: Final = frozenset(  # figures of ports that shape no linear circuit
    {"damage", "clip", "ceiling", "current", "min-load", "phantom", "dc-tolerance"}
)
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
    """An island of a rig that can be solved with other figures.

    Attributes
    ----------
    power : float, (bands,)
        Of the signal, in any unit.
    """

    rig: Rig
    island: Island
    solved: Solved
    power: Real

    @cached_property
    def _piece(self) -> Piece:
        """All that it hangs together with, by plugs or by a box."""
        return next(
            piece
            for piece in pieces_of(self.rig)
            if any(port.address in self._addresses for port in piece.ports)
        )

    @property
    def _links(self) -> tuple[RigLink, ...]:
        return self._piece.links

    @cached_property
    def _addresses(self) -> frozenset[str]:
        """Its ports."""
        senses = (
            address if address in self.rig.ports else address.rpartition(".")[0]
            for address in self.island.sense_addresses
        )
        return frozenset((*senses, *(drive.port for drive in self.island.drives)))

    @cached_property
    def _ports(self) -> dict[str, RigPort]:
        """Ports of its piece, and the others of their blocks."""
        return {
            port.sibling(name): self.rig.ports[port.sibling(name)]
            for port in self._piece.ports
            for name in port.block.plan.ports
        }

    @cached_property
    def figures(self) -> dict[FigureOf, Figure]:
        """Its doubtful figures."""
        return {key: each for key, each in self._all_figures() if each.spread_db > 0}

    def _all_figures(self) -> Iterator[tuple[FigureOf, Figure]]:
        for address in self._addresses:
            port = self.rig.ports[address]
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

    def figure_of(self, tag: str, figure: Figure) -> FigureOf:
        """Which figure a sensitivity is about, by its tag."""
        if tag.startswith("link "):
            return FigureOf(tag.partition(",")[0], id(figure))
        place = tag.rpartition(".")[0]
        owner = place if place in self.rig.ports else tag.partition(".")[0]
        return FigureOf(owner, id(figure))

    @cached_property
    def spreads_db(self) -> Real:
        """One standard deviation of each doubtful figure. [dB]"""
        return np.array([figure.spread_db for figure in self.figures.values()])

    @cached_property
    def usual_db(self) -> Real:
        """Levels with every figure at its value; (senses, outputs). [dB]"""
        return self._levels_db(self.island, self.solved)

    def changes_db(self, moved_db: Real) -> Real:
        """Changes of level; figures moved by (draws, figures) to (draws, senses, outputs). [dB]"""
        islands = [self._redrawn(row) for row in moved_db]
        solved = solve_networks([each.network() for each in islands], mid_hz())
        levels = [self._levels_db(*each) for each in zip(islands, solved, strict=True)]
        return np.array(levels).reshape(-1, *self.usual_db.shape) - self.usual_db

    def _redrawn(self, moved_db: Real) -> Island:
        """The same island, with figures moved."""
        moved = dict(zip(self.figures, moved_db.tolist(), strict=True))
        ports = {address: _moved_port(port, moved) for address, port in self._ports.items()}
        links = tuple(_moved_link(link, moved) for link in self._links)
        islands = assemble(replace(self.rig, ports=ports, links=links))
        wanted = self.island.sense_addresses[0]
        return next(each for each in islands if wanted in each.senses)

    def _levels_db(self, island: Island, solved: Solved) -> Real:
        """Levels at each sense by each output, in the order of the island as it stands. [dB]"""
        rows = [island.sense_addresses.index(each) for each in self.island.sense_addresses]
        columns = outputs_of(island)
        levels = []
        for output in outputs_of(self.island):
            weights = [(column, island.drives[column].weight) for column in columns[output]]
            gain = np.asarray(
                sum(weight * solved.transfer[rows, column] for column, weight in weights)
            )
            levels.append(((gain.real**2 + gain.imag**2) * self.power).sum(axis=-1))
        return 10 * np.log10(np.array(levels).T + _FLOOR)


def _figures_of_cable(cable: CablePlan) -> Iterator[Figure]:
    """Figures of its conductors and of the parts in its plugs."""
    for each in fields(cable):
        value = getattr(cable, each.name)
        if isinstance(value, Figure):
            yield value
    for part in cable.parts:
        yield from part.figures.values()


def _moved(figure: Figure, owner: str, moved: Mapping[FigureOf, float]) -> Figure:
    change_db = moved.get(FigureOf(owner, id(figure)))
    return figure if not change_db else figure.moved(change_db)


def _moved_parts(
    parts: Sequence[PartPlan], owner: str, moved: Mapping[FigureOf, float]
) -> tuple[PartPlan, ...]:
    return tuple(
        replace(
            part, figures={name: _moved(each, owner, moved) for name, each in part.figures.items()}
        )
        for part in parts
    )


def _moved_port(port: RigPort, moved: Mapping[FigureOf, float]) -> RigPort:
    figures = {
        name: _moved(figure, port.address, moved) for name, figure in port.plan.figures.items()
    }
    block = port.block
    if block.plan.parts:
        parts = _moved_parts(block.plan.parts, port.item.id, moved)
        block = replace(block, plan=replace(block.plan, parts=parts))
    return replace(port, plan=replace(port.plan, figures=figures), block=block)


def _moved_link(link: RigLink, moved: Mapping[FigureOf, float]) -> RigLink:
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
