"""What feeds gear: mains, batteries, leads; what swings less, or not at all, for want of volts."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.graph.points import UNITS
from levelhead.chain.wired.wiring import Wiring
from levelhead.circuit.direct.phantom import PhantomArrival
from levelhead.gear.plan import PowerPlan
from levelhead.rig.model import Rig

__all__ = ["BY_A_LEAD", "fed_points", "fed_shares", "full_v", "without_power"]

Real = NDArray[np.float64]

BY_A_LEAD: Final = frozenset({"phantom", "bias"})  # ways of being fed that a plug takes away
_P48_V: Final = 48.0  # IEC 61938
_P48_BOTH_LEGS_OHM: Final = 3400.0  # 6.8 kohm in each leg, the two beside one another
_SPARE: Final = 0.99  # of its volts: what a cable drops is no reason


def full_v(way: PowerPlan) -> float | None:
    """Volts from which on the ceilings of an item are those of its figures. [V]

    Its own figure; else, on phantom power, what P48 leaves at its own current, as published figures
    are measured. ``None`` where nothing is known.
    """
    if way.full is not None:
        return way.full.value
    if way.kind == "phantom" and way.current is not None:
        return _P48_V - _P48_BOTH_LEGS_OHM * way.current.value
    return None


def fed_shares(rig: Rig, arrivals: Iterable[PhantomArrival]) -> dict[str, float]:
    """By item, the share of its ceilings that its volts leave; only of those that lack some.

    An output stage swings in proportion to its supply (common practice). Items with a battery or
    the mains do not come into it.
    """
    found: dict[str, float] = {}
    for arrival in arrivals:
        ways = rig.items[arrival.item].plan.powered_by
        if all(way.kind in BY_A_LEAD for way in ways):
            full = max((full_v(way) or 0.0 for way in ways), default=0.0)
            if 0 < arrival.volts < _SPARE * full:
                found[arrival.item] = arrival.volts / full
    return found


def fed_points(wiring: Wiring, shares: Mapping[str, float]) -> Real:
    """The same for every point: stages of those items in volts have less, (points,)."""
    found = np.ones(len(wiring))
    for bank in wiring.banks if shares else ():
        for lane, numbers in zip(bank.lanes, bank.numbers, strict=True):
            found[numbers] = shares.get(lane.item.id, 1.0)
    found[wiring.columns.unit != UNITS.index("V")] = 1.0
    return found


def without_power(
    rig: Rig, arrivals: Iterable[PhantomArrival], closed_switches: Collection[str]
) -> frozenset[str]:
    """Items fed by nothing: no mains, no battery that is on, too little phantom power or bias.

    ``closed_switches`` are items whose battery a plug has switched on.
    """
    fed = {arrival.item for arrival in arrivals if arrival.volts >= arrival.needed_v}

    def is_on(way: PowerPlan, item: str) -> bool:
        is_off = way.switch is not None and item not in closed_switches
        return way.kind not in BY_A_LEAD and not is_off

    return frozenset(
        item.id
        for item in rig.items.values()
        if item.plan.needs_power
        and not any(is_on(way, item.id) for way in item.plan.powered_by)
        and item.id not in fed
    )
