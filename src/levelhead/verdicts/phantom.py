"""Phantom power: does what needs it get enough of it?"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from levelhead.chain.solution import Solution
from levelhead.circuit.phantom import PhantomArrival
from levelhead.gear.plan import PowerPlan
from levelhead.quantity.formatting import format_si
from levelhead.rig.model import RigItem
from levelhead.verdicts.finding import Compared, Finding
from levelhead.verdicts.limit_state import Doubt, LimitState
from levelhead.verdicts.severity import Severity

__all__ = ["SENTENCES", "check_phantom_reaches"]

P48_SOURCE_OHM: Final = 3400.0  # two feed resistors of 6.8 kohm side by side, IEC 61938
_PER_DB: Final = math.log(10) / 20  # relative change of a figure for 1 dB
_AMPLE_V: Final = 10.0  # spare volts beyond which no spread of currents matters, common practice
SENTENCES: Final = {
    "missing": "{item} needs phantom power and gets none: it is dead.",
    "too-low": "{item} gets {volts} of phantom power at its own current; it needs {needed}.",
    Severity.CARE: "{item} gets {volts} of phantom power at its own current, little more than "
    "the {needed} it needs.",
    Severity.FINE: "{item} gets {volts} of phantom power at its own current; it needs {needed}.",
}
_SOURCE: Final = (
    "feed resistors, cable and the item's current at DC (IEC 61938), against its least volts"
)


def check_phantom_reaches(solution: Solution) -> Iterator[Finding]:
    """Items that live on phantom power alone: volts at their own current against their least."""
    for item in solution.rig.items.values():
        ways = item.plan.powered_by
        phantom = next((way for way in ways if way.kind == "phantom"), None)
        if phantom is None or any(way.kind != "phantom" for way in ways):
            continue
        port = f"{item.id}.{phantom.port}"
        if solution.rig.plugged(port):
            yield _judge(item, port, phantom, solution.phantom_at(item.id))


def _judge(item: RigItem, port: str, way: PowerPlan, arrival: PhantomArrival | None) -> Finding:
    needed_v = 0.0 if way.minimum is None else way.minimum.value
    volts = 0.0 if arrival is None else arrival.volts
    is_fed = arrival is not None and arrival.is_fed
    state = LimitState(volts - needed_v, "V", lambda: _doubts(item, way, arrival))
    severity = state.severity(ample=_AMPLE_V)
    outcome = ("too-low" if is_fed else "missing") if severity is Severity.FAILS else severity
    return Finding(
        code="phantom.too-low" if is_fed else "phantom.missing",
        severity=severity,
        where=port,
        what=SENTENCES[outcome].format(
            item=item.label, volts=format_si(volts, "V"), needed=format_si(needed_v, "V")
        ),
        why=(Compared("volts at the item", volts, needed_v, "V"),),
        state=state,
        source=_SOURCE,
        basis="IEC 61938",
        ports=(port,),
    )


def _doubts(item: RigItem, way: PowerPlan, arrival: PhantomArrival | None) -> Iterator[Doubt]:
    """Margin per dB of the current (which drops volts in the feed) and of the least volts."""
    if arrival is None or not arrival.is_fed:
        return
    if way.current is not None:
        dropped_v = arrival.current_a * P48_SOURCE_OHM
        yield Doubt(f"phantom current of {item.label}", "fact", way.current, -dropped_v * _PER_DB)
    if way.minimum is not None:
        slope = -way.minimum.value * _PER_DB
        yield Doubt(f"least phantom volts of {item.label}", "fact", way.minimum, slope)
