"""Thin copper on a loudspeaker: heat in each metre of a lead while the amplifier gives its all."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

import numpy as np

from levelhead.circuit.loading import Output, columns_of
from levelhead.quantity.formatting import format_si
from levelhead.quantity.spectra import band_levels_db
from levelhead.rig.model import RigLink, Segment
from levelhead.verdicts.explain import Explained, Threshold
from levelhead.verdicts.finding import Compared, Finding, Severity
from levelhead.verdicts.limit_state import LimitState
from levelhead.verdicts.reading import Reading

__all__ = [
    "EXPLAINED",
    "HEAT",
    "HEAT_LIMIT_W_PER_M",
    "SENTENCES",
    "check_heat_of_leads",
    "heat_limit_w_per_m",
]

HEAT: Final = "wiring.heat"

# A thin screened lead, 0.22 mm2, stands about 2 W in each metre (from memory); what is given off
# grows with the surface, which is as the root of the section
HEAT_LIMIT_W_PER_M: Final = 2.0
_THIN_CORE_OHM_PER_M: Final = 0.085  # IEC 60228: 0.22 mm2
_PROGRAMME: Final = "programme"  # IEC 60268-1: what loudspeakers are rated with
_AMPLE_HEAT_DB: Final = 2.0  # two thirds of the heat; nobody plays at the ceiling for long

SENTENCES: Final = {
    HEAT: {
        Severity.HARM: "At full power {heat} stand in each metre of the lead into {input}, which "
        "takes {limit}: it softens, shorts the amplifier and can burn.",
        Severity.CARE: "At full power {heat} stand in each metre of the lead into {input}, close "
        "to the {limit} that it takes. It works while nobody drives it hard for long.",
        Severity.FINE: "At full power {heat} stand in each metre of the lead into {input}, which "
        "takes {limit}.",
    },
}
_HEAT_CAUTION: Final = (
    "Leads that get hot can burn and start fires. Switch the amplifier off before they are touched."
)


def check_heat_of_leads(reading: Reading) -> Iterator[Finding]:
    """Leads on loudspeaker outputs: watts in each metre when the amplifier gives all it has."""
    ceilings = reading.own_ceilings_v
    for link in reading.rig.links:
        for port in link.ports:
            plan = reading.rig.ports[port].plan
            if plan.role == "loudspeaker" and plan.circuit is not None:
                current_a = _full_current_a(reading, (port, None), ceilings.get((port, None)))
                for segment in link.segments:
                    if segment.length_m > 0 and current_a > 0:
                        yield _judge_heat(reading, link, segment, port, current_a)


def _full_current_a(reading: Reading, output: Output, ceiling_v: float | None) -> float:
    """Current of an output at its ceiling while it plays programme, within its limit. [A]"""
    if ceiling_v is None:
        return 0.0
    limit = reading.rig.ports[output[0]].plan.figure("current")
    most_a = math.inf if limit is None else limit / math.sqrt(2)
    for island, solved in zip(reading.solution.islands, reading.solution.solved, strict=True):
        columns = columns_of(island, output)
        if columns:
            drives = [(each, island.drives[each].weight) for each in columns]
            per_v = sum(weight * solved.source_current[columns[0], each] for each, weight in drives)
            power = 10 ** (band_levels_db(_PROGRAMME) / 10)
            return min(ceiling_v * float(np.sqrt((np.abs(per_v) ** 2 * power).sum())), most_a)
    return 0.0


def heat_limit_w_per_m(core_ohm_per_m: float) -> float:
    """Heat that a metre of lead gives off before its insulation softens. [W/m]

    >>> round(heat_limit_w_per_m(0.085), 1), round(heat_limit_w_per_m(0.00798), 1)
    (2.0, 6.5)
    """
    return HEAT_LIMIT_W_PER_M * math.sqrt(_THIN_CORE_OHM_PER_M / core_ohm_per_m)


def _there_and_back_ohm_per_m(segment: Segment) -> float:
    """Copper of both ways of a metre: two cores, or a core and the screen. [ohm/m]"""
    core = segment.cable.core_ohm_per_m
    screen = segment.cable.screen_ohm_per_m
    if core is None:
        return 0.0
    return core.value + (core if screen is None else screen).value


def _judge_heat(
    reading: Reading, link: RigLink, segment: Segment, port: str, current_a: float
) -> Finding:
    core = segment.cable.core_ohm_per_m
    heat_w = current_a**2 * _there_and_back_ohm_per_m(segment)
    limit_w = heat_limit_w_per_m(_THIN_CORE_OHM_PER_M if core is None else core.value)
    state = LimitState(10 * math.log10(limit_w / max(heat_w, 1e-9)), "dB")
    severity = state.severity(ample=0.0)
    if severity is Severity.FAILS:
        severity = Severity.HARM
    elif state.margin < _AMPLE_HEAT_DB:
        severity = Severity.CARE
    far = next((each for each in link.ports if each != port), port)
    words = {
        "heat": format_si(heat_w, "W"),
        "limit": format_si(limit_w, "W"),
        "input": reading.rig.ports[far].label,
    }
    return Finding(
        code=HEAT,
        severity=severity,
        where=far,
        what=SENTENCES[HEAT][severity].format(**words),
        why=(Compared("heat in each metre at full power", heat_w, limit_w, "W/m"),),
        state=state,
        source="current of the output at its ceiling through the copper of the lead",
        basis="IEC 60228 for the copper; heat that a lead stands from memory",
        ports=link.ports,
        caution=_HEAT_CAUTION if severity is Severity.HARM else None,
    )


EXPLAINED: Final = (
    Explained(
        HEAT,
        "Heat in each metre of a loudspeaker lead while the amplifier gives all that it has: "
        "current at its ceiling, squared, times the copper there and back.",
        (Threshold("heat of a lead of 0.22 mm2: harm", HEAT_LIMIT_W_PER_M, "W/m", "from memory"),),
        "IEC 60228 for the copper; thicker leads give off more, as the root of their section",
    ),
)
