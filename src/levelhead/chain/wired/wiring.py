"""The wiring of a chain: its points and every way between them, before any knob is looked at.

What stands here changes only with plugs, switches and items. A gain that is turned leaves it as it
is: ``chain.as_set.graph`` reads the controls, and ways that are off are left out then.
"""

from __future__ import annotations

import itertools
import math
from bisect import bisect_right
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from functools import cached_property
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from levelhead.chain.carrying.carried import Injection
from levelhead.chain.graph.points import UNITS, Component, Entry, Point, Through, Unit
from levelhead.chain.wired.banks import Bank
from levelhead.chain.wired.digital import DigitalWays
from levelhead.circuit.limits.currents import Driver
from levelhead.gear.figures import Figure
from levelhead.quantity.spectra import band_levels_db
from levelhead.rig.model import Rig

__all__ = ["OnWay", "PointColumns", "Wires", "Wiring", "unit_of_socket", "wires"]

Real = NDArray[np.float64]
Whole = NDArray[np.int64]
NONE: Final = -1  # in a column of numbers
NO_PAN: Final = (NONE, 0.0)


@dataclass(frozen=True, slots=True, eq=False)
class Wires:
    """Ways from point to point, as columns.

    The gain of a way is ``factor``, times what ``control`` makes of it (a pan, where ``side`` is 0
    left or 1 right; else decibels), times the gain of the stage that it leads into.

    Attributes
    ----------
    is_stage : bool
        Whether the way is a stage: then its control is that of its target.
    delay_ns : int
        What the way itself takes, in the air. [ns]
    """

    source: Whole
    target: Whole
    factor: Real
    control: Whole
    side: Whole
    law_db: Real
    is_stage: NDArray[np.bool_]
    delay_ns: Whole

    def __len__(self) -> int:
        return len(self.source)

    @classmethod
    def together(cls, parts: Iterable[Wires]) -> Wires:
        """All ways of several."""
        gathered, names = list(parts), [each.name for each in fields(cls)]
        return cls(*(np.concatenate([getattr(part, name) for part in gathered]) for name in names))


def wires(  # noqa: PLR0913 -- all that a way is made of
    source: ArrayLike,
    target: ArrayLike,
    *,
    factor: ArrayLike = 1.0,
    control: ArrayLike = NONE,
    pan: tuple[int, float] = NO_PAN,
    is_stage: bool = False,
    delay_ns: ArrayLike = 0,
) -> Wires:
    """Ways between points; what is one number holds for all. ``pan``: side and law in dB."""
    starts = np.asarray(source, dtype=np.int64).ravel()
    count = len(starts)
    return Wires(
        starts,
        np.asarray(target, dtype=np.int64).ravel(),
        np.full(count, factor, dtype=np.float64),
        np.full(count, control, dtype=np.int64),
        np.full(count, pan[0], dtype=np.int64),
        np.full(count, pan[1], dtype=np.float64),
        np.full(count, is_stage, dtype=bool),
        np.full(count, delay_ns, dtype=np.int64),
    )


class OnWay(NamedTuple):
    """What stands on a way whatever its gain: its control, its figures, the island it crosses."""

    control: str | None
    figures: tuple[Figure, ...]
    through: Through | None


@dataclass(frozen=True, slots=True, eq=False)
class PointColumns:
    """What is fixed at points; as the fields of a ``Point``, each (points,).

    Attributes
    ----------
    fixed_gain
        Factor of the stage without its control.
    control
        Number of the control that sets the gain.
    """

    unit: NDArray[np.int8]
    ceiling: Real
    noise: Real
    ein_v: Real
    ein_current_a: Real
    self_noise_pa: Real
    fixed_gain: Real
    control: Whole


def unit_of_socket(rig: Rig, address: str) -> Unit:
    """Unit of what is sensed at a socket, or of a channel of a digital one."""
    if address in rig.ports:
        return "V"
    return "FS" if rig.ports[address.rpartition(".")[0]].plan.is_digital else "V"


@dataclass(frozen=True, eq=False)
class Wiring:
    """Points in the order sockets, stages (bank by bank), and loose ones; and all ways.

    Attributes
    ----------
    sockets
        Number of the point at each plugged port, by address.
    drivers
        Number of the last stage before each output.
    silent
        Points of paths that nothing enters, or that have no power.
    loose
        Sources in the air, and points that only help.
    ears
        Points at which sound in the air enters, by the item that hears it.
    controls
        Addresses of the controls that set gains, by their numbers.
    throughs
        For each way through an island, from way ``first_through`` on: the island and its output.
    through_row
        Its row among the gains of all passages.
    digital
        The last ways before those through islands: of numbers, between digital sockets.
    origin_figures
        Gain or pad that an input has before the first stage, by number of the way.
    """

    rig: Rig
    sockets: Mapping[str, int]
    banks: tuple[Bank, ...]
    drivers: Mapping[Driver, int]
    silent: NDArray[np.bool_]
    loose: tuple[Point, ...]
    ears: Mapping[str, Sequence[int]]
    columns: PointColumns
    ways: Wires
    controls: tuple[str, ...]
    first_through: int
    throughs: Sequence[Through]
    through_row: Whole
    digital: DigitalWays
    origin_figures: Mapping[int, Figure]
    components: tuple[Component, ...]
    entries: tuple[Entry, ...]

    def __repr__(self) -> str:
        return f"Wiring({len(self.addresses)} points, {len(self.controls)} controls)"

    def __len__(self) -> int:
        return len(self.columns.unit)

    @cached_property
    def addresses(self) -> Sequence[str]:
        """Address of every point."""
        stages = itertools.chain.from_iterable(bank.addresses() for bank in self.banks)
        return [*self.sockets, *stages, *(point.address for point in self.loose)]

    @cached_property
    def index(self) -> Mapping[str, int]:
        """Number of every point by its address."""
        return {address: number for number, address in enumerate(self.addresses)}

    def is_named_like(self, other: Wiring) -> bool:
        """Whether the points of another wiring are called alike, and the same ones are entered.

        A switch that changes gains only leaves all of it as it was.
        """
        if self is other:
            return True
        entered = [each.point for each in self.entries]
        return entered == [each.point for each in other.entries] and list(self.addresses) == list(
            other.addresses
        )

    @cached_property
    def _firsts(self) -> list[int]:
        return [bank.first for bank in self.banks]

    def unit(self, number: int) -> Unit:
        """Unit of a point."""
        return UNITS[int(self.columns.unit[number])]

    def point(self, number: int, gain: float) -> Point:
        """A point as people read it; ``gain`` is that of its stage as it stands.

        Kept for the graphs that share this wiring, until the gain is another one.
        """
        known = self._points.get(number)
        if known is None or known.gain != gain:
            known = self._points[number] = self._made_point(number, gain)
        return known

    @cached_property
    def _points(self) -> dict[int, Point]:
        return {}

    def _made_point(self, number: int, gain: float) -> Point:
        if number < len(self.sockets):
            return self._socket(number)
        if number >= len(self) - len(self.loose):
            return self.loose[number - len(self)]
        bank = self.banks[bisect_right(self._firsts, number) - 1]
        current_a = float(self.columns.ein_current_a[number])
        point = bank.point(number, gain=gain, is_silent=bool(self.silent[number]))
        return replace(point, ein_current_a=current_a) if current_a else point

    def _socket(self, number: int) -> Point:
        address = self.addresses[number]
        port = self.rig.ports.get(address) or self.rig.ports[address.rpartition(".")[0]]
        return Point(
            address,
            unit_of_socket(self.rig, address),
            port.item.id,
            label=port.label,
            ceiling=float(self.columns.ceiling[number]),
            ceiling_figure=port.plan.figures.get("clip"),
        )

    def stage_figures(self, number: int) -> tuple[Figure, ...]:
        """Figures in the gain of the stage at a point; none at sockets and loose points."""
        if not len(self.sockets) <= number < len(self) - len(self.loose):
            return ()
        bank = self.banks[bisect_right(self._firsts, number) - 1]
        _, stage = bank.at(number)
        return tuple(each for each in (stage.gain_db, stage.ratio) if each is not None)

    @cached_property
    def known_paths(self) -> dict[bytes, tuple[tuple[str, ...], ...]]:
        """Paths by the edges that carry them (``chain.ways``): a turned gain leaves most alike."""
        return {}

    def on_way(self, way: int) -> OnWay:
        """What stands on a way."""
        known = self._on_ways.get(way)
        if known is None:
            known = self._on_ways[way] = self._found_on_way(way)
        return known

    @cached_property
    def _on_ways(self) -> dict[int, OnWay]:
        return {}

    def _found_on_way(self, way: int) -> OnWay:
        target = int(self.ways.target[way])
        own, of_target = int(self.ways.control[way]), int(self.columns.control[target])
        is_stage = bool(self.ways.is_stage[way]) or own == NONE  # a mix into a stage that is turned
        control = of_target if is_stage else own
        figures = self.stage_figures(target)
        origin = self.origin_figures.get(way)
        through = way - self.first_through
        return OnWay(
            control=None if control == NONE else self.controls[control],
            figures=figures if origin is None else (*figures, origin),
            through=self.throughs[through] if through >= 0 else None,
        )

    @cached_property
    def injections(self) -> Sequence[Injection]:
        """Each component where it enters, spread over the bands."""
        return [self._injection(entry) for entry in self.entries]

    def _injection(self, entry: Entry) -> Injection:
        levels_db = band_levels_db(self.components[entry.component].spectrum)
        amplitude = (entry.rms * 10 ** (levels_db / 20)).astype(np.complex128)
        return Injection(entry.point, entry.component, amplitude)

    @cached_property
    def current_limits_a(self) -> Real:
        """Peak current of a leg of the output of each way through an island; ``inf`` without."""
        plans = (self.rig.ports[through.port].plan for through in self.throughs)
        limits = (plan.figure("current") for plan in plans)
        return np.array([math.inf if limit is None else limit for limit in limits])
