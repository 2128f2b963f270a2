"""Talkback: what is said to the crew, where the audience or the same microphone hears it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

import numpy as np

from levelhead.chain.carrying.carried import Injection
from levelhead.chain.carrying.propagate import carry_probes
from levelhead.quantity.bands import BANDS
from levelhead.quantity.formatting import format_level
from levelhead.rig.model import RigPort
from levelhead.verdicts.explain import Explained, Threshold
from levelhead.verdicts.read.reach import Place, is_for_the_stage, listeners_of
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.routing.loops import LOOP_FAILS_DB
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import LimitState
from levelhead.verdicts.told.words import place_words

__all__ = ["EXPLAINED", "OWN_MICROPHONE", "SENTENCES", "TALKBACK", "check_talkback"]

TALKBACK, OWN_MICROPHONE = "routing.talkback-in-mix", "routing.own-microphone"
SPARE_DB: Final = 6.0  # kept between a way round through the air and howling, common practice

SENTENCES: Final = {
    TALKBACK: "{mic} is in the main mix: the audience hears what is said to the crew. It works "
    "before "
    "the doors open.",
    "howls": "{mic} hears itself from {box}, {distance} away, {gain} once round: it howls.",
    "near": "{mic} hears itself from {box}, {distance} away, {gain} once round. It works while "
    "it is "
    "turned away from it.",
}


def check_talkback(reading: Reading) -> Iterator[Finding]:
    """Every plugged talkback input: who hears it beside those it is meant for?"""
    for port in reading.rig.ports.values():
        if port.plan.talkback and port.address in reading.solution.graph.index:
            yield from _in_the_mix(reading, port)
            yield from _to_its_own_microphone(reading, port)


def _in_the_mix(reading: Reading, port: RigPort) -> Iterator[Finding]:
    """Talkback in a sum that strips are panned into, and that a loudspeaker plays to the hall."""
    reach, graph = reading.reach, reading.solution.graph
    onward = reach.onward([graph.index[port.address]])
    ways = graph.wiring.ways
    mains = set(ways.target[ways.side >= 0].tolist()) & onward
    heard = reach.onward(mains) & reach.loudspeakers.keys()
    boxes = [graph.points[number].item for number in sorted(heard)]
    aloud = [each for each in boxes if not is_for_the_stage(reading.rig, each)]
    if aloud:
        first = next(graph.points[number] for number in sorted(mains))
        yield Finding(
            code=TALKBACK,
            severity=Severity.CARE,
            where=first.address,
            what=SENTENCES[TALKBACK].format(mic=place_words(port.label)),
            why=(
                Compared("loudspeakers for the audience that play it", float(len(aloud)), 0.0, ""),
            ),
            source="ways from the talkback input that are open",
            basis="common practice",
            ports=(port.address,),
        )


def _to_its_own_microphone(reading: Reading, port: RigPort) -> Iterator[Finding]:
    """Loudspeakers at known places that play what the microphone there hears."""
    show, reach = reading.rig.show, reading.reach
    ears = reach.back([reading.solution.graph.index[port.address]])
    for place in reach.stages(lambda stage: stage.ratio is not None):
        is_heard = place.number in ears and place.column == 0
        if is_heard and any(each.kind == "air" for each in place.lane.path.origins):
            mic = show.items[place.lane.item.id]
            for number in sorted(reach.onward([place.number]) & reach.loudspeakers.keys()):
                box = show.items[reading.solution.graph.points[number].item]
                if (
                    mic.at is not None
                    and box.at is not None
                    and listeners_of(reading.rig, box.id) != "ears"
                ):
                    distance_m = math.dist(mic.at, box.at)
                    yield from _judge(reading, port, place, number, distance_m)


def _judge(
    reading: Reading, port: RigPort, mic: Place, box: int, distance_m: float
) -> Iterator[Finding]:
    gain_db = _gain_db(reading, mic, box) - 20 * math.log10(max(distance_m, 0.1))
    if gain_db <= -SPARE_DB:
        return
    point = reading.solution.graph.points[box]
    is_bad = gain_db > LOOP_FAILS_DB
    yield Finding(
        code=OWN_MICROPHONE,
        severity=Severity.FAILS if is_bad else Severity.CARE,
        where=point.address,
        what=SENTENCES["howls" if is_bad else "near"].format(
            mic=mic.lane.item.label,
            box=reading.rig.items[point.item].label,
            distance=f"{distance_m:.1f} m",
            gain=format_level(gain_db, "dB"),
        ),
        why=(Compared("gain once round through the air", gain_db, -SPARE_DB, "dB"),),
        state=LimitState(-SPARE_DB - gain_db, "dB"),
        source="gain from sound pressure at the microphone to sound pressure at 1 m of the "
        "loudspeaker, less the distance; both on axis, without the room",
        basis="common practice",
        ports=(port.address,),
    )


def _gain_db(reading: Reading, mic: Place, box: int) -> float:
    """From pascals at the microphone to pascals at 1 m, as strong as in any band. [dB]"""
    graph = reading.solution.graph
    ratio = mic.stage.ratio
    heard = np.full(BANDS, 0.0 if ratio is None else ratio.value, dtype=np.complex128)
    probe = Injection(mic.number, 0, heard)
    carried = carry_probes(graph.columns, graph.order, [probe], len(graph.points))
    most = float(np.abs(carried.amplitude[carried.point == box]).max(initial=0.0))
    return 20 * math.log10(most) if most > 0 else -math.inf


EXPLAINED: Final = (
    Explained(
        TALKBACK,
        "Ways from a talkback input into the main mix and out of a loudspeaker for the hall.",
    ),
    Explained(
        OWN_MICROPHONE,
        "Gain from a talkback microphone to each loudspeaker that plays it and back through the "
        "air, "
        "where the places of both are known.",
        (
            Threshold("gain once round: care", -SPARE_DB, "dB", "common practice"),
            Threshold("gain once round: fails", round(LOOP_FAILS_DB, 1), "dB", "ISO 532 (10 phon)"),
        ),
    ),
)
