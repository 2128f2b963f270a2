"""Outputs that meet on one wire: what they drive through one another when their signals differ."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.circuit.drawn.islands import Island
from levelhead.circuit.loads.loading import Output, address_of, columns_of
from levelhead.circuit.solving.solved import Solved
from levelhead.quantity.formatting import format_si
from levelhead.verdicts.amplifiers.driven import CAUTION
from levelhead.verdicts.explain import PRACTICE, Explained, Threshold
from levelhead.verdicts.read.places import IslandAt, by_place, islands
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import ROUNDING, Doubt, LimitState
from levelhead.verdicts.told.words import other_ends, output_words, place_words

__all__ = [
    "EXPLAINED",
    "JOINED",
    "JOINED_SHARE",
    "SENTENCES",
    "Joined",
    "check_joined_outputs",
    "joined_currents",
    "overrun_outputs",
]

JOINED: Final = "loading.joined"
JOINED_SHARE: Final = 0.1  # of the current at hand; less is a shared ground, common practice
BEYOND_IT: Final = (
    10.0  # times its current, driven by an amplifier: a line output burns, common practice
)
_DRIVES_LOUDSPEAKERS: Final = frozenset({"power-output", "bridge-tied-output"})
SENTENCES: Final = {
    Severity.HARM: "{output} is joined to {other}: where the two differ they drive {current} "
    "through one another, and {limit} are there. A power output has milliohms inside: one of "
    "the two will be damaged. One output to a loudspeaker: unplug the other.",
    Severity.FAILS: "{output} is joined to {other}: where the two differ they drive {current} "
    "through one another, and {limit} are there.",
    Severity.FINE: "{output} is joined to {other}: where the two differ they drive {current} "
    "through one another; {limit} are there.",
}


@dataclass(frozen=True, slots=True)
class Joined:
    """Rms currents of the weakest leg of an output: of its own signal, and of the others'. [A]

    ``limit_a`` is what the output can give, rms of a sine.
    """

    output: Output
    other: Output
    own_a: float
    others_a: float
    limit_a: float

    @property
    def total_a(self) -> float:
        """All at their ceilings, in the worst phase. [A]"""
        return self.own_a + self.others_a


def joined_currents(reading: Reading) -> Iterator[Joined]:
    """Outputs on whose island others drive too, all at their ceilings, in the worst phase."""
    for island, solved in zip(reading.solution.islands, reading.solution.solved, strict=True):
        yield from _joined_on(reading, island, solved)


def _joined_on(reading: Reading, island: Island, solved: Solved) -> Iterator[Joined]:
    ceilings = reading.own_ceilings_v
    outputs = [
        each
        for each in dict.fromkeys((drive.port, drive.signal) for drive in island.drives)
        if each in ceilings
    ]
    for output in outputs if len(outputs) > 1 else ():
        peak_a = reading.rig.ports[output[0]].plan.figure("current")
        driven = {
            other: _current_a(island, solved.source_current, output, other) * ceilings[other]
            for other in outputs
        }
        own_a = driven.pop(output)
        if peak_a is not None:
            strongest = max(driven, key=lambda each: driven[each])
            others_a = sum(driven.values())
            yield Joined(output, strongest, own_a, others_a, peak_a / math.sqrt(2))


def _current_a(
    island: Island, current: NDArray[np.complex128], output: Output, driver: Output
) -> float:
    """Largest current of any leg of an output, in any band, for 1 V of a driver's signal. [A]"""
    drives = [(each, island.drives[each].weight) for each in columns_of(island, driver)]
    return max(
        float(np.abs(sum(weight * current[leg, column] for column, weight in drives)).max())
        for leg in columns_of(island, output)
    )


def overrun_outputs(reading: Reading, island: Island, solved: Solved) -> set[Output]:
    """Outputs that others on the wire drive beyond their current: nothing else is told of those."""
    return {
        each.output
        for each in _joined_on(reading, island, solved)
        if each.others_a >= JOINED_SHARE * each.limit_a and each.total_a > each.limit_a
    }


@by_place(islands, is_local=True)
def check_joined_outputs(reading: Reading, at: IslandAt) -> Iterator[Finding]:
    """Outputs that meet on one wire: do they stand what they drive through one another?"""
    for joined in _joined_on(reading, at.island, at.solved):
        if joined.others_a >= JOINED_SHARE * joined.limit_a:
            yield _judge(reading, joined)


def _judge(reading: Reading, joined: Joined) -> Finding:
    """Outputs that are joined, by what each drives through the other."""
    port = joined.output[0]
    figure = reading.rig.ports[port].plan.figures["current"]
    label = output_words(reading.rig, joined.output)
    doubt = Doubt(f"current that {place_words(label)} can give", "fact", figure, +1.0)
    margin_db = 20 * math.log10(joined.limit_a / joined.total_a)
    severity = Severity.FINE
    if margin_db < -ROUNDING:
        severity = Severity.HARM if _with_power(reading, joined) else Severity.FAILS
    words = {
        "output": label,
        "other": output_words(reading.rig, joined.other),
        "current": format_si(joined.total_a, "A"),
        "limit": format_si(joined.limit_a, "A"),
    }
    name = "current when the signals differ fully"
    return Finding(
        code=JOINED,
        severity=severity,
        where=address_of(joined.output),
        what=SENTENCES[severity].format(**words),
        why=(Compared(name, joined.total_a, joined.limit_a, "A"),),
        state=LimitState(margin_db, "dB", lambda: [doubt]),
        source="ceilings of all outputs on one wire in the worst phase, against the own current",
        basis="common practice",
        ports=(port, joined.other[0], *other_ends(reading.rig, port)),
        caution=CAUTION if severity is Severity.HARM else None,
    )


def _with_power(reading: Reading, joined: Joined) -> bool:
    """Whether an amplifier's output is hurt by another one, or a line output by an amplifier."""
    own, other = (
        reading.rig.ports[output[0]].plan.circuit in _DRIVES_LOUDSPEAKERS
        for output in (joined.output, joined.other)
    )
    return own or (other and joined.total_a > BEYOND_IT * joined.limit_a)


EXPLAINED: Final = (
    Explained(
        JOINED,
        "Current of each leg of an output when all outputs on its wire stand at their ceilings in "
        "the worst phase, against the current that it can give. Harm to an output for "
        "loudspeakers: nothing but milliohms and leads is between the two; and to a line output "
        "that an amplifier drives far beyond its own.",
        (
            Threshold("times its current that harm a line output", BEYOND_IT, "", PRACTICE),
            Threshold(
                "current over the limit that fails, or harms", 0.0, "dB", "current of the output"
            ),
            Threshold("share of others from which they are joined", JOINED_SHARE, "", PRACTICE),
        ),
    ),
)
