"""Fields round cables: the mains into cores through what the screen lets by, and into loops.

Typical strengths where nothing is known of where cables lie; what a show says lies beside one comes
on top. A magnetic field drives a voltage in the small area that a pair or a coaxial lead leaves
open; an electric one drives a current into each core, alike in both of a pair.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray

from levelhead.circuit.ground.islands import GroundIsland, Listening
from levelhead.circuit.ground.mains import Mains
from levelhead.circuit.ground.pieces import GroundPiece
from levelhead.circuit.hum.neighbours import Neighbouring
from levelhead.gear.connectors import CONNECTORS
from levelhead.gear.plan import CablePlan, PinPlace
from levelhead.rig.model import RigLink, Segment

__all__ = ["Pickup"]

Real: TypeAlias = NDArray[np.float64]

# Area that a metre leaves open to a field, from memory: what the twist or the middle of a coaxial
# lead misses of a pair 2 mm apart; and a flat pair 3 mm apart
_SCREENED_M2_PER_M: Final = 2e-5
_FLAT_M2_PER_M: Final = 3e-3


@dataclass(frozen=True, slots=True)
class _Run:
    """A length of cable by its cores: nodes of the sketch at both ends, first of one core."""

    cores: tuple[tuple[int, int], ...]
    ohm: float
    length_m: float
    is_screened: bool

    @property
    def m2_per_m(self) -> float:
        """Area that a metre leaves open to a field. [m^2/m]"""
        return _SCREENED_M2_PER_M if self.is_screened else _FLAT_M2_PER_M


@dataclass(frozen=True, eq=False)
class Pickup:
    """Pick-up of the cables of a piece."""

    piece: GroundPiece
    mains: Mains

    @cached_property
    def _runs(self) -> dict[int, tuple[_Run, ...]]:
        """Runs by the sketch node at which they begin."""
        found: dict[int, tuple[_Run, ...]] = {}
        for link in self.piece.piece.links:
            for segment in link.segments:
                run = self._run(link, segment)
                if run is not None:
                    start = run.cores[0][0]
                    found[start] = (*found.get(start, ()), run)
        return found

    def _run(self, link: RigLink, segment: Segment) -> _Run | None:
        """The cores of a cable that carry signal; none for an adaptor."""
        cable = segment.cable
        nodes = self.piece.places
        where = ("cable", link.number, segment.number)
        cores = [
            (nodes[*where, *one], nodes[*where, *other])
            for one, other in cable.joins
            if one[0] != other[0]
            and not _is_ground(cable, one, other)
            and (*where, *one) in nodes
            and (*where, *other) in nodes
        ]
        if not cores or not segment.length_m:
            return None
        per_m = cable.core_ohm_per_m.value if cable.core_ohm_per_m is not None else 0.0
        ohm = cable.contact_ohm.value + per_m * segment.length_m
        is_screened = cable.screen_ohm_per_m is not None
        return _Run(tuple(cores), ohm, segment.length_m, is_screened)

    def at(self, island: GroundIsland, place: Listening) -> Real:
        """Mean square that fields bring to an input, by line. [V^2]"""
        power = np.zeros(len(self.mains.lines_hz))
        for node in island.nodes:
            for run in self._runs.get(node, ()):
                power += self._of_run(
                    island, place.between, run, self._loop_v(run), self._core_a(run)
                )
        return power

    def beside(
        self, island: GroundIsland, place: Listening, sockets: frozenset[str], near: Neighbouring
    ) -> Real:
        """Mean square of what lies beside the first cable of a link, by line. [V^2]

        The link is known by its sockets.
        """
        power = np.zeros(len(self.mains.lines_hz))
        left_m = near.along_m
        for run in self._runs_between(sockets):
            length_m = min(run.length_m, left_m)
            left_m -= length_m
            emf_v = near.emf_v_per_m2 * length_m * run.m2_per_m
            core_a = near.core_a(length_m, is_screened=run.is_screened)
            power += self._of_run(island, place.between, run, emf_v, core_a)
        return power

    def _runs_between(self, sockets: frozenset[str]) -> Iterator[_Run]:
        """Runs of the link that has these sockets, in their order."""
        for link in self.piece.piece.links:
            if sockets == frozenset(link.link.ends.values()):
                found = (self._run(link, segment) for segment in link.segments)
                yield from (run for run in found if run is not None)

    def _of_run(
        self, island: GroundIsland, sense: int, run: _Run, loop_v: Real, core_a: Real
    ) -> Real:
        reach_ohm = island.solved.transfer_ohm[sense]
        ends = [
            (island.nodes[one], island.nodes[other])
            for one, other in run.cores
            if one in island.nodes and other in island.nodes
        ]
        if not ends:
            return np.zeros(reach_ohm.shape[1])
        one, other = ends[0]
        around = (reach_ohm[one] - reach_ohm[other]) / run.ohm * loop_v
        into = sum(reach_ohm[end] for _, end in ends) * core_a
        return np.asarray(np.abs(around) ** 2 + np.abs(into) ** 2)

    def _loop_v(self, run: _Run) -> Real:
        """Emf round a run: ``2 pi f B A``. [V]"""
        mains = self.mains
        area_m2 = run.length_m * run.m2_per_m
        omega = 2 * np.pi * mains.lines_hz
        return np.asarray(omega * mains.density.value * area_m2 * mains.earth_spectrum)

    def _core_a(self, run: _Run) -> Real:
        """Current into each core: ``2 pi f C U``. [A]"""
        mains = self.mains
        per_m = mains.screened_f_per_m if run.is_screened else mains.bare_f_per_m
        omega = 2 * np.pi * mains.lines_hz
        volts = mains.volts * mains.class_1_spectrum
        return np.asarray(omega * per_m.value * run.length_m * volts)


def _is_ground(cable: CablePlan, *ends: PinPlace) -> bool:
    return any(pin == CONNECTORS[cable.ends[end]].ground for end, pin in ends)
