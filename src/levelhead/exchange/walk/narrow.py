"""Answers at the stops of a walk: on which side the fault lies, and what is left that may be it."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final, Literal, TypeAlias

from levelhead.errors import AskError
from levelhead.exchange.walk.alone import Alone
from levelhead.exchange.walk.model import Candidate, Expected, Stop, Walk
from levelhead.exchange.walk.places import Ground
from levelhead.exchange.walk.words import range_words, reading_text
from levelhead.show.edits import Set

__all__ = ["Answer", "Narrowed", "Suspect", "answers_of", "narrowed"]

Answer: TypeAlias = Literal["right", "wrong"] | float
"""At a stop: as expected, not as expected, or what its meter reads."""

_ANSWER: Final = re.compile(
    r"(?P<stop>\d+)\s*[=:]\s*(?:(?P<word>right|wrong)|(?:meter reads\s+)?"
    r"(?P<value>[+\-\N{MINUS SIGN}]?\d+(?:[.,]\d+)?)\s*(?:dB\w*|dB SPL|V)?(?: \w+)?)",
    re.IGNORECASE,
)
_WITHIN_V: Final = 4.0  # IEC 61938: a supply of 48 V is so far off at most
_NO_VOLTS: Final = 1.0
_FLOOR_DB: Final = 20.0  # so far below is what crosstalk and noise show, common practice


@dataclass(frozen=True, slots=True)
class Suspect:
    """A candidate that is left, and what the meter would read with it.

    ``fits`` is ``None`` where that is not known.
    """

    candidate: Candidate
    stop: int
    fits: bool | None = None
    would_read: str = ""

    @property
    def words(self) -> str:
        """The candidate with what the meter would read."""
        told = "" if not self.would_read else f" (the meter would read {self.would_read})"
        return f"{self.candidate.what}{told}"

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        content = self.candidate.to_json()
        return {**content, "stop": self.stop, "fits": self.fits, "would_read": self.would_read}


@dataclass(frozen=True, slots=True)
class Narrowed:
    """What answers say: the last stop that is as expected, the first behind it that is not.

    ``next`` is the stop to go to; ``None`` where nothing is left to be asked.
    """

    good: int
    bad: int | None
    next: int | None
    says: tuple[str, ...]
    suspects: tuple[Suspect, ...]

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        return {
            "good": self.good,
            "bad": self.bad,
            "next": self.next,
            "says": list(self.says),
            "suspects": [each.to_json() for each in self.suspects],
        }


def answers_of(typed: Sequence[str], walk: Walk) -> dict[int, Answer]:
    """Answers as they are typed: ``5=right``, ``6=wrong``, ``6=-40``, ``6: meter reads -40``.

    Raises
    ------
    AskError
        It is no answer, or the walk has no such stop, or no meter there.
    """
    found: dict[int, Answer] = {}
    for each in typed:
        match = _ANSWER.fullmatch(each.strip())
        if match is None:
            raise _refused(f"'{each.strip()}' is no answer", "STOP=right, STOP=wrong or STOP=-40")
        number = int(match["stop"])
        stop = next((one for one in walk.stops if one.number == number), None)
        if stop is None:
            raise _refused(f"no stop {number}", f"a stop from 1 to {len(walk.stops)}")
        if match["word"]:
            found[number] = "right" if match["word"].lower() == "right" else "wrong"
        elif not stop.expected:
            raise _refused(f"no meter is expected at stop {number}", "right or wrong")
        else:
            found[number] = float(match["value"].replace(",", ".").replace("\N{MINUS SIGN}", "-"))
    return found


def _refused(what: str, expected: str) -> AskError:
    return AskError(
        what, where="--seen", expected=expected, remedy="Write it like --seen 5=-40 or 5=right."
    )


def narrowed(walk: Walk, ground: Ground, answers: Mapping[int, Answer]) -> Narrowed:
    """What some answers say together.

    Phantom power comes from the desk, against the signal: it tells of itself and of its lead only.
    """
    stops = {stop.number: stop for stop in walk.stops}
    is_right = {number: _is_right(walk, stops[number], each) for number, each in answers.items()}
    starved = [n for n, right in is_right.items() if not right and stops[n].kind == "phantom"]
    is_right = {n: right for n, right in is_right.items() if stops[n].kind != "phantom"}
    good = max((number for number, right in is_right.items() if right), default=0)
    bad = min((n for n, right in is_right.items() if not right and n > good), default=None)
    says = [words for n, each in sorted(answers.items()) for words in _told(stops[n], each)]
    if starved and (bad is None or bad > starved[0] > good):
        says.append(f"{stops[starved[0]].title}: too little gets there; the lead or its switch.")
        inside = [stops[starved[0]]]
        suspects = _suspects(walk, ground, inside, inside[0], answers[starved[0]])
        return Narrowed(good, starved[0], None, tuple(says), suspects)
    if bad is None:
        ahead = (n for n in stops if n > good and n not in answers)
        onward = next(ahead, None) if good < len(stops) else None
        if onward is None:
            says.append(
                "All of this way is as expected: try another end of this channel, or another "
                "channel with the same fault."
            )
        return Narrowed(good, None, onward, tuple(says), ())
    says.append(_between(stops, good, bad))
    inside = [stops[number] for number in range(good + 1, bad + 1)]
    suspects = _suspects(walk, ground, inside, stops[bad], answers[bad])
    return Narrowed(good, bad, _next(inside), tuple(says), suspects)


def _is_right(walk: Walk, stop: Stop, answer: Answer) -> bool:
    if isinstance(answer, str):
        return answer == "right"
    expected = _meter_of(stop)
    too_much = expected.is_too_high(answer)
    return not too_much if walk.symptom in {"hum", "distorted"} else not expected.is_too_low(answer)


def _meter_of(stop: Stop) -> Expected:
    return stop.expected[0]


def _told(stop: Stop, answer: Answer) -> list[str]:
    """A reading in words; yes and no need none."""
    if isinstance(answer, str):
        return []
    expected = _meter_of(stop)
    reads = reading_text(answer, expected.unit)
    right = range_words(expected)
    if expected.is_right(answer):
        return [f"{stop.title}: {reads} is as expected ({right})."]
    off, way = answer - expected.reads, "more" if answer > expected.reads else "less"
    by = f"{abs(off):.1f} V" if expected.unit == "V" else f"{abs(off):.0f} dB"
    return [f"{stop.title}: {reads} is {by} {way} than expected ({right})."]


def _between(stops: Mapping[int, Stop], good: int, bad: int) -> str:
    after = f"behind {stops[good].title}" if good else "at its beginning"
    return f"The fault lies {after}, not further than {stops[bad].title}."


def _next(inside: Sequence[Stop]) -> int | None:
    """Of several stops between, the middle one that has a meter; else the first."""
    ahead = inside[:-1]
    if not ahead:
        return None
    metered = [stop for stop in ahead if stop.expected] or ahead
    return metered[len(metered) // 2].number


def _suspects(
    walk: Walk, ground: Ground, inside: Sequence[Stop], bad: Stop, answer: Answer
) -> tuple[Suspect, ...]:
    """Candidates between two stops; with a reading, those that would read so come first."""
    found = [
        _suspect(walk, ground, each, stop.number, bad, answer)
        for stop in inside
        for each in stop.candidates
    ]
    return tuple(sorted(found, key=lambda each: each.fits is False or each.fits is None))


def _suspect(
    walk: Walk, ground: Ground, candidate: Candidate, stop: int, bad: Stop, answer: Answer
) -> Suspect:
    is_level = walk.symptom in {"silent", "thin"}
    if not is_level or isinstance(answer, str) or not candidate.edits:
        return Suspect(candidate, stop)
    expected = _meter_of(bad)
    after = ground.work.check.trial.after(candidate.edits)
    if after is None:
        return Suspect(candidate, stop)
    would = _would_read(Alone(after, ground.route), expected)
    told = "nothing" if would is None else reading_text(would, expected.unit)
    fits = _fits(ground, expected, would, answer, is_turned=_is_turned(ground, candidate))
    return Suspect(
        candidate, stop, fits, f"down to {told}" if _is_turned(ground, candidate) else told
    )


def _is_turned(ground: Ground, candidate: Candidate) -> bool:
    """Whether it is a level that may stand anywhere below where it should."""
    controls = ground.work.rig.controls
    return all(isinstance(e, Set) and controls[e.address].kind == "range" for e in candidate.edits)


def _fits(
    ground: Ground, expected: Expected, would: float | None, answer: float, *, is_turned: bool
) -> bool:
    """Whether a fault reads as was seen; of a level turned down, any reading above its end."""
    if expected.unit == "V":
        return answer <= _NO_VOLTS if would is None else abs(would - answer) <= _WITHIN_V
    if would is None:
        return is_turned or answer <= expected.reads - _FLOOR_DB
    within_db = ground.alone.spread_db
    return answer >= would - within_db if is_turned else abs(would - answer) <= within_db


def _would_read(alone: Alone, expected: Expected) -> float | None:
    """The same meter in a show with a fault; ``None`` for silence."""
    if expected.how == "volts":
        direct = alone.solution.dc_at(expected.at)
        return None if direct is None or direct.common_v < _NO_VOLTS else direct.common_v
    if expected.at not in alone.solution.graph.index:
        return None
    found = alone.sound(expected.at) if expected.how == "sound" else alone.expected(expected.at)
    return None if found is None else found.reads
