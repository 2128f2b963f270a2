"""Harm by level: what an output can deliver, against what an input survives."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Final

import numpy as np

from levelhead.chain.solution import Solution
from levelhead.quantity.formatting import format_si
from levelhead.rig.model import RigPort
from levelhead.verdicts.finding import Compared, Finding
from levelhead.verdicts.limit_state import Doubt, LimitState
from levelhead.verdicts.severity import Severity

__all__ = ["SENTENCES", "check_level_harm"]

AMPLE_DB: Final = (
    6.0  # twice the voltage: nobody worries about the spread of damage figures, common practice
)
SENTENCES: Final = {
    Severity.HARM: "{output} can deliver {volts} into {input}, which survives {limit}: "
    "it will be damaged.",
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
    arriving = _arriving_v(solution)
    for address, by_output in arriving.items():
        port = solution.rig.ports.get(address)
        if port is not None and "damage" in port.plan.figures and sum(by_output.values()) > 0:
            yield _finding(solution, port, by_output)


def _arriving_v(solution: Solution) -> dict[str, dict[str, float]]:
    """By input, then by output: the most that can arrive, in the strongest band. [V rms]"""
    found: dict[str, dict[str, float]] = {}
    for edge in solution.graph.edges:
        ceiling_v = float(solution.ceiling[edge.source])
        if edge.through is not None and math.isfinite(ceiling_v):
            by_output = found.setdefault(solution.graph.points[edge.target].address, {})
            most_v = ceiling_v * float(np.abs(np.asarray(edge.gain)).max())
            by_output[edge.through.port] = by_output.get(edge.through.port, 0.0) + most_v
    return found


def _finding(solution: Solution, port: RigPort, by_output: Mapping[str, float]) -> Finding:
    total_v = sum(by_output.values())
    strongest = solution.rig.ports[max(by_output, key=lambda each: by_output[each])]
    damage = port.plan.figures["damage"]

    def doubts() -> Iterator[Doubt]:
        yield Doubt(f"damage level of {port.label}", "fact", damage, +1.0)
        yield from _ceiling_doubts(solution, strongest)

    state = LimitState(20 * math.log10(damage.value / total_v), "dB", doubts)
    severity = state.severity(ample=AMPLE_DB)
    if severity is Severity.FAILS:
        severity = Severity.HARM
    return Finding(
        code="harm.level",
        severity=severity,
        where=port.address,
        what=SENTENCES[severity].format(
            output=strongest.label,
            input=port.label,
            volts=format_si(total_v, "V"),
            limit=format_si(damage.value, "V"),
        ),
        why=(Compared("volts that can arrive", total_v, damage.value, "V"),),
        state=state,
        assumed=_assumed(port),
        source="ceiling of the output through the solved network, against the input's damage level",
        basis=damage.source,
        ports=(port.address, strongest.address),
        caution=_CAUTION if total_v > _TOUCHABLE_V and severity is Severity.HARM else None,
    )


def _ceiling_doubts(solution: Solution, output: RigPort) -> Iterator[Doubt]:
    for edge in solution.graph.edges:
        if edge.through is not None and edge.through.port == output.address:
            figure = solution.graph.points[edge.source].ceiling_figure
            if figure is not None:
                yield Doubt(f"ceiling of {output.label}", "fact", figure, -1.0)
            return


def _assumed(port: RigPort) -> tuple[str, ...]:
    damage = port.plan.figures["damage"]
    if damage.source in {"measured", "standard"}:
        return ()
    return (f"{port.label}: damage level {format_si(damage.value, 'V')} ({damage.source})",)
