"""How well sockets are made for what goes into them: connector, sides, place of the gain."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, NamedTuple

from levelhead.gear.plan import PortPlan
from levelhead.gear.plan.ways import control_behind
from levelhead.planning.asked.pointers import GainAnswer
from levelhead.planning.proposal.free_inputs import Inputs
from levelhead.planning.typed.pairing import strangeness
from levelhead.rig.model import RigPort

__all__ = ["MIDDLE", "Fit", "can_be_turned", "fit_of", "strange_sockets"]

_BOTH: Final = 2
_TWO_STRIPS: Final = 1  # cost of both sides on two strips, where they could be one
_ONE_OF_TWO: Final = 2  # cost of both sides summed, or of one side alone
MIDDLE: Final = 0.15  # of the travel of a gain, either way from its middle: made for that level


class Fit(NamedTuple):
    """Less is better: sockets of other plugs, then a gain far from the middle of its travel.

    A line output in a microphone input, or a microphone in a line input, has its gain near an end.
    """

    strange: int = 0
    off_middle: float = 0.0


def fit_of(outputs: Sequence[PortPlan], inputs: Inputs, gain: GainAnswer | None) -> Fit:
    """How well outputs go into inputs, whose gain stands where a solved show has it."""
    off_middle = 0.0 if gain is None else abs(gain.travel - 0.5)
    return Fit(strange_sockets(outputs, inputs), round(off_middle, 2))


def can_be_turned(port: RigPort) -> bool:
    """Whether a knob or fader stands behind an input."""
    return control_behind(port.item.plan, port.block.address(port.plan.name)) is not None


def strange_sockets(outputs: Sequence[PortPlan], inputs: Inputs) -> int:
    """How far sockets are from being made for one another; 0 where they are."""
    pairs = zip(outputs, inputs, strict=False)
    cost = max((strangeness(output, port.plan) for output, port in pairs), default=0)
    sides = len(outputs) if len(outputs) > 1 else max(len(outputs[0].signals), 1)
    if sides == _BOTH and len(inputs) < _BOTH:
        return cost + _ONE_OF_TWO
    return cost + _TWO_STRIPS * (len({port.strip for port in inputs}) > 1)
