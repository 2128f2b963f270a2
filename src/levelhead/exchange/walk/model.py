"""The walk along a channel as values: stops in signal order, what each should read, what may be."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final, Literal, TypeAlias

from levelhead.show.edit_json import edit_to_json
from levelhead.show.edits import Edit

__all__ = ["SYMPTOMS", "Candidate", "Expected", "Stop", "Symptom", "Walk"]

Symptom: TypeAlias = Literal["silent", "thin", "hum", "distorted"]
Kind: TypeAlias = Literal["source", "lead", "phantom", "gain", "routing", "output"]

SYMPTOMS: Final[dict[Symptom, str]] = {
    "silent": "nothing is heard",
    "thin": "weak, hollow or without bass",
    "hum": "hums or buzzes",
    "distorted": "rough or broken up",
}


@dataclass(frozen=True, slots=True)
class Expected:
    """What a meter reads at a stop while all is well.

    Attributes
    ----------
    how
        ``meter`` on a panel, ``pfl`` on the meter for listening, ``volts`` with a multimeter, or
        ``sound`` at 1 m of a loudspeaker.
    at
        Address of the point.
    reads, low, high
        As on that meter, in ``unit``; it is as expected between ``low`` and ``high``, of which one
        may be open.
    detector
        In the trade's words; empty for volts.
    """

    how: Literal["meter", "pfl", "volts", "sound"]
    at: str
    reads: float
    low: float | None
    high: float | None
    unit: str
    detector: str = ""

    def is_right(self, value: float) -> bool:
        """Whether a reading is as expected."""
        return not self.is_too_low(value) and not self.is_too_high(value)

    def is_too_low(self, value: float) -> bool:
        """Whether a reading is below what is expected."""
        return self.low is not None and value < self.low

    def is_too_high(self, value: float) -> bool:
        """Whether a reading is above what is expected."""
        return self.high is not None and value > self.high

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        ends = {"low": self.low, "high": self.high}
        return {
            "how": self.how,
            "at": self.at,
            "reads": round(self.reads, 1) + 0.0,
            **{name: None if end is None else round(end, 1) + 0.0 for name, end in ends.items()},
            "unit": self.unit,
            "detector": self.detector,
        }


@dataclass(frozen=True, slots=True)
class Candidate:
    """Something that may be wrong. ``edits`` make a copy of the show in which it is wrong.

    They are the place for a search that tries every fault and ranks what it would read; without
    any, a fault cannot be simulated.
    """

    what: str
    edits: tuple[Edit, ...] = ()

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        return {"what": self.what, "edits": [edit_to_json(each) for each in self.edits]}


@dataclass(frozen=True, slots=True)
class Stop:
    """One place of the walk.

    Attributes
    ----------
    title
        Where one stands.
    do
        What to look at or do there.
    expected
        What meters read there; empty where there is none.
    sees
        What is seen or heard there while all is well, in words.
    candidates
        What may be wrong between the stop before and this one, the likeliest and cheapest first.
    caution
        What can hurt there.
    """

    number: int
    kind: Kind
    at: str
    title: str
    do: str
    sees: str
    expected: tuple[Expected, ...]
    candidates: tuple[Candidate, ...]
    caution: str | None = None

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        return {
            "number": self.number,
            "kind": self.kind,
            "at": self.at,
            "title": self.title,
            "do": self.do,
            "sees": self.sees,
            "expected": [each.to_json() for each in self.expected],
            "candidates": [each.to_json() for each in self.candidates],
            "caution": self.caution,
        }


@dataclass(frozen=True, slots=True)
class Walk:
    """The whole walk along one channel.

    Attributes
    ----------
    channel
        Address of the input that it is about.
    who, place, end
        Who plays there, which input that is, and the loudspeaker or recorder that the walk ends at.
    said
        What the show itself has to say about it: findings on the way, worst first.
    ends
        Other ends of this channel, by id and name.
    """

    symptom: Symptom
    channel: str
    who: str
    place: str
    end: str
    end_at: str
    said: tuple[str, ...]
    stops: tuple[Stop, ...]
    ends: tuple[tuple[str, str], ...]
    cautions: tuple[str, ...]

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md prints it."""
        return {
            "symptom": self.symptom,
            "channel": self.channel,
            "who": self.who,
            "place": self.place,
            "end": self.end,
            "said": list(self.said),
            "stops": [each.to_json() for each in self.stops],
            "other_ends": [{"item": item, "label": label} for item, label in self.ends],
            "cautions": list(self.cautions),
        }
