"""What was understood of a list, in 80 columns: rows, guesses with their words, questions."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from levelhead.cli.reports.columns import cut, entry, paragraph
from levelhead.exchange.lists.merging import ListPlan
from levelhead.exchange.lists.model import Channel, Guess, Question
from levelhead.exchange.lists.reading import ReadList
from levelhead.exchange.lists.trade import trade_words

__all__ = ["choice_lines", "import_report"]

_NUMBERS: Final = 7
_NAME: Final = 24
_INDENT: Final = " " * (_NUMBERS + _NAME)
_MOST_ASIDE: Final = 8
_MARK: Final = "~"


def import_report(read: ReadList, plan: ListPlan, changes: Sequence[str]) -> str:
    """The whole preview, but for what to do now.

    Parameters
    ----------
    read : ReadList
        What was understood.
    plan : ListPlan
        What it makes of the show.
    changes : sequence of str
        Changes of a show that was there, as sentences; empty for a new show.
    """
    questions = (*read.questions, *plan.questions)
    lines = [_head(read, questions), ""]
    for channel in read.channels:
        lines += _row(channel)
    lines += ["", *_guessed(read.channels, plan.guesses)]
    for question in questions:
        lines += _asked(question)
    lines += list(_aside(read))
    lines += list(_remarked(read.channels))
    for note in (*read.notes, *plan.notes):
        lines += entry("Note", f"{note}.")
    for change in changes:
        lines += entry("Change", change)
    return "\n".join(line.rstrip() for line in _unblanked(lines))


def _head(read: ReadList, questions: Sequence[Question]) -> str:
    open_ = sum(not channel.is_understood for channel in read.channels)
    asked = f"{len(questions)} question{'s' if len(questions) != 1 else ''}"
    rows = f"{len(read.channels)} row{'s' if len(read.channels) != 1 else ''}"
    return cut(f"{read.name}: {rows}, {open_} not understood, {asked}", 80)


def _row(channel: Channel) -> list[str]:
    """Numbers, the list's words, and what they were taken for; ``~`` before what is guessed."""
    numbers = "+".join(map(str, channel.numbers)) or "next"
    if len(channel.numbers) > 2:  # noqa: PLR2004 - first and last say it
        numbers = f"{channel.numbers[0]}-{channel.numbers[-1]}"
    first = f"{numbers:>{_NUMBERS - 2}}  {cut(channel.name, _NAME - 2):<{_NAME}}"
    return paragraph(_taken(channel), first=first, rest=_INDENT)


def _taken(channel: Channel) -> str:
    if channel.is_spare:
        return "kept free"
    if channel.open or channel.item is None:
        return "? asked below"
    guessed = {guess.about for guess in channel.guesses}
    thing = trade_words().things[channel.thing].label if channel.thing is not None else ""
    gear = _marked(channel.item, guessed, "microphone")
    if channel.box is not None:
        gear = f"{gear} > {_marked(channel.box, guessed, 'box')}"
    parts = [_marked(thing, guessed, "what", "sound"), gear]
    if channel.is_pair:
        parts.append(_marked("left and right", guessed, "pair"))
    elif channel.count > 1:
        parts.append(f"{channel.count} of them")
    return ", ".join(part for part in (*parts, *_switches(channel, guessed)) if part)


def _marked(text: str, guessed: set[str], *about: str) -> str:
    return f"{_MARK}{text}" if text and guessed.intersection(about) else text


def _switches(channel: Channel, guessed: set[str]) -> Iterator[str]:
    """What is said about phantom power, gain and cable."""
    if channel.phantom is not None:
        yield "48 V" if channel.phantom else "no 48 V"
    elif "phantom" in guessed:
        yield f"{_MARK}48 V"
    if channel.gain_db is not None:
        yield f"gain {channel.gain_db:g} dB"
    if channel.cable_m is not None:
        yield _marked(f"cable {channel.cable_m:g} m", guessed, "cable")
    if channel.pad:
        yield "pad"


def _guessed(channels: Sequence[Channel], more: Sequence[Guess]) -> Iterator[str]:
    """Guesses by their reason, with the words that they came from."""
    by_reason: dict[tuple[str, str], list[str]] = {}
    for channel in channels:
        if not channel.open:
            for guess in channel.guesses:
                told = f"'{cut(guess.words, 40)}'"
                if guess.about in ("what", "sound", "channel"):
                    told += f" as {guess.taken}"
                by_reason.setdefault((guess.about, guess.why), []).append(told)
    for guess in more:
        by_reason.setdefault((guess.about, guess.why), []).append(f"{guess.taken} ({guess.words})")
    for (about, why), words in by_reason.items():
        yield from entry("Guess", f"{about}, {why}: {'; '.join(dict.fromkeys(words))}")


def _asked(question: Question) -> list[str]:
    places = ", ".join(question.where[:6]) + (", ..." if len(question.where) > 6 else "")  # noqa: PLR2004 - one line
    lines = entry("Ask", f"{question.ask} ({places})")
    for choice in choice_lines(question):
        lines += paragraph(choice, first=" " * 8, rest=" " * 10)
    option = f'--answer "{question.key}={question.choices[0].answer}"'
    return [*lines, *paragraph(option, first=" " * 8, rest=" " * 10)]


def choice_lines(question: Question) -> list[str]:
    """The likely answers, one a line."""
    return [f"{each.answer}: {each.label}" for each in question.choices]


def _aside(read: ReadList) -> Iterator[str]:
    for each in read.skipped[:_MOST_ASIDE]:
        yield from entry("Aside", f"{each.where}: {cut(each.text, 50)} ({each.why})")
    more = len(read.skipped) - _MOST_ASIDE
    if more > 0:
        yield from entry("Aside", f"{more} more; --json lists them")


def _remarked(channels: Sequence[Channel]) -> Iterator[str]:
    """Remarks of the list, which are kept with the gear and change nothing."""
    told = [
        f"{'+'.join(map(str, each.numbers)) or each.name} '{cut(each.note, 40)}'"
        for each in channels
        if each.note
    ]
    more = f"; {len(told) - _MOST_ASIDE} more" if len(told) > _MOST_ASIDE else ""
    if told:
        yield from entry(
            "Kept", f"as notes with their gear, for people: {'; '.join(told[:_MOST_ASIDE])}{more}"
        )


def _unblanked(lines: Iterable[str]) -> Iterator[str]:
    """Without two blank lines in a row."""
    before = ""
    for line in lines:
        if line or before:
            yield line
        before = line
