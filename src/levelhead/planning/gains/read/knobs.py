"""The controls of a plan: which of them a signal passes, how far each goes, and what each is."""

from __future__ import annotations

import math
from collections.abc import Mapping
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final

import numpy as np

from levelhead.chain.solution import Solution
from levelhead.chain.wired.lanes import lanes
from levelhead.chain.wired.wiring import NONE
from levelhead.gear.scales import SCALES
from levelhead.planning.gains.planned.plan import ControlKind
from levelhead.planning.gains.read.switches import Switched
from levelhead.rig.model import Rig

__all__ = ["Knob", "Knobs", "knobs_of"]

_LOWEST_DB: Final = -60.0  # of a control that goes to off and is in use, common practice


@dataclass(frozen=True, slots=True)
class Knob:
    """A continuous control that a signal passes, in dB.

    ``is_known`` is false where the show says that nobody knows how it stands; ``depth`` counts the
    points that the signal has passed there.
    """

    control: str
    kind: ControlKind
    now_db: float
    low_db: float
    high_db: float
    is_locked: bool
    is_known: bool
    depth: int = 0

    @property
    def has_unity(self) -> bool:
        """Whether it can amplify and turn down: then unity is where it resolves best."""
        return self.low_db < 0 < self.high_db and self.kind == "fader"


@dataclass(frozen=True, eq=False)
class Knobs:
    """Variables: knobs first, then one for each further option of each switch."""

    knobs: tuple[Knob, ...]
    by_number: Mapping[int, int]
    switches: tuple[Switched, ...]

    @cached_property
    def variable(self) -> Mapping[str, int]:
        """Variable of each knob by its address."""
        return {knob.control: number for number, knob in enumerate(self.knobs)}

    @cached_property
    def options(self) -> tuple[tuple[int, int], ...]:
        """Switch and option behind each variable after the knobs."""
        return tuple(
            (place, option)
            for place, switch in enumerate(self.switches)
            for option in range(len(switch.others))
        )

    def first_option(self, switch: int) -> int:
        """Variable of the first other option of a switch."""
        before = sum(len(each.others) for each in self.switches[:switch])
        return len(self.knobs) + before

    def __len__(self) -> int:
        return len(self.knobs) + len(self.options)


def knobs_of(
    solution: Solution, switches: tuple[Switched, ...], leading: AbstractSet[int]
) -> Knobs:
    """Every control of a range on a live way to a point of ``leading``, in signal order."""
    graph, rig = solution.graph, solution.rig
    wiring = graph.wiring
    ways = wiring.ways
    passed: dict[int, int] = {}
    carrying = solution.nominal[graph.columns.source] > 0
    carrying &= np.isin(graph.columns.target, list(leading))
    for way, target in zip(
        graph.live[carrying].tolist(), graph.columns.target[carrying].tolist(), strict=True
    ):
        for number in (int(ways.control[way]), int(wiring.columns.control[target])):
            if number != NONE and rig.controls[wiring.controls[number]].kind == "range":
                depth = int(graph.order.depth[target])
                passed[number] = min(passed.get(number, depth), depth)
    ceiling_set = _set_by_ceiling(rig)
    crossings = {int(each) for each in np.unique(ways.control) if each != NONE}
    knobs: list[Knob] = []
    by_number: dict[int, int] = {}
    for number, depth in passed.items():
        address = wiring.controls[number]
        if math.isfinite(rig.setting_db(address)):
            by_number[number] = len(knobs)
            kind = _kind(
                solution,
                address,
                is_crossing=number in crossings,
                is_by_ceiling=address in ceiling_set,
            )
            knobs.append(replace(_knob(rig, address, kind), depth=depth))
    return Knobs(tuple(knobs), by_number, switches)


def _knob(rig: Rig, address: str, kind: ControlKind) -> Knob:
    plan, now_db = rig.controls[address], rig.setting_db(address)
    return Knob(
        control=address,
        kind=kind,
        now_db=now_db,
        low_db=min(max(plan.low, _LOWEST_DB), now_db),
        high_db=plan.high,
        is_locked=address in rig.show.locks,
        is_known=address not in rig.unknowns,
    )


def _set_by_ceiling(rig: Rig) -> frozenset[str]:
    return frozenset(
        control
        for lane in lanes(rig)
        for stage in lane.path.stages
        if stage.set_by == "ceiling" and (control := lane.control_of(stage)) is not None
    )


def _kind(
    solution: Solution, address: str, *, is_crossing: bool, is_by_ceiling: bool
) -> ControlKind:
    """What a control is: by what it sets, where that stands, and its scale."""
    plan = solution.rig.controls[address]
    if is_by_ceiling:
        return "transmitter"
    if is_crossing:
        return "send"
    points = solution.graph.wiring.columns.control
    number = solution.graph.wiring.controls.index(address)
    units = {solution.graph.wiring.unit(int(each)) for each in np.flatnonzero(points == number)}
    item = solution.rig.items[address.partition(".")[0]]
    is_born_here = any(
        origin.generator is not None for _, path in item.paths() for origin in path.origins
    )
    if plan.high <= 0 and (is_born_here or units == {"FS"}):
        return "volume"
    if SCALES[plan.scale].shape == "fader" or (plan.low == -math.inf and plan.high > 0):
        return "fader"
    if plan.high <= 0:
        return "attenuator"
    return "gain" if plan.high > _TRIM_DB else "trim"


_TRIM_DB: Final = 30.0  # a control with less gain is called a trim, common practice
