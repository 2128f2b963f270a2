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
from levelhead.verdicts.finding import Compared, Finding, Severity
from levelhead.verdicts.limit_state import Doubt, LimitState

__all__ = ["SENTENCES", "check_phantom_reaches"]

_PER_DB: Final = math.log(10) / 20  # relative change of a figure for 1 dB
_AMPLE_V: Final = 10.0  # spare volts beyond which no spread of currents matters, common practice
SENTENCES: Final = {
    "missing": "{item} needs phantom power and gets none: it is dead.",
    "too-low": "{item} gets {volts} of phantom power at its own current; it needs {needed}.",
    Severity.CARE: "{item} gets {volts} of phantom power at its own current, little more than the {needed} it needs.",
    Severity.FINE: "{item} gets {volts} of phantom power at its own current; it needs {needed}.",
}
_SOURCE: Final = (
    "feed resistors, cable and the item's current at DC (IEC 61938), against its least volts"
)


def check_phantom_reaches(solution: Solution) -> Iterator[Finding]:
    """Items that live on phantom power alone: volts at their own current, against their least volts."""
    for item in solution.rig.items.values():
        ways = item.plan.powered_by
        phantom = next((way for way in ways if way.kind == "phantom"), None)
        if phantom is None or any(way.kind != "phantom" for way in ways):
            continue
        port = f"{item.id}.{phantom.port}"
        if solution.rig.plugged(port):
            yield _judge(item, port, phantom, solution.phantom_at(item.id))


def _judge(item: RigItem, port: str, phantom: PowerPlan, arrival: PhantomArrival | None) -> Finding:
    assert phantom.minimum is not None
    assert phantom.current is not None
    volts = arrival.volts if arrival is not None else 0.0
    is_fed = arrival is not None and arrival.is_fed
    supply_v = volts + (arrival.current_a * 3400 if arrival is not None else 0.0)
    state = LimitState(
        volts - phantom.minimum.value,
        "V",
        (
            Doubt(
                f"{item.id}, phantom current", "fact", phantom.current, (volts - supply_v) * _PER_DB
            ),
            Doubt(
                f"{item.id}, least volts", "fact", phantom.minimum, -phantom.minimum.value * _PER_DB
            ),
        )
        if is_fed
        else (),
    )
    severity = state.severity(ample=_AMPLE_V)
    sentence = (
        SENTENCES["missing" if not is_fed else "too-low"]
        if severity is Severity.FAILS
        else SENTENCES[severity]
    )
    return Finding(
        code="phantom.missing" if not is_fed else "phantom.too-low",
        severity=severity,
        where=port,
        what=sentence.format(
            item=item.label,
            volts=format_si(volts, "V"),
            needed=format_si(phantom.minimum.value, "V"),
        ),
        why=(Compared("volts at the item", volts, phantom.minimum.value, "V"),),
        margin=state.margin,
        margin_unit="V",
        p_holds=state.p_holds,
        flips=state.flips() if severity is not Severity.FINE else (),
        settle_by=state.settle_by() if severity is not Severity.FINE else None,
        source=_SOURCE,
        basis="IEC 61938",
        ports=(port,),
    )
