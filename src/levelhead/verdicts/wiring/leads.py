"""The wrong lead: no screen round a signal, one core for two."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

import numpy as np

from levelhead.gear.connectors import CONNECTORS
from levelhead.quantity.formatting import format_level, format_si
from levelhead.rig.model import RigLink, RigPort, Segment
from levelhead.verdicts.explain import PRACTICE, Explained, Threshold
from levelhead.verdicts.read.places import kept_while, plugged
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import LimitState

__all__ = [
    "BALANCE",
    "BALANCE_FROM_M",
    "EXPLAINED",
    "PICKED_UP_FAILS_DB",
    "SCREEN",
    "SENTENCES",
    "check_balance_kept",
    "check_screens",
]

SCREEN, BALANCE = "wiring.unscreened", "wiring.balance-lost"

# Bare cores near a mains cable: 230 V behind a pF in each metre, from memory, as for hum
_BARE_F_PER_M: Final = 1e-12
_MAINS_V, _MAINS_HZ = 230.0, 50.0
PICKED_UP_FAILS_DB: Final = 40.0  # programme over hum: heard between the words, common practice

BALANCE_FROM_M: Final = 5.0  # within a rack or a table nobody minds, common practice

SENTENCES: Final = {
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
    is_line = plan.role == "loudspeaker" or plan.is_load
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


@kept_while(plugged)
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
