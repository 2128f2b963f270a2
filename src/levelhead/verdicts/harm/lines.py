"""Lines that are no audio on plugs that fit: volts and currents where nobody counts on them.

Intercom lines carry direct volts, lighting data a driver that stands little. Both share the XLR.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from levelhead.circuit.direct.phantom import phantom_flow
from levelhead.circuit.drawn.islands import Island
from levelhead.gear.feeding import phantom_switches
from levelhead.gear.figures import Figure, read_figure
from levelhead.quantity.formatting import format_si
from levelhead.rig.model import RigPort
from levelhead.verdicts.explain import Explained, Threshold
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import Doubt, LimitState
from levelhead.verdicts.told.words import place_words

__all__ = ["EXPLAINED", "SENTENCES", "STRANGE", "USUAL_TOLERANCE", "check_strange_lines"]

CURRENT, VOLTS, NO_AUDIO = "harm.direct-current", "harm.direct-volts", "harm.no-audio"
# capacitors of inputs that nobody made for direct volts: 10, 16, 25, 35 or 50 V are the values of
# IEC 60384-4, and 16 V is the usual one, from memory
USUAL_TOLERANCE: Final = Figure(16.0, 10.0, 50.0, "V", "from memory")
STRANGE: Final = {"intercom": "an intercom line", "lighting-data": "lighting data"}
_LEAST_V: Final = 2.0  # less is no supply: what leaks and drifts
SENTENCES: Final = {
    "volts": "{line} puts {volts} of direct voltage on {port}, which stands {limit}: it can be "
    "damaged. Unplug it; keep these cables apart.",
    "current": "{line} drives {current} of direct current through {port}, which stands {limit}: it "
    "can be damaged. Unplug it; keep these cables apart.",
    "idle": "{port} stands {limit}; while it is off, {volts} of phantom power from {line} stand on "
    "it: it can be damaged. Phantom off first, then unplug it.",
    "noise": "{line} carries {what} into {port}: a loud noise and no sound that anybody wants. "
    "Unplug it; keep these cables apart.",
}


def check_strange_lines(reading: Reading) -> Iterator[Finding]:
    """Links between audio and a line that is none: direct volts, direct current, and noise."""
    rig = reading.rig
    for link in rig.links:
        ports = [rig.ports[each] for each in link.ports]
        strange = [each for each in ports if each.plan.carries in STRANGE]
        audio = [each for each in ports if each.plan.carries == "audio"]
        for line in strange:
            for port in audio:
                yield from _meeting(reading, line, port)


def _meeting(reading: Reading, line: RigPort, port: RigPort) -> Iterator[Finding]:
    found = [*_on_audio(reading, line, port), *_on_line(reading, line, port)]
    yield from found
    if not found:
        yield _noise(reading, line, port)


def _on_audio(reading: Reading, line: RigPort, port: RigPort) -> Iterator[Finding]:
    """What direct volts of the line do to an audio port."""
    at = reading.solution.dc_at(port.address)
    if at is None or not line.plan.figures.get("supply"):
        return
    back_fed = port.plan.figures.get("coil-current") or port.plan.figures.get("back-fed")
    pin_v = abs(at.common_v) + abs(at.volts) / 2
    if back_fed is not None:
        if at.current_a > back_fed.value:
            yield _found("current", line, port, at.current_a, back_fed)
    elif pin_v > (tolerance := _stands(reading, port)).value:
        yield _found("volts", line, port, pin_v, tolerance)


def _stands(reading: Reading, port: RigPort) -> Figure:
    """Direct volts at a pin: its own figure; an input that can feed phantom power stands that.

    Each of its legs holds it when the other one is shorted (IEC 61938).
    """
    own = port.plan.figures.get("dc-tolerance") or port.switched.figures.get("phantom")
    if own is not None:
        return own
    entry = reading.rig.book.entry(port.item.plan.type_id)
    switch = phantom_switches(entry).get((port.block.block, port.plan.name))
    if switch is None:
        return USUAL_TOLERANCE
    return read_figure(switch.volts, unit="V", source=entry.source or "", where=port.address)


def _on_line(reading: Reading, line: RigPort, port: RigPort) -> Iterator[Finding]:
    """What phantom power does to a line while its driver is off and holds nothing."""
    stands = line.plan.figures.get("dc-tolerance")
    if stands is None:
        return
    for island in reading.solution.islands:
        if line.address in island.pins and island.feeds:
            idle_v = _idle_v(island, line.address)
            if idle_v > max(stands.value, _LEAST_V):
                yield _found("idle", port, line, idle_v, stands)


def _idle_v(island: Island, address: str) -> float:
    """Direct volts on the pins of a port whose own driver is off. [V]"""
    others = [drive for drive in island.drives if drive.port != address]
    flow = phantom_flow(replace(island, drives=others))
    plus, minus, ground = (flow.node_v.get(node, 0.0) for node in island.pins[address])
    return max(abs(plus - ground), abs(minus - ground))


def _found(kind: str, line: RigPort, port: RigPort, value: float, limit: Figure) -> Finding:
    words = {
        "line": line.label,
        "port": port.label,
        "volts": format_si(value, "V"),
        "current": format_si(value, "A"),
        "limit": format_si(limit.value, limit.unit),
    }
    name = "direct current" if limit.unit == "A" else "direct volts at a pin"
    return Finding(
        code=CURRENT if limit.unit == "A" else VOLTS,
        severity=Severity.HARM,
        where=port.address,
        what=SENTENCES[kind].format(**words),
        why=(Compared(name, value, limit.value, limit.unit),),
        state=LimitState(
            20 * math.log10(limit.value / value),
            "dB",
            lambda: [Doubt(f"what {place_words(port.label)} stands", "fact", limit, +1.0)],
        ),
        source="direct current in the network, against what the port stands",
        basis="TIA/EIA-485" if kind == "idle" else limit.source,
        ports=(line.address, port.address),
        assumed=(f"{port.label} stands {words['limit']} ({limit.source})",),
    )


def _noise(reading: Reading, line: RigPort, port: RigPort) -> Finding:
    arriving = reading.arriving.get(port.address)
    damage = port.plan.figures.get("damage")
    volts = None if arriving is None else arriving.total_v
    return Finding(
        code=NO_AUDIO,
        severity=Severity.FAILS,
        where=port.address,
        what=SENTENCES["noise"].format(
            line=line.label, what=STRANGE[line.plan.carries], port=port.label
        ),
        why=(Compared("volts that arrive", volts, None if damage is None else damage.value, "V"),),
        source="what each socket is said to carry",
        basis="TIA/EIA-485",
        ports=(line.address, port.address),
    )


EXPLAINED: Final = (
    Explained(
        VOLTS,
        "Direct volts at a pin, from the network: of an intercom line against what an input "
        "stands, of phantom power against what the driver of a data line stands while it is off.",
        (
            Threshold(
                "volts that an input stands if nothing is known",
                USUAL_TOLERANCE.value,
                "V",
                USUAL_TOLERANCE.source,
            ),
        ),
        "the port's own figure `dc-tolerance`, else the phantom power that it can feed (IEC "
        "61938); TIA/EIA-485: -7 to +12 V",
    ),
    Explained(
        CURRENT,
        "Direct current that a line drives through an output or a coil, from the network.",
        source="the port's own figure `coil-current` or `back-fed`",
    ),
    Explained(
        NO_AUDIO,
        "An audio socket joined to an intercom line or to lighting data, where nothing is hurt.",
        source="TIA/EIA-485",
    ),
)
