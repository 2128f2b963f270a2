"""Stages that no gain reaches: microphones, boxes and transmitters near their own ceiling.

What clips there stays clipped, whatever is turned behind it. As long as it only comes near, it
works for whoever does not play louder.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Set
from typing import Final

from levelhead.chain.levels import PointLevels
from levelhead.chain.solution import Solution
from levelhead.quantity.formatting import format_level
from levelhead.verdicts.enough.clipping import own_doubts, room_down_db
from levelhead.verdicts.explain import PRACTICE, Explained, Threshold
from levelhead.verdicts.read.gain_plan import PEAK_RESERVE_DB
from levelhead.verdicts.read.kept import Note
from levelhead.verdicts.read.places import carrying_ways
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import ROUNDING, LimitState

__all__ = ["EXPLAINED", "NEAR", "SENTENCES", "check_first_stages"]

NEAR: Final = "enough.near-its-ceiling"
_SAME_DB: Final = 0.5  # of two stages this near, the first one is meant
_HEADS: Final = Note[tuple[tuple[str, ...], ...]]("first stages of each way")
SENTENCES: Final = {
    Severity.CARE: "{stage} has {spare} left on peaks of {peak}, and no gain behind it helps: it "
    "works while nobody gets louder. Its pad, more distance, or what stands more.",
}


def check_first_stages(reading: Reading) -> Iterator[Finding]:
    """Stages before the first gain that are near their ceiling on peaks.

    Judged is what hears a sound in the air, which nobody sets; an instrument or a player has a
    volume of its own. What can be turned down before is no such stage.
    """
    solution = reading.solution
    judged = frozenset(strip.port.partition(".")[0] for strip in reading.strips)
    heads = reading.noted(
        _HEADS, (*carrying_ways(reading), judged), lambda: tuple(_heads(solution, judged))
    )
    for address in dict.fromkeys(_tightest_stages(solution, heads)):
        levels = solution.levels(address)
        if levels.headroom is not None and levels.peak is not None:
            lacking_db = PEAK_RESERVE_DB - levels.headroom
            is_near = levels.headroom >= -ROUNDING and lacking_db > ROUNDING
            if is_near and room_down_db(solution, solution.number(address)) < lacking_db:
                yield _near(solution, levels, levels.peak, levels.headroom)


def _tightest_stages(solution: Solution, heads: Iterable[tuple[str, ...]]) -> Iterator[str]:
    """Of each way the stage before the first gain that has the least headroom, the first of them.

    What only hands on what was tight before has the same, give or take a little.
    """
    for stages in heads:
        found: tuple[float, str] | None = None
        for address in stages:
            headroom_db = solution.levels(address).headroom
            if headroom_db is not None and (found is None or headroom_db < found[0] - _SAME_DB):
                found = (headroom_db, address)
        if found is not None:
            yield found[1]


def _heads(solution: Solution, judged: Set[str]) -> Iterator[tuple[str, ...]]:
    """Stages on each way of a sound in the air, before the first item that has a meter; once each.

    Ways that part later have the same head.
    """
    sounds = {source.id for source in solution.rig.sources}
    known: dict[str, bool] = {}
    heads: dict[tuple[str, ...], None] = {}

    def is_judged(address: str) -> bool:
        if address not in known:
            known[address] = solution.point(address).item in judged
        return known[address]

    for way in solution.paths:
        if way[0] in sounds:
            unjudged = itertools.takewhile(lambda address: not is_judged(address), way[1:])
            heads.setdefault(tuple(unjudged))
    ports = solution.rig.ports
    for head in heads:
        yield tuple(
            each for each in head if each not in ports and each.rpartition(".")[0] not in ports
        )


def _near(solution: Solution, levels: PointLevels, peak_db: float, headroom_db: float) -> Finding:
    words = {
        "stage": solution.point(levels.at).label,
        "spare": format_level(headroom_db, "dB"),
        "peak": format_level(peak_db, levels.unit),
    }
    return Finding(
        code=NEAR,
        severity=Severity.CARE,
        where=levels.at,
        what=SENTENCES[Severity.CARE].format(**words),
        why=(Compared("peaks", peak_db, levels.ceiling, levels.unit),),
        state=LimitState(headroom_db, "dB", lambda: own_doubts(solution, levels.at)),
        source="peaks at a stage before the first gain, against its ceiling",
        basis=PRACTICE,
    )


EXPLAINED: Final = (
    Explained(
        NEAR,
        "Headroom on peaks in microphones, boxes and transmitters before the first gain, where "
        "nothing before them can be turned down.",
        (
            Threshold("headroom on peaks that is fine", PEAK_RESERVE_DB, "dB", PRACTICE),
            Threshold("headroom on peaks below which it clips", 0.0, "dB", "definition"),
        ),
    ),
)
