"""Back from a loudspeaker to the output that feeds it: how many volts there make one volt here.

The way is that of the copper and the stages, whether or not something plays: thresholds are set
before there is a signal.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.graph.points import Edge
from levelhead.chain.solution import Solution
from levelhead.chain.wired.lanes import lanes_of
from levelhead.quantity.bands import BANDS
from levelhead.rig.model import RigPort

__all__ = ["Step", "WaysBack"]

Real = NDArray[np.float64]

_AS_MUCH: Final = 0.5  # 6 dB less is heard beside it, common practice


@dataclass(frozen=True, slots=True)
class Step:
    """A point before another, and the gain from it to there in each band, (bands,).

    ``beside`` counts others that are added there, passing about as much.
    """

    row: int
    gain: Real
    edge: Edge
    beside: int = 0


@dataclass(frozen=True, eq=False)
class WaysBack:
    """Ways against the signal through a solved rig."""

    solution: Solution

    @cached_property
    def _arriving(self) -> Mapping[int, list[Edge]]:
        """Edges into each point; paths that begin with nothing are left out."""
        found: dict[int, list[Edge]] = {}
        silent = self.solution.graph.wiring.silent
        for edge in self.solution.graph.edges:
            if not silent[edge.source]:
                found.setdefault(edge.target, []).append(edge)
        return found

    def before(self, row: int) -> Iterator[Step]:
        """Points before one, nearest first: at each the edge that passes most."""
        gain: Real = np.ones(BANDS)
        seen = {row}
        while arriving := self._arriving.get(row):
            passed = [float(np.abs(np.asarray(each.gain)).max()) for each in arriving]
            edge = arriving[int(np.argmax(passed))]
            beside = sum(each > _AS_MUCH * max(passed) for each in passed) - 1
            gain = gain * np.broadcast_to(np.abs(np.asarray(edge.gain)), (BANDS,))
            row = edge.source
            if row in seen:  # a loop
                return
            seen.add(row)
            yield Step(row, gain, edge, beside)

    def within(self, row: int, item: str) -> Iterator[Step]:
        """The same as long as they belong to one item, to the socket by which it is fed."""
        for step in self.before(row):
            point = self.solution.graph.points[step.row]
            if point.item != item:
                return
            yield step
            port = self.port(step.row)
            if port is not None and port.plan.role == "in":
                return

    def port(self, row: int) -> RigPort | None:
        """The socket at a point, if it is one."""
        address = self.solution.graph.wiring.addresses[row]
        return self.solution.rig.port_at(address)

    def threshold_control(self, row: int) -> str | None:
        """Address of the dial that sets the threshold behind a point; ``None`` without one.

        Also of a limiter that is switched off: its dial is there.
        """
        point = self.solution.graph.points[row]
        item = self.solution.rig.items.get(point.item)
        if item is None:
            return None
        for lane in lanes_of(self.solution.rig, item):
            for stage in lane.path.stages:
                limiter = stage.shaping.limiter
                names = {lane.point_of(stage), f"{lane.point_of(stage)}-{lane.path.side}"}
                if limiter is not None and point.address in names:
                    name = limiter.threshold_control
                    return (
                        None
                        if name is None
                        else self.solution.rig.control_of(item, lane.block, name)
                    )
        return None
