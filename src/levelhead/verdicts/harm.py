"""Harm by level: what an output can deliver, against what an input survives."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

import numpy as np

from levelhead.chain.solution import Solution
from levelhead.gear.plan import PortPlan
from levelhead.quantity.formatting import format_si
from levelhead.verdicts.finding import Compared, Finding, Severity
from levelhead.verdicts.limit_state import Doubt, LimitState

__all__ = ["SENTENCES", "check_level_harm"]

AMPLE_DB: Final = (
    6.0  # twice the voltage: nobody worries about the spread of damage figures, common practice
)
SENTENCES: Final = {
    Severity.HARM: "{output} can deliver {volts} into {input}, which survives {limit}: it will be damaged.",
    Severity.CARE: "{output} can deliver {volts}, close to the {limit} that {input} survives.",
    Severity.FINE: "{output} can deliver {volts} at most; {input} survives {limit}.",
}
_CAUTION: Final = (
    "Loudspeaker outputs of amplifiers carry voltages that can shock and start fires. Switch the "
    "amplifier off before any plug on that side is touched, and keep to local rules."
)
_TOUCHABLE_V: Final = (
    25.0  # above this, terminals are treated as hazardous; limits differ by local code
)


def check_level_harm(solution: Solution) -> Iterator[Finding]:
    """Inputs with a damage figure: can anything that is plugged to them exceed it?

    Judged at the ceiling of each output, controls up; several outputs add in the worst phase.
    """
    for number, island in enumerate(solution.islands):
        for row, address in enumerate(island.sense_addresses):
            port = solution.rig.ports.get(address)
            if port is not None and "damage" in port.plan.figures:
                yield from _judge(solution, number, row, address, port.plan)


def _judge(
    solution: Solution, number: int, row: int, address: str, plan: PortPlan
) -> Iterator[Finding]:
    delivered: dict[str, float] = {}
    for edge in solution.graph.edges:
        if edge.island == number and edge.drive and edge.target == solution.graph.index[address]:
            ceiling_v = float(solution.ceiling[edge.source])
            if math.isfinite(ceiling_v):
                most = float(np.abs(np.asarray(edge.gain)).max())
                delivered[edge.drive[0]] = delivered.get(edge.drive[0], 0.0) + ceiling_v * most
    if not delivered:
        return
    total_v = sum(delivered.values())
    strongest = max(delivered, key=lambda each: delivered[each])
    damage = plan.figures["damage"]
    state = LimitState(
        20 * math.log10(damage.value / total_v),
        "dB",
        (
            Doubt(f"{address}, damage level", "fact", damage, +1.0),
            *_ceiling_doubts(solution, strongest),
        ),
    )
    severity = state.severity(ample=AMPLE_DB)
    if severity is Severity.FAILS:
        severity = Severity.HARM
    words = {
        "output": solution.rig.ports[strongest].label,
        "input": solution.rig.ports[address].label,
        "volts": format_si(total_v, "V"),
        "limit": format_si(damage.value, "V"),
    }
    yield Finding(
        code="harm.level",
        severity=severity,
        where=address,
        what=SENTENCES[severity].format(**words),
        why=(Compared("volts that can arrive", total_v, damage.value, "V"),),
        margin=state.margin,
        margin_unit="dB",
        p_holds=state.p_holds,
        flips=state.flips(),
        settle_by=state.settle_by() if severity is not Severity.FINE else None,
        assumed=_assumed(address, plan),
        source="ceiling of the output through the solved network, against the input's damage figure",
        basis=damage.source,
        ports=(address, strongest),
        caution=_CAUTION if total_v > _TOUCHABLE_V and severity is Severity.HARM else None,
    )


def _ceiling_doubts(solution: Solution, port: str) -> Iterator[Doubt]:
    for edge in solution.graph.edges:
        if edge.drive and edge.drive[0] == port:
            figure = solution.graph.points[edge.source].ceiling_figure
            if figure is not None:
                yield Doubt(f"{port}, ceiling", "fact", figure, -1.0)
            return


def _assumed(address: str, plan: PortPlan) -> tuple[str, ...]:
    damage = plan.figures["damage"]
    if damage.source in {"measured", "standard"}:
        return ()
    return (f"{address}: damage level {format_si(damage.value, 'V')} ({damage.source})",)
