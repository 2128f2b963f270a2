"""The wrong lead: thin copper on a loudspeaker, no screen round a signal, one core for two."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

import numpy as np

from levelhead.circuit.loading import Output, columns_of
from levelhead.gear.connectors import CONNECTORS
from levelhead.quantity.formatting import format_level, format_si
from levelhead.quantity.spectra import band_levels_db
from levelhead.rig.model import RigLink, RigPort, Segment
from levelhead.verdicts.explain import PRACTICE, Explained, Threshold
from levelhead.verdicts.finding import Compared, Finding, Severity
from levelhead.verdicts.limit_state import LimitState
from levelhead.verdicts.reading import Reading

__all__ = [
    "BALANCE",
    "BALANCE_FROM_M",
    "EXPLAINED",
    "HEAT",
    "HEAT_LIMIT_W_PER_M",
    "PICKED_UP_FAILS_DB",
    "SCREEN",
    "SENTENCES",
    "check_balance_kept",
    "check_heat_of_leads",
    "check_screens",
    "heat_limit_w_per_m",
]

HEAT, SCREEN, BALANCE = "wiring.heat", "wiring.unscreened", "wiring.balance-lost"

# A thin screened lead, 0.22 mm2, stands about 2 W in each metre (from memory); what is given off
# grows with the surface, which is as the root of the section
HEAT_LIMIT_W_PER_M: Final = 2.0
_THIN_CORE_OHM_PER_M: Final = 0.085  # IEC 60228: 0.22 mm2
_PROGRAMME: Final = "programme"  # IEC 60268-1: what loudspeakers are rated with
_AMPLE_HEAT_DB: Final = 2.0  # two thirds of the heat; nobody plays at the ceiling for long

# Bare cores near a mains cable: 230 V behind a pF in each metre, from memory, as for hum
_BARE_F_PER_M: Final = 1e-12
_MAINS_V, _MAINS_HZ = 230.0, 50.0
PICKED_UP_FAILS_DB: Final = 40.0  # programme over hum: heard between the words, common practice

BALANCE_FROM_M: Final = 5.0  # within a rack or a table nobody minds, common practice

SENTENCES: Final = {
    HEAT: {
        Severity.HARM: "At full power {heat} stand in each metre of the lead into {input}, which "
        "takes {limit}: it softens, shorts the amplifier and can burn.",
        Severity.CARE: "At full power {heat} stand in each metre of the lead into {input}, close "
        "to the {limit} that it takes. It works while nobody drives it hard for long.",
        Severity.FINE: "At full power {heat} stand in each metre of the lead into {input}, which "
        "takes {limit}.",
    },
    SCREEN: {
        Severity.FAILS: "The lead into {input} has no screen: beside mains cables hum comes within "
        "{over} of the signal.",
        Severity.CARE: "The lead into {input} has no screen. It works while it is short and away "
        "from mains cables and dimmers.",
    },
    BALANCE: {
        Severity.CARE: "{output} and {input} are balanced, the lead between them is not: its "
        "{length} let hum in. It works while both stand on one supply.",
    },
}
_HEAT_CAUTION: Final = (
    "Leads that get hot can burn and start fires. Switch the amplifier off before they are touched."
)


# --- heat ---


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


# --- screens ---


def check_screens(reading: Reading) -> Iterator[Finding]:
    """Leads without a screen that carry a signal: what would a mains cable beside them bring?"""
    for link in reading.rig.links:
        bare_m = sum(each.length_m for each in link.segments if _is_bare(each))
        ends = [reading.rig.ports[each] for each in link.ports]
        if bare_m > 0 and not any(_is_power(each) for each in ends):
            yield from _judge_bare(reading, link, bare_m)


def _is_bare(segment: Segment) -> bool:
    cable = segment.cable
    return cable.core_ohm_per_m is not None and cable.screen_ohm_per_m is None


def _is_power(port: RigPort) -> bool:
    """A loudspeaker line, or no analogue audio at all."""
    plan = port.plan
    is_line = plan.role == "loudspeaker" or plan.circuit == "loudspeaker-load"
    is_passive = plan.circuit is None and CONNECTORS[plan.socket].plus == "1+"
    return is_line or is_passive or plan.carries != "audio"


def _judge_bare(reading: Reading, link: RigLink, bare_m: float) -> Iterator[Finding]:
    solution = reading.solution
    for island, solved in zip(solution.islands, solution.solved, strict=True):
        for row, address in enumerate(island.sense_addresses):
            port = reading.rig.ports.get(address)
            if port is None or port.plan.role != "in" or address not in link.ports:
                continue
            # a current into the wire meets what the input sees there
            reach_ohm = float(np.abs(solved.transfer_ohm[row]).max())
            hum_v = 2 * math.pi * _MAINS_HZ * _BARE_F_PER_M * bare_m * _MAINS_V * reach_ohm
            nominal_v = float(solution.nominal[solution.number(address)])
            if nominal_v > 0:
                yield _told_bare(port, link, 20 * math.log10(nominal_v / max(hum_v, 1e-12)))


def _told_bare(port: RigPort, link: RigLink, over_db: float) -> Finding:
    state = LimitState(over_db - PICKED_UP_FAILS_DB, "dB")
    severity = Severity.FAILS if state.margin < 0 else Severity.CARE
    return Finding(
        code=SCREEN,
        severity=severity,
        where=port.address,
        what=SENTENCES[SCREEN][severity].format(
            input=port.label, over=format_level(max(over_db, 0.0), "dB")
        ),
        why=(
            Compared(
                "signal over hum of a mains cable beside it", over_db, PICKED_UP_FAILS_DB, "dB"
            ),
        ),
        state=state,
        source="mains through a pF in each metre into the impedance on the wire",
        basis="from memory",
        ports=link.ports,
    )


# --- balance ---


def check_balance_kept(reading: Reading) -> Iterator[Finding]:
    """Long leads of one core between an output and an input that are both balanced."""
    for link in reading.rig.links:
        length_m = sum(each.length_m for each in link.segments)
        if length_m < BALANCE_FROM_M:
            continue
        outputs = [each for each in link.ports if _is_balanced(reading, each, "out")]
        inputs = [each for each in link.ports if _is_balanced(reading, each, "in")]
        for output in outputs:
            for port in inputs:
                ports = reading.rig.ports
                is_one_way = ports[output].item.id != ports[port].item.id  # no insert lead
                if is_one_way and _is_held_low(reading, link, port):
                    yield _balance_lost(reading, link, (output, port), length_m)


_BALANCED: Final = frozenset(
    {"symmetrical-output", "impedance-balanced-output", "cross-coupled-output", "balanced-input"}
)


def _is_balanced(reading: Reading, address: str, role: str) -> bool:
    plan = reading.rig.ports[address].plan
    return plan.role == role and plan.circuit in _BALANCED and plan.carries == "audio"


def _is_held_low(reading: Reading, link: RigLink, port: str) -> bool:
    """Whether the minus pins of both ends stand on the ground of the lead."""
    ends = [each for segment in link.segments for each in segment.cable.ends.values()]
    plugs = [CONNECTORS[each] for each in ends]
    grounded = any(not plug.is_balanced for plug in plugs)
    return grounded and reading.rig.ports[port].item.plan.earth == "mains"


def _balance_lost(
    reading: Reading, link: RigLink, ends: tuple[str, str], length_m: float
) -> Finding:
    output, port = ends
    ports = reading.rig.ports
    words = {
        "output": ports[output].label,
        "input": ports[port].label,
        "length": format_si(length_m, "m"),
    }
    return Finding(
        code=BALANCE,
        severity=Severity.CARE,
        where=port,
        what=SENTENCES[BALANCE][Severity.CARE].format(**words),
        why=(Compared("length without balance", length_m, BALANCE_FROM_M, "m"),),
        state=LimitState(BALANCE_FROM_M - length_m, "m"),
        source="conductors of the lead, against the circuits at its ends",
        basis="common practice",
        ports=link.ports,
    )


EXPLAINED: Final = (
    Explained(
        HEAT,
        "Heat in each metre of a loudspeaker lead while the amplifier gives all that it has: "
        "current at its ceiling, squared, times the copper there and back.",
        (Threshold("heat of a lead of 0.22 mm2: harm", HEAT_LIMIT_W_PER_M, "W/m", "from memory"),),
        "IEC 60228 for the copper; thicker leads give off more, as the root of their section",
    ),
    Explained(
        SCREEN,
        "Hum that a mains cable beside a lead without a screen brings into the impedance on it, "
        "against the signal there. Without a screen it is care at least.",
        (Threshold("signal over that hum: fails below", PICKED_UP_FAILS_DB, "dB", PRACTICE),),
        "from memory: a pF in each metre",
    ),
    Explained(
        BALANCE,
        "Length of a lead of one core between an output and an input that are both balanced.",
        (Threshold("length from which it is care", BALANCE_FROM_M, "m", PRACTICE),),
    ),
)
