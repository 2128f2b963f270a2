"""The answer to readings: facts in place of guesses, what to turn, and what moves with it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean
from typing import Any

from levelhead.chain.levels import REFERENCE_OF_UNIT
from levelhead.errors import AskError
from levelhead.planning.gains.planned.ends import MeterMark
from levelhead.planning.seen.facts import Fact, fact_of
from levelhead.planning.seen.reading import SEEN, Seen, read_seen
from levelhead.planning.seen.turns import Move, Turn, moves_of, strip_at, turn_of
from levelhead.planning.trial import Trial
from levelhead.show.edit_json import edit_to_json
from levelhead.show.edits import Edit

__all__ = ["SeenAnswer", "SeenOne", "answer_seen"]


@dataclass(frozen=True, slots=True)
class SeenOne:
    """One reading: what it says of its source, and what follows.

    ``left_db`` is what no gain can turn: above zero too soft, below zero too loud.
    """

    seen: Seen
    unit: str
    fact: Fact
    turn: Turn | None
    left_db: float
    moves: tuple[Move, ...]

    @property
    def is_believed(self) -> bool:
        """Whether it says how loud the source is: nothing clips, it is alone, and may be so."""
        return self.fact.is_believed

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        return {
            "typed": self.seen.typed,
            "at": self.seen.at,
            "detector": self.seen.detector,
            "unit": self.unit,
            "seen": round(self.seen.level_db, 1) + 0.0,
            "predicted": round(self.fact.predicted_db, 1) + 0.0,
            "off_db": round(self.fact.off_db, 1) + 0.0,
            "source": self.fact.origin,
            "was": self.fact.was,
            "now": self.fact.now,
            "others_heard": self.fact.others,
            "doubted": self.fact.is_doubted,
            "clips": self.fact.clips,
            "edits": [edit_to_json(each) for each in self.fact.edits],
            "turn": None if self.turn is None else self.turn.to_json(),
            "left_db": round(self.left_db, 1) + 0.0,
            "moves": [each.to_json() for each in self.moves],
        }


@dataclass(frozen=True, slots=True)
class SeenAnswer:
    """All readings, and the show with what they say: ``trial`` has the facts, nothing is turned.

    A doubted reading is no fact: somebody looks for the fault first.
    """

    trial: Trial
    readings: tuple[SeenOne, ...]

    @property
    def facts(self) -> tuple[Edit, ...]:
        """Edits that write the facts into the show."""
        found = {each.fact.origin: each.fact.edits for each in self.readings if each.is_believed}
        return tuple(edit for edits in found.values() for edit in edits)

    @property
    def turns(self) -> tuple[Edit, ...]:
        """Edits that turn the gains."""
        return tuple(each.turn.edit for each in self.readings if each.turn is not None)

    def to_json(self) -> list[dict[str, Any]]:
        """As docs/formats.md prints it."""
        return [each.to_json() for each in self.readings]


def answer_seen(trial: Trial, typed: Sequence[str], meters: Sequence[MeterMark] = ()) -> SeenAnswer:
    """What readings say, one after another.

    Parameters
    ----------
    trial
        The show as its controls stood when the meters were read.
    typed
        Readings as they were typed.
    meters
        What the meters should read, by the gain plan.

    Raises
    ------
    AskError
        What was typed is no reading, or nothing is expected at that meter.
    """
    read = [read_seen(each, trial.solution) for each in typed]
    facts = _agreed(trial, [_fact(trial, each) for each in read])
    believed = [each for each in facts if each.is_believed]
    edits = list({fact.origin: edit for fact in believed for edit in fact.edits}.values())
    after = trial.after(edits) if edits else trial
    if after is None:
        raise AskError(
            "a source as loud as that is none of a show",
            where=SEEN,
            expected="readings of one source at a time, with the controls as the show has them",
            remedy="Check where the gain stood when the meter was read.",
        )
    found = zip(read, facts, strict=True)
    return SeenAnswer(after, tuple(_one(after, seen, fact, meters) for seen, fact in found))


def _agreed(trial: Trial, facts: Sequence[Fact]) -> list[Fact]:
    """One level for each source: the mean of what its readings say."""
    off_db: dict[str, list[float]] = {}
    for each in facts:
        off_db.setdefault(each.origin, []).append(each.off_db)
    return [each.off_by(trial.solution, fmean(off_db[each.origin])) for each in facts]


def _fact(trial: Trial, seen: Seen) -> Fact:
    fact = fact_of(trial.solution, seen)
    if fact is None:
        raise AskError(
            f"nothing is expected at {seen.at}",
            where=f"{SEEN} '{seen.typed}'",
            expected="a point at which a source of the show is heard",
            remedy="Look whether something is turned down or off before it: levelhead check SHOW",
        )
    return fact


def _one(after: Trial, seen: Seen, fact: Fact, meters: Sequence[MeterMark]) -> SeenOne:
    strip = strip_at(after, seen.at) if fact.is_believed else None
    turn, left_db = (None, 0.0) if strip is None else turn_of(after, strip, meters)
    moves = () if strip is None or turn is None else moves_of(after, strip, turn)
    unit = REFERENCE_OF_UNIT[after.solution.point(seen.at).unit][1]
    return SeenOne(seen, unit, fact, turn, left_db, moves)
