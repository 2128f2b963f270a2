"""Digital volumes below full: what that costs in signal over noise where the signal ends."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import takewhile
from typing import Final

from levelhead.chain.levels import PointLevels
from levelhead.chain.solution import Solution
from levelhead.quantity.formatting import format_level
from levelhead.verdicts.read.doubts import doubts_of_level
from levelhead.verdicts.read.gain_plan import setting_words
from levelhead.verdicts.read.kept import Note
from levelhead.verdicts.read.places import carrying_ways
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Compared, Finding, Severity
from levelhead.verdicts.told.limit_state import ROUNDING, LimitState
from levelhead.verdicts.told.words import control_words

__all__ = ["QUIET_ENOUGH_DB", "SENTENCES", "check_volume", "desk_end", "digital_volumes"]

QUIET_ENOUGH_DB: Final = 60.0  # over A-weighted noise: nobody complains of it, common practice
_VOLUMES: Final = Note[dict[str, tuple[str, ...]]]("digital volumes")

SENTENCES: Final = {
    Severity.CARE: "{control} stands at {now}: {snr} of signal over noise at {end} where {full} is "
    "to be had. Turn it up and the next gain down.",
    Severity.FINE: "{control} stands at {now}, which costs {lost} of signal over noise at {end} "
    "({snr} left).",
}


def digital_volumes(solution: Solution) -> dict[str, tuple[str, ...]]:
    """Volumes of players, each with the strongest way of what it sets.

    A player's signal is born digital: up to the first volts no noise stands before its volume. A
    digital desk's faders stand behind noise of inputs, its own and those of what else it mixes.
    """
    found: dict[str, tuple[str, ...]] = {}
    for way in solution.paths:
        for control in _before_volts(solution, way):
            found.setdefault(control, way)
    return found


def _before_volts(solution: Solution, way: tuple[str, ...]) -> Iterator[str]:
    """Controls of the item in which a signal begins, while it is digital."""
    first = solution.point(way[0])
    if first.unit != "FS":
        return
    for point in takewhile(lambda each: each.unit == "FS", map(solution.point, way)):
        if point.item == first.item and point.control is not None:
            yield point.control


def desk_end(solution: Solution, way: tuple[str, ...]) -> PointLevels | None:
    """The last electrical point of a way: an output, else its last stage in volts."""
    levels = (solution.levels(address) for address in reversed(way))
    return next((each for each in levels if each.unit == "dBu"), None)


def check_volume(reading: Reading) -> Iterator[Finding]:
    """Digital volumes that stand below full.

    A volume stands before the noise of its analogue output: the signal falls, the noise stays.
    """
    volumes = reading.noted(
        _VOLUMES, carrying_ways(reading), lambda: digital_volumes(reading.solution)
    )
    for control, way in volumes.items():
        end = desk_end(reading.solution, way)
        is_free = control not in reading.rig.show.locks
        if is_free and end is not None and end.signal_over_noise is not None:
            yield from _volume(reading, control, end, end.signal_over_noise)


def _volume(reading: Reading, control: str, end: PointLevels, snr_db: float) -> Iterator[Finding]:
    solution = reading.solution
    lost_db = reading.rig.controls[control].high - reading.rig.setting_db(control)
    if lost_db <= ROUNDING:
        return
    row = solution.number(end.at)
    state = LimitState(
        snr_db - QUIET_ENOUGH_DB,
        "dB",
        lambda: doubts_of_level(solution, row, slope=+1.0),
        reading.moves(row, slope=+1.0),
        reading.is_open(row),
    )
    severity = Severity.FINE if state.margin >= -ROUNDING else Severity.CARE
    words = {
        "control": _capital(control_words(reading.rig, control)),
        "now": setting_words(reading.rig, control),
        "snr": format_level(snr_db, "dB"),
        "full": format_level(snr_db + lost_db, "dB"),
        "lost": format_level(lost_db, "dB"),
        "end": solution.graph.points[row].label,
    }
    yield Finding(
        code="enough.volume-down",
        severity=severity,
        where=control,
        what=SENTENCES[severity].format(**words),
        why=(Compared("signal over A-weighted noise", snr_db, QUIET_ENOUGH_DB, "dB"),),
        state=state,
        source="signal falls with a digital volume, the noise of the converter behind it does not",
        basis="common practice",
    )


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
