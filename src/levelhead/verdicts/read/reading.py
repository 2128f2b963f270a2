"""A solution as the rules read it: what several of them need is worked out once."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.draws.bends import TriedIslands
from levelhead.chain.draws.islands import Output
from levelhead.chain.most import Most
from levelhead.chain.noise.hum import ChainHum, solve_hum
from levelhead.chain.solution import Solution
from levelhead.circuit.loads.loading import reference_response
from levelhead.quantity.bands import mid_hz
from levelhead.rig.model import Rig, RigItem
from levelhead.verdicts.read.delivered import Delivered, arriving
from levelhead.verdicts.read.doubts import strongest_way
from levelhead.verdicts.read.driving import drivers_in_turn
from levelhead.verdicts.read.kept import Made, Note, Worked
from levelhead.verdicts.read.reach import Reach
from levelhead.verdicts.read.spreads import LevelSpreads
from levelhead.verdicts.read.stamps import Stamps
from levelhead.verdicts.read.strips import Strip, strips

__all__ = ["Reading"]


@dataclass(frozen=True, eq=False)
class Reading:
    """A solved rig for the rules.

    ``hum_before`` is the hum of what stood before an edit, ``islands`` those whose figures were
    tried in any solution of the show, ``stamps`` tell what an edit has changed, and ``worked``
    is what was worked out before and in this reading.
    """

    solution: Solution
    stamps: Stamps
    hum_before: ChainHum | None = None
    islands: TriedIslands = field(default_factory=TriedIslands)
    worked: Worked = field(default_factory=Worked)

    def __repr__(self) -> str:
        return f"Reading({self.solution!r}, number {self.stamps.number})"

    @classmethod
    def of(
        cls, solution: Solution, before: Reading | None = None, islands: TriedIslands | None = None
    ) -> Reading:
        """A reading that takes from the one ``before`` an edit what it may."""
        tried = TriedIslands() if islands is None else islands
        if before is None:
            return cls(solution, Stamps.first(solution), islands=tried)
        stamps = before.stamps.after(before.solution, solution)
        return cls(solution, stamps, before.known_hum, tried, before.worked.after())

    @property
    def known_hum(self) -> ChainHum | None:
        """Hum here, if anybody has asked for it, else that of before."""
        return self.hum if "hum" in vars(self) else self.hum_before

    @property
    def rig(self) -> Rig:
        """The rig that was solved."""
        return self.solution.rig

    @property
    def is_excerpt(self) -> bool:
        """Whether it has only what a question is about: what is missing from it tells nothing."""
        return self.rig.show.is_excerpt

    def plugs(self, *items: str) -> tuple[str, ...]:
        """Addresses of the sockets of some items that have a plug in them."""
        return tuple(
            address
            for address, port in self.rig.ports.items()
            if port.item.id in items and port.link is not None
        )

    @cached_property
    def hum(self) -> ChainHum:
        """Hum at every input and every loudspeaker."""
        return solve_hum(self.solution, previous=self.hum_before)

    def most(self, *, trusts_limiters: bool, turns_up: bool = True) -> Most:
        """The most that can come to points; each is found once."""
        most = Most(self.solution, trusts_limiters, turns_up)
        return self._mosts.setdefault((trusts_limiters, turns_up), most)

    @cached_property
    def _mosts(self) -> dict[tuple[bool, bool], Most]:
        return {}

    @cached_property
    def spreads(self) -> LevelSpreads:
        """Draws of levels where doubts do not tell them."""
        return LevelSpreads(self.solution, self.islands)

    def moves(
        self, point: int, *, slope: float, peak: bool = False
    ) -> Callable[[], NDArray[np.float64] | None]:
        """Draws of a margin that moves ``slope`` dB for each dB of the level (or peak) at a point.

        They hold all doubts of ``doubts_of_level`` that are marked as drawn.
        """

        def drawn() -> NDArray[np.float64] | None:
            moves_db = self.spreads.moves_db(point, of_peaks=peak)
            return None if moves_db is None else slope * moves_db

        return drawn

    def is_open(self, point: int) -> bool:
        """Whether a control that nobody knows stands on the way to a point."""
        unknowns = self.rig.unknowns
        return bool(unknowns) and bool(
            unknowns.intersection(strongest_way(self.solution, point).controls)
        )

    def noted(
        self,
        note: Note[Made],
        reads: tuple[object, ...],
        make: Callable[[], Made],
        *,
        at: Hashable = None,
    ) -> Made:
        """What is made of all that is in ``reads``; while that stays, what was made of it before.

        It outlives this reading, so it holds names and numbers only, nothing that was solved.
        """
        known = self.worked.noted.get((note, at))
        if known is None or known[0] != reads:
            known = self.worked.noted[note, at] = (reads, make())
        made: Made = known[1]
        return made

    @cached_property
    def reach(self) -> Reach:
        """Where signals can get from every point as everything stands."""
        return Reach(self.solution)

    @cached_property
    def drivers(self) -> tuple[RigItem, ...]:
        """What drives loudspeakers, in the order in which it is switched on: last of all."""
        return tuple(item for turn in self.drivers_in_turn for item in turn)

    @cached_property
    def drivers_in_turn(self) -> tuple[tuple[RigItem, ...], ...]:
        """The same, those that feed others in a turn before those."""
        return drivers_in_turn(self.reach)

    @cached_property
    def strips(self) -> tuple[Strip, ...]:
        """Every strip that has a meter and a signal at its input; those that stayed are kept."""
        return tuple(strips(self.solution, self.stamps, self.worked.strips))

    def strips_at(self, where: str | None) -> tuple[Strip, ...]:
        """Strips of a port or a control; all of them where none is named."""
        if where is None or "strips" in vars(self):
            return self.strips
        return tuple(strips(self.solution, self.stamps, self.worked.strips, where))

    @cached_property
    def own_ceilings_v(self) -> Mapping[Output, float]:
        """Rms that the stage behind each output swings by itself. [V]"""
        graph = self.solution.graph
        ceiling_v = graph.wiring.columns.ceiling[graph.columns.source]
        known = np.flatnonzero(graph.is_through & np.isfinite(ceiling_v)).tolist()
        through = [graph.wiring.on_way(int(graph.live[number])).through for number in known]
        return {
            (each.port, each.signal): float(ceiling_v[number])
            for number, each in zip(known, through, strict=True)
            if each is not None
        }

    def on_its_own_load(self, output: Output) -> NDArray[np.complex128] | None:
        """What an output gives to the load that it is made for, (bands,); ``None`` without one.

        It hangs on the plan of the socket alone, and is solved once for each.
        """
        port, signal = self.rig.ports[output[0]], output[1]
        name = (id(port.plan), port.item.plan.earth, signal)
        known = self.worked.on_own_loads
        if name not in known:
            known[name] = (port.plan, reference_response(port, signal, mid_hz()))
        return known[name][1]

    @cached_property
    def arriving(self) -> Mapping[str, Delivered]:
        """By port, the most that can arrive there through the copper; of two signals the larger."""
        found: dict[str, Delivered] = {}
        for address, most in arriving(self.solution, self.worked.delivered):
            port = address if address in self.rig.ports else address.rpartition(".")[0]
            if port not in found or found[port].total_v < most.total_v:
                found[port] = most
        return found
