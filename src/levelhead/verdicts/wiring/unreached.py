"""Power that does not get there: sections behind pins without a core, amplifiers half used."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Final

from levelhead.chain.wired.lanes import Lane, lanes, lanes_of
from levelhead.gear.plan import Target
from levelhead.quantity.formatting import format_level
from levelhead.rig.model import RigItem, RigPort
from levelhead.verdicts.explain import PRACTICE, Explained, Threshold
from levelhead.verdicts.read.places import kept_while, plugged
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import ROUNDING, LimitState
from levelhead.verdicts.told.words import other_ends

__all__ = [
    "BELOW_CARE_DB",
    "EXPLAINED",
    "HALF_BRIDGE",
    "SENTENCES",
    "UNREACHED",
    "check_bridges_are_used",
    "check_sections_are_reached",
]

UNREACHED, HALF_BRIDGE = "wiring.unreached", "wiring.half-bridge"
BELOW_CARE_DB: Final = 3.0  # half of the power, common practice

SENTENCES: Final[Mapping[str, Mapping[Severity, str]]] = {
    UNREACHED: {
        Severity.FAILS: "{section} gets nothing: the lead into {item} has no core on its pins, or "
        "nothing stands on them at the other end. Only the rest of it plays.",
    },
    HALF_BRIDGE: {
        Severity.FAILS: "{output} and {other} are the two halves of a bridged amplifier: they play "
        "the same input, one upside down, so that what reaches both loudspeakers cancels in the "
        "bass. Stereo for two loudspeakers, or one between the halves.",
        Severity.CARE: "{output} is one half of a bridged amplifier: it plays {below} below the "
        "bridged level. It works while that is enough.",
        Severity.FINE: "{output} is one half of a bridged amplifier: it plays {below} below the "
        "bridged level.",
    },
}


@kept_while(plugged)
def check_sections_are_reached(reading: Reading) -> Iterator[Finding]:
    """Sections of a loudspeaker behind one socket: does the lead reach all of them?"""
    driven = {
        address.partition("~")[0]
        for island in reading.solution.islands
        if island.drives
        for address in island.senses
    }
    for item in reading.rig.items.values():
        sections = list(_sections(reading, item))
        if any(each in driven for each in sections):
            for each in sections:
                if each not in driven:
                    yield _unreached(reading, item, each)


def _sections(reading: Reading, item: RigItem) -> Iterator[str]:
    """Loudspeakers that lie behind a socket, without one of their own."""
    for lane in lanes_of(reading.rig, item):
        for origin in lane.path.origins:
            if origin.port is not None:
                port = reading.rig.ports[lane.port_of(origin.port)]
                if port.plan.role == "inside" and port.plan.is_load:
                    yield port.address


def _unreached(reading: Reading, item: RigItem, section: str) -> Finding:
    plugged = [
        port.address
        for port in reading.rig.ports.values()
        if port.item.id == item.id and port.link is not None
    ]
    port = reading.rig.ports[section]
    return Finding(
        code=UNREACHED,
        severity=Severity.FAILS,
        where=section,
        what=SENTENCES[UNREACHED][Severity.FAILS].format(section=port.label, item=item.label),
        why=(Compared("outputs that reach it", 0.0, 1.0, ""),),
        source="copper from the pins of the socket to the section behind them",
        basis=PRACTICE,
        ports=tuple(
            dict.fromkeys(each for at in plugged for each in (at, *other_ends(reading.rig, at)))
        ),
    )


# --- bridged amplifiers ---


def check_bridges_are_used(reading: Reading) -> Iterator[Finding]:
    """Amplifiers switched to bridge: does the loudspeaker hang on both halves?"""
    ceilings = reading.own_ceilings_v
    for whole in lanes(reading.rig):
        if whole.path.to_port is None or not _is_bridge(reading, whole, whole.path.to_port):
            continue
        whole_v = _last_v(reading, whole)
        halves = {
            address: half_v
            for (address, signal), half_v in ceilings.items()
            if signal is None and _is_half(reading.rig.ports[address], whole.item)
        }
        if len(halves) > 1:
            yield _both_halves(reading, tuple(halves))
            continue
        for address, half_v in halves.items():
            yield _judge_half(reading, address, 20 * math.log10(whole_v / half_v))


def _is_half(port: RigPort, item: RigItem) -> bool:
    is_half = port.plan.role == "loudspeaker" and port.plan.circuit == "power-output"
    return is_half and port.item.id == item.id


def _both_halves(reading: Reading, halves: tuple[str, ...]) -> Finding:
    one, other = (reading.rig.ports[each].label for each in halves[:2])
    return Finding(
        code=HALF_BRIDGE,
        severity=Severity.FAILS,
        where=halves[0],
        what=SENTENCES[HALF_BRIDGE][Severity.FAILS].format(output=one, other=other),
        why=(Compared("halves of the bridge with loudspeakers of their own", 2.0, 1.0, ""),),
        source="loudspeakers on each half, while the bridged output has none",
        basis=PRACTICE,
        ports=tuple(
            dict.fromkeys(each for at in halves for each in (at, *other_ends(reading.rig, at)))
        ),
    )


def _is_bridge(reading: Reading, lane: Lane, target: Target) -> bool:
    """Whether a path leaves by a bridged output into which nothing is plugged."""
    port = reading.rig.ports[lane.port_of(target)]
    return port.plan.circuit == "bridge-tied-output" and port.link is None


def _last_v(reading: Reading, lane: Lane) -> float:
    """Ceiling of the last stage of a path. [V]"""
    point = reading.solution.point(lane.point_of(lane.path.stages[-1]))
    return point.ceiling


def _judge_half(reading: Reading, address: str, below_db: float) -> Finding:
    severity = Severity.CARE if below_db > BELOW_CARE_DB + ROUNDING else Severity.FINE
    words = {
        "output": reading.rig.ports[address].label,
        "below": format_level(max(below_db, 0.0), "dB"),
    }
    return Finding(
        code=HALF_BRIDGE,
        severity=severity,
        where=address,
        what=SENTENCES[HALF_BRIDGE][severity].format(**words),
        why=(Compared("level against the bridged level", -below_db, -BELOW_CARE_DB, "dB"),),
        state=LimitState(BELOW_CARE_DB - below_db, "dB"),
        source="ceiling of the output, against that of the bridged one",
        basis=PRACTICE,
        ports=(address, *other_ends(reading.rig, address)),
    )


EXPLAINED: Final = (
    Explained(
        UNREACHED,
        "Outputs on the copper of each section of a loudspeaker that lies behind a socket, where "
        "other sections of it have one.",
    ),
    Explained(
        HALF_BRIDGE,
        "Ceiling of a loudspeaker output of an amplifier switched to bridge, against that of its "
        "bridged output, which nothing is plugged into. It fails with loudspeakers on both halves: "
        "one of them plays upside down.",
        (Threshold("level below the bridged one: care", BELOW_CARE_DB, "dB", PRACTICE),),
    ),
)
