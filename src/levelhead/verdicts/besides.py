"""What comes of a fault besides, said in the sentence of the one finding that is told of it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence, Set
from typing import Final

from levelhead.quantity.formatting import format_level, format_si
from levelhead.show.addresses import item_of
from levelhead.verdicts.amplifiers.lines import CABLE, CABLE_FINE_DB
from levelhead.verdicts.amplifiers.loads import LOAD, MATCH
from levelhead.verdicts.enough.clipping import CODE as CLIPS_AS_SET
from levelhead.verdicts.enough.gain import TOO_LOW
from levelhead.verdicts.harm.needed_loads import NO_LOAD
from levelhead.verdicts.loading.levels import TONE
from levelhead.verdicts.read.doubts import strongest_way
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Finding, Severity
from levelhead.verdicts.told.limit_state import ROUNDING
from levelhead.verdicts.wiring.curves import CURVE
from levelhead.verdicts.wiring.leads import BALANCE
from levelhead.verdicts.wiring.shorted import SHORTED

__all__ = [
    "balance_told_of",
    "comes_by",
    "holds_a_leg",
    "is_bad",
    "lost_by_the_load",
    "plug_of",
    "said_besides",
]

Key = tuple[str, str]  # of a finding: its code and place

CLIPS_BESIDES: Final = " Its peaks clip there by {over} besides."
WEAK_BESIDES: Final = " It comes {lacking} too weak for that input besides."
NEAR_NONE: Final = (
    " So many ohms come near to none: without its loudspeaker the transformer makes voltages that "
    "destroy it."
)
HUM_BESIDES: Final = (
    " It is no longer balanced: its {length} let hum in besides, unless both stand on one supply."
)


def said_besides(reading: Reading, findings: Sequence[Finding]) -> Mapping[Key, str]:
    """By the key of a finding, what its sentence says on."""
    return {
        **_weak_besides(reading, findings),
        **_hot_besides(reading, findings),
        **_tap_besides(findings),
        **_hum_besides(findings),
    }


def is_bad(finding: Finding) -> bool:
    """Whether it fails, or worse."""
    return finding.severity.rank >= Severity.FAILS.rank


def holds_a_leg(finding: Finding) -> bool:
    """Whether a lead shorts an output or a leg of it, and that matters."""
    return finding.code == SHORTED and finding.severity is not Severity.FINE


def comes_by(reading: Reading, clip: Finding, plugs: Set[str]) -> bool:
    """Whether most of what clips comes in by one of some plugs."""
    solution = reading.solution
    edges = strongest_way(solution, solution.number(clip.where)).edges
    return not plugs.isdisjoint(solution.graph.wiring.addresses[each.source] for each in edges)


def _weak_besides(reading: Reading, findings: Sequence[Finding]) -> Mapping[tuple[str, str], str]:
    """What an output whose tone is gone on an input lacks in level there, said along with it."""
    lost = [each for each in findings if each.code in (TONE, CURVE) and is_bad(each)]
    return {
        tone.key: WEAK_BESIDES.format(lacking=format_level(lacking_db, "dB"))
        for tone in lost
        for weak in findings
        if weak.code == TOO_LOW and plug_of(reading, weak.where) in tone.ports
        if (lacking_db := _lacking_db(weak)) > 0
    }


def _hot_besides(reading: Reading, findings: Sequence[Finding]) -> Mapping[tuple[str, str], str]:
    """By how much a line clips in what plays records, said along with its curve."""
    return {
        curve.key: CLIPS_BESIDES.format(over=format_level(-clip.margin, "dB"))
        for curve in findings
        if curve.code == CURVE and is_bad(curve)
        for clip in findings
        if clip.code == CLIPS_AS_SET and clip.margin is not None and clip.margin < 0
        if item_of(clip.where) == item_of(curve.where) and comes_by(reading, clip, {*curve.ports})
    }


def _tap_besides(findings: Sequence[Finding]) -> Mapping[tuple[str, str], str]:
    """A tap far off that is as good as no loudspeaker, or comes near to it: one says it all."""
    found: dict[tuple[str, str], str] = {}
    taps = [each for each in findings if each.code == MATCH and is_bad(each)]
    for bare in findings if taps else ():
        if bare.code == NO_LOAD and bare.severity is not Severity.FINE:
            for tap in taps:
                if not set(bare.ports).isdisjoint(tap.ports):
                    is_harm = bare.severity is Severity.HARM
                    found |= {bare.key: f" {tap.what}"} if is_harm else {tap.key: NEAR_NONE}
    return found


def _hum_besides(findings: Sequence[Finding]) -> Mapping[tuple[str, str], str]:
    """That a lead which shorts a leg is no longer balanced, said along with that."""
    return {
        held.key: HUM_BESIDES.format(length=format_si(lost.why[0].value or 0.0, "m"))
        for lost in findings
        if lost.code == BALANCE
        for held in findings
        if _is_of_lead(held, lost) and not _hums(findings, lost)
    }


def plug_of(reading: Reading, address: str) -> str:
    """The plugged socket of a side that has none: the other one of its strip feeds it."""
    port = reading.rig.ports.get(address)
    if port is None or port.link is not None:
        return address
    beside = (each for each in reading.rig.ports.values() if each.link is not None)
    return next((each.address for each in beside if each.strip == port.strip), address)


def _lacking_db(weak: Finding) -> float:
    """Gain that an input lacks, whatever makes it up behind. [dB]"""
    needed = weak.why[0]
    return (needed.value or 0.0) - (needed.limit or 0.0)


# --- leads that are no longer balanced ---


def balance_told_of(findings: Sequence[Finding]) -> frozenset[Key]:
    """Keys of leads without balance of which the hum itself is told, or a leg that they short."""
    return frozenset(
        lost.key
        for lost in findings
        if lost.code == BALANCE
        if _hums(findings, lost) or any(_is_of_lead(each, lost) for each in findings)
    )


def _is_of_lead(held: Finding, lost: Finding) -> bool:
    return holds_a_leg(held) and set(held.ports) == set(lost.ports)


def _hums(findings: Sequence[Finding], lost: Finding) -> bool:
    return any(
        each.code == "hum.heard"
        and each.severity is not Severity.FINE
        and set(each.ports) == set(lost.ports)
        for each in findings
    )


# --- copper under too much ---


def lost_by_the_load(findings: Sequence[Finding]) -> frozenset[Key]:
    """Keys of cables that lose too much only because an output is nearly shorted behind them.

    With the least load that the output is rated for they would lose what nobody hears.
    """
    return frozenset(
        cable.key
        for cable in findings
        if cable.code == CABLE
        for load in findings
        if load.code == LOAD and load.severity is Severity.HARM
        if load.where in cable.ports and _rated_loss_db(cable, load) <= CABLE_FINE_DB + ROUNDING
    )


def _rated_loss_db(cable: Finding, load: Finding) -> float:
    """What a cable would lose with the load that an output is rated for, by its ohms. [dB]"""
    loss_db, seen = cable.why[0].value or 0.0, load.why[0]
    share = (seen.value or 0.0) / (seen.limit or 1.0)
    return 20 * math.log10(1 + (10 ** (loss_db / 20) - 1) * share)
