"""Switches that a plug closes: the battery of an active instrument, between ring and sleeve.

A two-pole plug joins the ring contact of the socket to the sleeve by its long body, and the battery
is on. With a three-pole plug it is on only if the lead or what stands at its far end joins the two.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from levelhead.circuit.direct.phantom import direct_resistance_ohm
from levelhead.circuit.drawn.islands import Island
from levelhead.circuit.drawn.sketch import Sketch
from levelhead.gear.plan import PowerPlan
from levelhead.rig.model import RigItem, RigPort

__all__ = ["CLOSED_OHM", "between_ohm", "closed_switches"]

# Such preamplifiers draw 0.5 to 1 mA: this takes 1 V off the 9 of their battery. From memory.
CLOSED_OHM: Final = 1000.0


def closed_switches(
    ports: Iterable[RigPort], sketch: Sketch, islands: Sequence[Island]
) -> Iterator[str]:
    """Items among these ports with a battery that is on, because what is plugged joins its pins."""
    for item in {port.item.id: port.item for port in ports}.values():
        for way in item.plan.powered_by:
            if way.switch is not None and between_ohm(item, way, sketch, islands) <= CLOSED_OHM:
                yield item.id


def between_ohm(item: RigItem, way: PowerPlan, sketch: Sketch, islands: Sequence[Island]) -> float:
    """Resistance at direct current between the pins of a switch. [ohm]"""
    one, other = (sketch.pin(f"{item.id}.{port}", pin) for port, pin in way.switch or ())
    return 0.0 if one == other else direct_resistance_ohm(islands, one, other)
