"""What the page of the walk says: the stop to look at, what answers told, and links onward."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Self
from urllib.parse import urlencode

from levelhead.errors import AskError
from levelhead.exchange.paperwork.work import Paperwork
from levelhead.exchange.sheets.line_check import lines
from levelhead.exchange.sheets.pack import check_for
from levelhead.exchange.walk import (
    SYMPTOMS,
    Narrowed,
    Stop,
    Symptom,
    Walk,
    answers_of,
    channel_meant,
    narrowed,
    walked,
)
from levelhead.gear.book import GearBook
from levelhead.show.model import Show

__all__ = ["WalkAsked", "WalkView"]


@dataclass(frozen=True, slots=True)
class WalkAsked:
    """What the address of the page says."""

    at: str
    symptom: str
    to: str | None
    seen: tuple[str, ...]

    def link(self, *seen: str) -> str:
        """The same page after other answers."""
        fields = [("at", self.at), ("symptom", self.symptom)]
        fields += [("to", self.to)] if self.to else []
        fields += [("seen", each) for each in seen]
        return f"?{urlencode(fields)}#answer"

    def without(self, stop: int) -> tuple[str, ...]:
        """Answers but for those of a stop."""
        return tuple(each for each in self.seen if each.partition("=")[0].strip() != str(stop))


@dataclass(frozen=True, slots=True)
class StopView:
    """A stop with its links: as expected, not as expected, and taken back."""

    stop: Stop
    mark: str
    right: str
    wrong: str
    back: str
    unit: str


@dataclass(frozen=True, slots=True)
class WalkView:
    """Everything that the page says."""

    title: str
    channels: tuple[tuple[str, str], ...]
    asked: WalkAsked
    symptoms: tuple[tuple[str, str], ...]
    walk: Walk | None
    found: Narrowed | None
    now: StopView | None
    stops: tuple[StopView, ...]
    start: str

    @classmethod
    def of(cls, show: Show, book: GearBook, asked: WalkAsked) -> Self:
        """The page of a show.

        Raises
        ------
        LevelheadError
            There is no such channel, symptom or stop.
        """
        work = Paperwork(check_for((), show, book))
        channels = tuple(
            (each.port.address, f"{each.source}: {each.mixer}, {each.input}")
            for each in lines(work)
        )
        symptoms = tuple(SYMPTOMS.items())
        if not asked.at:
            return cls(show.name, channels, asked, symptoms, None, None, None, (), "")
        walk, ground = walked(work, channel_meant(work, asked.at), _symptom(asked), asked.to)
        answers = answers_of(asked.seen, walk)
        found = narrowed(walk, ground, answers)
        stops = tuple(_stop(each, asked, found, set(answers)) for each in walk.stops)
        now = next((each for each in stops if each.stop.number == found.next), None)
        return cls(show.name, channels, asked, symptoms, walk, found, now, stops, asked.link())


def _symptom(asked: WalkAsked) -> Symptom:
    for each in SYMPTOMS:
        if each == asked.symptom:
            return each
    raise AskError(
        f"no symptom '{asked.symptom}'",
        where="address",
        expected=f"one of {', '.join(SYMPTOMS)}",
        remedy="Pick one on the page.",
    )


def _stop(stop: Stop, asked: WalkAsked, found: Narrowed, answered: set[int]) -> StopView:
    number = stop.number
    mark = ""
    if number in answered:
        mark = "wrong" if found.bad is not None and number >= found.bad else "right"
    rest: Sequence[str] = asked.without(number)
    return StopView(
        stop=stop,
        mark=mark,
        right=asked.link(*rest, f"{number}=right"),
        wrong=asked.link(*rest, f"{number}=wrong"),
        back=asked.link(*rest) if number in answered else "",
        unit=stop.expected[0].unit if stop.expected else "",
    )
