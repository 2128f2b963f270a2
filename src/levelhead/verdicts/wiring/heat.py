"""Thin copper on a loudspeaker: heat in each metre of a lead while the amplifier gives its all."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.carrying.playing import PROGRAMME
from levelhead.circuit.drawn.islands import Island
from levelhead.circuit.loads.beyond import beyond_ohm
from levelhead.circuit.loads.loading import Output, columns_of, terminal_response
from levelhead.circuit.solving.solved import Solved
from levelhead.quantity.bands import mid_hz
from levelhead.quantity.formatting import format_si
from levelhead.quantity.spectra import band_levels_db
from levelhead.rig.model import RigLink, RigPort, Segment
from levelhead.verdicts.amplifiers.driven import loudspeaker_outputs
from levelhead.verdicts.amplifiers.hung import own_driver
from levelhead.verdicts.explain import Explained, Threshold
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import LimitState

__all__ = [
    "EXPLAINED",
    "HEAT",
    "HEAT_LIMIT_W_PER_M",
    "SENTENCES",
    "WOUND_UP",
    "check_heat_of_leads",
    "heat_limit_w_per_m",
]

HEAT: Final = "wiring.heat"

# A thin screened lead, 0.22 mm2, stands about 2 W in each metre (from memory); what is given off
# grows with the surface, which is as the root of the section
HEAT_LIMIT_W_PER_M: Final = 2.0
_THIN_CORE_OHM_PER_M: Final = 0.085  # IEC 60228: 0.22 mm2
# IEC 60364-5-52, table B.52.17 (from memory): nine bunched lines carry half of the current, which
# is a quarter of the heat. A lead made for signals is wound up, taped to others, under a carpet.
WOUND_UP: Final = 0.25
_AMPLE_HEAT_DB: Final = 2.0  # two thirds of the heat; nobody plays at the ceiling for long

SENTENCES: Final[Mapping[str, Mapping[Severity | str, str]]] = {
    HEAT: {
        Severity.HARM: "At full power {heat} stand in each metre of the lead into {input}, which "
        "takes {limit}: it softens, shorts the amplifier and can burn.",
        Severity.CARE: "At full power {heat} stand in each metre of the lead into {input}, close "
        "to the {limit} that it takes. It works while nobody drives it hard for long.",
        "wound": "At full power {heat} stand in each metre of the lead into {input}, which is made "
        "for signals: thin, with its screen for the way back. Laid out it takes {limit}; wound up, "
        "taped to others or under a carpet no more than {wound}, which {output} reaches with "
        "{power}. It works laid out; a loudspeaker lead does away with it, and loses less.",
        Severity.FINE: "At full power {heat} stand in each metre of the lead into {input}, which "
        "takes {limit}.",
    },
}
_HEAT_CAUTION: Final = (
    "Leads that get hot can burn and start fires. Switch the amplifier off before they are touched."
)


def check_heat_of_leads(reading: Reading) -> Iterator[Finding]:
    """Leads on loudspeaker outputs: watts in each metre when the amplifier gives all it has."""
    full = {each[2].address: _full(reading, *each) for each in loudspeaker_outputs(reading)}
    for link in reading.rig.links:
        for port in link.ports:
            volts, current_a = full.get(port, (0.0, 0.0))
            for segment in link.segments:
                if segment.length_m > 0 and current_a > 0:
                    heat = _heat(segment, current_a, volts * current_a)
                    yield _told(reading, link, port, heat)


def _full(reading: Reading, island: Island, solved: Solved, port: RigPort) -> tuple[float, float]:
    """Volts and current of an output while its stage plays programme at its ceiling. [V], [A]

    Nothing where its item has no stage of its own on these wires, or no ceiling is known.
    """
    driver: Output | None = (port.address, None)
    if driver not in reading.own_ceilings_v:
        driver = own_driver(reading, island, port)  # before a transformer
    ceiling_v = None if driver is None else reading.own_ceilings_v.get(driver)
    if driver is None or ceiling_v is None:
        return 0.0, 0.0
    limit = reading.rig.ports[driver[0]].plan.figure("current")
    most_a = math.inf if limit is None else limit / math.sqrt(2)
    columns = columns_of(island, driver)
    drives = [(each, island.drives[each].weight) for each in columns]
    per_v = sum(weight * solved.source_current[columns[0], each] for each, weight in drives)
    stage_a = ceiling_v * _programme(per_v)
    held = min(most_a / stage_a, 1.0) if stage_a > 0 else 0.0
    if driver[0] == port.address:
        return ceiling_v, stage_a * held
    at_tap = terminal_response(island, solved, driver, port.address)
    per_ohm = at_tap / beyond_ohm(island, port, mid_hz())
    return ceiling_v * held * _programme(at_tap), ceiling_v * held * _programme(per_ohm)


def _programme(per_v: NDArray[np.complex128]) -> float:
    """What a response makes of 1 V of programme, rms."""
    power = 10 ** (band_levels_db(PROGRAMME) / 10)
    return float(np.sqrt((np.abs(per_v) ** 2 * power).sum()))


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


@dataclass(frozen=True, slots=True)
class _Heat:
    """Heat in each metre of a lead when its output gives ``power_w``, and what the lead takes."""

    heat_w: float
    limit_w: float
    power_w: float
    is_for_signals: bool

    @property
    def state(self) -> LimitState:
        return LimitState(10 * math.log10(self.limit_w / max(self.heat_w, 1e-9)), "dB")

    @property
    def wound_w(self) -> float:
        """What it stands wound up."""
        return self.limit_w * WOUND_UP

    @property
    def is_wound(self) -> bool:
        """Whether winding it up decides."""
        is_cool = self.state.severity(ample=0.0) is Severity.FINE
        return self.is_for_signals and is_cool and self.heat_w > self.wound_w

    @property
    def severity(self) -> Severity:
        severity = self.state.severity(ample=0.0)
        if severity is Severity.FAILS:
            return Severity.HARM
        is_near = severity is Severity.FINE and self.state.margin < _AMPLE_HEAT_DB
        return Severity.CARE if self.is_wound or is_near else severity


def _heat(segment: Segment, current_a: float, power_w: float) -> _Heat:
    core = segment.cable.core_ohm_per_m
    return _Heat(
        heat_w=current_a**2 * _there_and_back_ohm_per_m(segment),
        limit_w=heat_limit_w_per_m(_THIN_CORE_OHM_PER_M if core is None else core.value),
        power_w=power_w,
        is_for_signals=segment.cable.screen_ohm_per_m is not None,
    )


def _told(reading: Reading, link: RigLink, port: str, heat: _Heat) -> Finding:
    severity, is_wound = heat.severity, heat.is_wound
    far = next((each for each in link.ports if each != port), port)
    words = {
        "heat": format_si(heat.heat_w, "W"),
        "limit": format_si(heat.limit_w, "W"),
        "input": reading.rig.ports[far].label,
        "wound": format_si(heat.wound_w, "W"),
        "output": reading.rig.ports[port].label,
        "power": format_si(heat.power_w * heat.limit_w * WOUND_UP / max(heat.heat_w, 1e-9), "W"),
    }
    return Finding(
        code=HEAT,
        severity=severity,
        where=far,
        what=SENTENCES[HEAT]["wound" if is_wound else severity].format(**words),
        why=(
            Compared("heat in each metre at full power", heat.heat_w, heat.limit_w, "W/m"),
            *([Compared("the same, wound up", heat.heat_w, heat.wound_w, "W/m")] * is_wound),
        ),
        state=heat.state,
        source="current of the output at its ceiling through the copper of the lead",
        basis="IEC 60228 for the copper; heat that a lead stands from memory",
        ports=link.ports,
        caution=_HEAT_CAUTION if severity is Severity.HARM else None,
    )


EXPLAINED: Final = (
    Explained(
        HEAT,
        "Heat in each metre of a loudspeaker lead while the amplifier gives all that it has: "
        "current at its ceiling, squared, times the copper there and back; behind a transformer, "
        "what comes through it.",
        (
            Threshold("heat of a lead of 0.22 mm2: harm", HEAT_LIMIT_W_PER_M, "W/m", "from memory"),
            Threshold("part of it, wound up: care", WOUND_UP, "", "IEC 60364-5-52, from memory"),
        ),
        "IEC 60228 for the copper; thicker leads give off more, as the root of their section",
    ),
)
