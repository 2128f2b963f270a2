"""A list of inputs as it was understood, arranged for the eye: taken, guessed, asked, left out."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Self

from levelhead.exchange.lists import ListPlan, ReadList
from levelhead.exchange.lists.model import Channel, Guess, Question
from levelhead.gear.book import GearBook

__all__ = ["ListView", "text_of_tables"]


@dataclass(frozen=True, slots=True)
class ChannelRow:
    """One input: its channels, its name, the gear that it was taken for, and what was guessed."""

    numbers: str
    name: str
    gear: tuple[str, ...]
    guesses: tuple[str, ...]
    is_open: bool

    @classmethod
    def of(cls, channel: Channel, book: GearBook) -> Self:
        """Gear by its labels, in the order of the signal."""
        types = (channel.source, channel.item, channel.box)
        gear = [book.entry(each).label for each in types if each is not None and each in book.ids]
        gear += _said(channel)
        if channel.is_spare:
            gear = ["kept free"]
        return cls(
            numbers=", ".join(str(each) for each in channel.numbers) or "next free",
            name=channel.name,
            gear=tuple(gear),
            guesses=_guesses(channel.guesses, book),
            is_open=not channel.is_understood,
        )


@dataclass(frozen=True, slots=True)
class ListView:
    """Everything that the preview shows."""

    rows: tuple[ChannelRow, ...]
    questions: tuple[Question, ...]
    guesses: tuple[str, ...]
    skipped: tuple[tuple[str, str, str], ...]  # where, text, why
    notes: tuple[str, ...]
    built: int

    @classmethod
    def of(cls, read: ReadList, plan: ListPlan, book: GearBook) -> Self:
        """Of a list, and of what would be built of it."""
        rows = tuple(ChannelRow.of(each, book) for each in read.channels)
        spare = sum(each.is_spare for each in read.channels)
        return cls(
            rows=rows,
            questions=_each_once((*read.questions, *plan.questions)),
            guesses=_guesses(plan.guesses, book),
            skipped=tuple((each.where, each.text, each.why) for each in read.skipped),
            notes=tuple(dict.fromkeys((*read.notes, *plan.notes))),
            built=len(rows) - spare - len(plan.left),
        )


def _said(channel: Channel) -> list[str]:
    """What the list says of an input beside its gear."""
    phantom = {True: "48 V", False: "no 48 V", None: ""}[channel.phantom]
    gain = "" if channel.gain_db is None else f"gain {channel.gain_db:g} dB"
    cable = "" if channel.cable_m is None else f"cable {channel.cable_m:g} m"
    return [each for each in (phantom, gain, cable, "pad" if channel.pad else "") if each]


def _guesses(guesses: Iterable[Guess], book: GearBook) -> tuple[str, ...]:
    return tuple(_guess(each, book) for each in guesses)


def _guess(guess: Guess, book: GearBook) -> str:
    """What was taken and why; of words that nobody knows, which they are."""
    if guess.about == "words":
        return f"Not known: '{guess.words}'; the words beside it decide"
    why = " ".join(_label(word, book) for word in (guess.why or guess.words).split(" "))
    return f"Guessed {guess.about}: {_label(guess.taken, book)} ({why})"


def _label(text: str, book: GearBook) -> str:
    return book.entry(text).label if text in book.ids else text


def _each_once(questions: Iterable[Question]) -> tuple[Question, ...]:
    return tuple({each.key: each for each in questions}.values())


def text_of_tables(read: ReadList) -> str:
    """The rows of a file as lines with tabs between the cells, as they would be pasted."""
    tables = ("\n".join("\t".join(row).rstrip() for row in table.rows) for table in read.tables)
    return "\n\n".join(text for text in tables if text.strip())
