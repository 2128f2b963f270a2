"""What stands behind a weak strip lends it: masters, groups, amplifiers and loudspeakers turned up.

Whatever else is in that mix goes down by as much. It brings the noise behind the meter up, so it
counts where the source stands clear of that.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from levelhead.chain.solution import Solution
from levelhead.verdicts.hum.sound import CLEAN_DB
from levelhead.verdicts.read.doubts import share_of_origin, strongest_way
from levelhead.verdicts.read.strips import Strip
from levelhead.verdicts.told.limit_state import ROUNDING

__all__ = ["SHARED_MAKEUP_DB", "lent_db", "room_behind"]

SHARED_MAKEUP_DB: Final = 6.0  # what masters can lend one weak source, common practice
_SAME_NOISE_DB: Final = 1.0  # so little more noise comes from behind the meter: nobody hears it


def lent_db(solution: Solution, strip: Strip) -> float:
    """What masters and all behind them make up of a shortfall; at least 6 dB of the masters. [dB]

    What stands there is looked at only where the gain itself is not comfortable.
    """
    if strip.needed_db <= strip.comfortable_db + ROUNDING:
        return SHARED_MAKEUP_DB
    return max(SHARED_MAKEUP_DB, sum(room_behind(solution, strip).values()))


def room_behind(solution: Solution, strip: Strip) -> Mapping[str, float]:
    """Controls behind a strip on one way into other gear, with how far each goes up. [dB]

    Of several ways, also those of the other side of a stereo strip, that which gives most; none
    where the noise behind the meter forbids it.
    """
    found: dict[str, float] = {}
    for stages in _ways_behind(solution, strip):
        room = _room_of(solution, stages[1:])
        shared = {each: by_db for each, by_db in room.items() if not _is_own(strip, each)}
        is_more = sum(shared.values()) > sum(found.values())
        if is_more and _is_clean(solution, strip, stages, room):
            found = shared
    return found


def _ways_behind(solution: Solution, strip: Strip) -> Iterator[tuple[str, ...]]:
    """Ways of what comes to a strip from its meter on, as far as they lead out of its item."""
    metered = frozenset(_meters_of(solution, strip))
    for way in solution.paths:
        if metered.isdisjoint(way):
            continue
        first = next(number for number, each in enumerate(way) if each in metered)
        if first and solution.point(way[-1]).item != strip.metered.item:
            yield way[first:]


def _meters_of(solution: Solution, strip: Strip) -> Iterator[str]:
    """Stages of the strip that have a meter."""
    own = (each for each in solution.graph.index if _is_own(strip, each))
    return (each for each in own if solution.point(each).meter is not None)


def _is_own(strip: Strip, address: str) -> bool:
    """Whether a control or a stage stands in the strip itself; its makeup counts its controls."""
    return address.rpartition(".")[0] == strip.metered.address.rpartition(".")[0]


def _room_of(solution: Solution, stages: Sequence[str]) -> dict[str, float]:
    """Free ranges on a way, each once, with what they have left. [dB]"""
    rig = solution.rig
    controls = dict.fromkeys(solution.point(address).control for address in stages)
    room = {
        each: rig.controls[each].high - rig.setting_db(each)
        for each in controls
        if each is not None and rig.controls[each].kind == "range" and each not in rig.show.locks
    }
    return {each: by_db for each, by_db in room.items() if ROUNDING < by_db < math.inf}


def _is_clean(
    solution: Solution, strip: Strip, stages: Sequence[str], room: Mapping[str, float]
) -> bool:
    """Whether all turned up leaves a source clear of noise, or hardly worse than at its meter.

    What noise each stage adds stays as it is where the source comes louder to it.
    """
    noise = [_noise_to_own(solution, strip, address) for address in stages]
    raised_db, total = 0.0, noise[0]
    for before, here, address in zip(noise, noise[1:], stages[1:], strict=False):
        raised_db += room.get(solution.point(address).control or "", 0.0)
        total += max(here - before, 0.0) * 10 ** (-raised_db / 10)
    most = max(10 ** (-CLEAN_DB / 10), noise[0] * 10 ** (_SAME_NOISE_DB / 10))
    return total <= most


def _noise_to_own(solution: Solution, strip: Strip, address: str) -> float:
    """Power of A-weighted noise at a point, as a share of that of the strip's own source there."""
    over_db = solution.levels(address).signal_over_noise
    source = strongest_way(solution, solution.number(strip.entry.at)).source
    if over_db is None or source is None:
        return math.inf
    share = share_of_origin(solution, source, solution.number(address))
    return float(10 ** (-over_db / 10)) / share if share > 0 else math.inf
