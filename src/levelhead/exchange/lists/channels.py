"""Lines of a list as channels of a desk: one row, two rows of a pair, several of a kind."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from levelhead.exchange.lists.active import narrowed_by_power
from levelhead.exchange.lists.kits import pieces_of
from levelhead.exchange.lists.list_rows import Line, Skipped
from levelhead.exchange.lists.meanings import LEAVE_OUT, Asking, Meaning, thing_of
from levelhead.exchange.lists.model import Channel, Choice
from levelhead.exchange.lists.numbers import decimal, length_m
from levelhead.exchange.lists.pairs import joined_pairs, numbered
from levelhead.exchange.lists.phrases import words_of
from levelhead.exchange.lists.remarks import PAD, without_remarks
from levelhead.exchange.lists.spoken import MIC_TRAITS, Spoken, spoken
from levelhead.exchange.lists.trade import TradeWords
from levelhead.exchange.lists.types_on_way import Gear, gear_of, lives_on_phantom
from levelhead.exchange.lists.ways import ways_of

__all__ = ["channels_of_lines"]

_PAIR: Final = 2
_OF_NOTES: Final = frozenset({"wireless", "wireless-hand", "handheld", "headset", "lavalier"})
_PROSE: Final = 10  # words of a row without a number that is a note and no input
_BOTH: Final = re.compile(
    r"\s*[(\[]?\b(?:l\s*[/+&-]\s*r|lr|st(?:ereo|éréo|éreo)?|g\s*/\s*d|sx\s*/\s*dx|li\s*/\s*re|izq\s*/\s*der)\b[)\]]?",
    re.IGNORECASE,
)  # left and right of one row, where they end its name


@dataclass(frozen=True, slots=True)
class Understood:
    """Channels of a list, and rows that are none."""

    channels: tuple[Channel, ...]
    skipped: tuple[Skipped, ...]


def channels_of_lines(lines: Sequence[Line], asking: Asking) -> Understood:
    """Every line as a channel, a question, or a row that is set aside with its reason."""
    channels: list[Channel] = []
    skipped: list[Skipped] = []
    for line in lines:
        found = _of_line(line, asking)
        if isinstance(found, Skipped):
            skipped.append(found)
        else:
            channels += found
    joined = joined_pairs(channels, asking)
    return Understood(tuple(numbered(joined, asking)), tuple(skipped))


def _of_line(line: Line, asking: Asking) -> Skipped | list[Channel]:
    """A line as channels, or set aside with its reason."""
    trade = asking.trade
    line = without_remarks(line, trade)
    name, gear = line.cell("name"), line.cell("gear")
    if _is_spare(name, trade) or (not name and gear and _is_spare(gear, trade)):
        return [Channel(where=line.where, name=name or gear, numbers=line.channels, is_spare=True)]
    if trade.has_mark("return", words_of(name)):
        return Skipped(line.where, line.text, "a return of an effect, not an input of the stage")
    if (leaving := _leaving(line, asking)) is not None:
        return leaving
    if _is_spare(gear, trade):
        gear = ""
    if not line.channels and len(words_of(name)) > _PROSE and not gear:
        return Skipped(line.where, line.text, "not understood")
    if line.is_doubtful and (doubt := _heading(line, asking)) is not None:
        return doubt
    if (pieces := pieces_of(line, asking)) is not None:
        return _of_pieces(pieces, asking)
    meaning = Meaning(line, spoken(name, trade), spoken(_gear_told(line, gear, trade), trade))
    if not thing_of(meaning, asking):
        return Skipped(line.where, line.text, "left out, as answered")
    if meaning.gear.key and asking.answer(meaning.gear.key) == LEAVE_OUT:
        return Skipped(line.where, line.text, "left out, as answered")
    narrowed_by_power(meaning, asking)
    return list(_channels(meaning, asking))


def _of_pieces(pieces: Channel | list[Line], asking: Asking) -> list[Channel]:
    """A whole of several inputs: still asked about, or a channel for each of its pieces."""
    if isinstance(pieces, Channel):
        return [pieces]
    found = [_of_line(each, asking) for each in pieces]
    return [channel for each in found if isinstance(each, list) for channel in each]


def _heading(line: Line, asking: Asking) -> Skipped | list[Channel] | None:
    """A name alone, without a number: asked whether it is an input or a heading."""
    name = line.cell("name")
    key = f"row {name}".lower()
    answer = asking.answer(key)
    if answer == "heading":
        return Skipped(line.where, line.text, "a heading, as answered")
    if answer == "input":
        return None
    choices = [Choice("heading", "a heading"), Choice("input", "an input without a number")]
    asking.ask(key, f"Is '{name}' an input or a heading?", line.where, choices)
    return [Channel(where=line.where, name=name, open=(key,))]


def _leaving(line: Line, asking: Asking) -> Skipped | list[Channel] | None:
    """A row about something that leaves the desk; asked where it may be an input all the same.

    A monitor mix with no microphone or box beside it is none; ``split to broadcast`` with the
    number of an input may be either.
    """
    trade, name = asking.trade, line.cell("name")
    gear = spoken(line.cell("gear"), trade).trait_names
    is_reached = bool(gear & (MIC_TRAITS | {"di", "line"}))
    if line.is_way_out and not is_reached:
        return Skipped(line.where, line.text, "a mix that leaves the desk, not an input")
    if not line.is_way_out and not (line.channels and trade.has_mark("leaves", words_of(name))):
        return None
    key = f"leaves {name or line.text}".lower()
    answer = asking.answer(key)
    if answer == "input":
        return None
    if answer == LEAVE_OUT:
        return Skipped(line.where, line.text, "leaves the desk, as answered")
    choices = [Choice(LEAVE_OUT, "leaves the desk: no input"), Choice("input", "an input")]
    ask = f"Does '{name or line.text}' leave the desk, or is it an input?"
    asking.ask(key, ask, line.where, choices)
    return [Channel(where=line.where, name=name, numbers=line.channels, open=(key,))]


def _gear_told(line: Line, gear: str, trade: TradeWords) -> str:
    """The microphone of a line, and a note that says nothing but how it comes: ``wireless``."""
    note = spoken(line.cell("note"), trade)
    is_plain = bool(note.traits) and not (note.strange or note.things or note.slips)
    is_mic = bool(spoken(gear, trade).trait_names & MIC_TRAITS)
    if is_mic and is_plain and note.trait_names <= _OF_NOTES:
        return f"{gear} {note.text}"
    return gear


def _is_spare(text: str, trade: TradeWords) -> bool:
    """Whether a text says that nothing is there, in one language or in two: ``frei / free``."""
    if not text:
        return False
    marks = trade.marks["spare"]
    return (
        not words_of(text)
        or _bare(text) in marks
        or all(_bare(each) in marks for each in text.split("/"))
    )


def _bare(text: str) -> tuple[str, ...]:
    return tuple(word for word in words_of(text) if not word.isdigit())


def _channels(meaning: Meaning, asking: Asking) -> Iterator[Channel]:
    """One channel; two where a row names a DI box and a microphone."""
    line = meaning.line
    phantom = _phantom(line, asking.trade)
    ways = ways_of(meaning, asking)
    is_pair, count = _size(meaning)
    if len(ways) == _PAIR and len(line.channels) in (0, _PAIR):
        words = line.cell("gear") or line.cell("name")
        meaning.guess("channel", "two inputs", words, "a DI box and a microphone")
        for at, way in enumerate(ways):
            gear = gear_of(meaning, asking, way, phantom=phantom, sides=1)
            numbers = line.channels[at : at + 1]
            _guess_phantom(meaning, asking, gear, phantom=phantom)
            yield _channel(meaning, gear, phantom=phantom, numbers=numbers)
            meaning.guesses.clear()
        return
    if len(ways) == _PAIR:
        key = f"{meaning.key}: way"
        answered = asking.answer(key)
        if answered in ways:
            ways = (str(answered),)
        else:
            choices = [Choice("di", "the DI box"), Choice("mic", "the microphone")]
            ask = f"'{line.text}' has one channel: which of the two goes there?"
            meaning.open.append(asking.ask(key, ask, line.where, choices))
            ways = ()
    sides = 2 if is_pair else 1
    gear = gear_of(meaning, asking, ways[0], phantom=phantom, sides=sides) if ways else Gear("")
    _guess_phantom(meaning, asking, gear, phantom=phantom)
    yield _channel(meaning, gear, phantom=phantom, is_pair=is_pair, count=count)


def _guess_phantom(meaning: Meaning, asking: Asking, gear: Gear, *, phantom: bool | None) -> None:
    """What lives on phantom power gets it; that the list says otherwise is told."""
    living = [
        each for each in (gear.item, gear.box) if each and lives_on_phantom(asking.book, each)
    ]
    if not living or phantom:
        return
    words = meaning.line.cell("gear") or meaning.line.cell("name")
    if phantom is None:
        meaning.guess("phantom", "on", words, f"{living[0]} lives on it")
    else:
        meaning.guess(
            "no phantom", "off", words, f"as the list says, though {living[0]} lives on it"
        )


def _size(meaning: Meaning) -> tuple[bool, int]:
    """Whether it is a left and a right one, and how many inputs it takes."""
    line = meaning.line
    says_pair = line.is_pair or meaning.name.is_stereo or meaning.gear.is_stereo
    sides = meaning.name.is_left or meaning.name.is_right
    count = max(len(line.channels), line.count, line.of_gear, _PAIR if says_pair else 1)
    if line.is_counted:
        how_many = "1 input" if count == 1 else f"{count} inputs"
        meaning.guess("channel", how_many, line.text, "the number before it is a count")
    if says_pair:
        return count == _PAIR, count
    is_mono = "mono" in meaning.name.words or "mono" in meaning.gear.words
    is_player = meaning.thing is not None and meaning.thing.is_player
    if line.of_gear == _PAIR and _is_two_sided(meaning) and not is_mono and not sides:
        meaning.guess("pair", "left and right", line.text, "two boxes for one keyboard or player")
        return True, _PAIR
    if is_player and count == 1 and not is_mono and not sides:
        meaning.guess("pair", "left and right", line.text, "players are in stereo")
        return True, _PAIR
    if len(line.channels) == _PAIR and _is_two_sided(meaning):
        meaning.guess(
            "pair", "left and right", line.text, "two channels for one player or keyboard"
        )
        return True, count
    if line.count == 1 and len(line.channels) > 1:
        meaning.guess("channel", f"{count} inputs", line.text, "one for each number")
    return False, count


def _is_two_sided(meaning: Meaning) -> bool:
    """Whether one such thing has a left and a right output."""
    thing = meaning.thing
    return thing is not None and thing.socket is not None and thing.group in ("keys", "players")


def _channel(
    meaning: Meaning,
    gear: Gear,
    *,
    phantom: bool | None,
    numbers: tuple[int, ...] | None = None,
    is_pair: bool = False,
    count: int = 1,
) -> Channel:
    """A channel as far as its row and the answers tell."""
    line = meaning.line
    if line.is_plain and line.cell("cable"):
        meaning.guess("cable", line.cell("cable"), line.text, "a length at the end of the line")
    return Channel(
        where=line.where,
        name=_name(meaning, is_pair=is_pair),
        numbers=line.channels if numbers is None else numbers,
        count=count,
        thing=meaning.thing.id if meaning.thing else None,
        way=gear.way,
        source=gear.source,
        item=gear.item,
        box=gear.box,
        is_pair=is_pair,
        side=_side(meaning.name),
        phantom=phantom,
        gain_db=decimal(line.cell("gain")),
        cable_m=length_m(line.cell("cable")) or _bare_metres(line.cell("cable")),
        pad=bool(line.cell(PAD)),
        bars_phantom=phantom is False and bool(words_of(line.cell("phantom"))),
        note=_note(line),
        guesses=tuple(meaning.guesses),
        open=tuple(dict.fromkeys(meaning.open)),
    )


def _name(meaning: Meaning, *, is_pair: bool) -> str:
    """What the list calls it; of a pair without the words for its sides."""
    line = meaning.line
    name = line.cell("name")
    if is_pair and name:
        bare = _BOTH.sub("", name).strip(" -/,(")
        return bare or name
    return name or line.cell("gear") or line.text


def _side(name: Spoken) -> str:
    if name.is_left is name.is_right:
        return ""
    return "left" if name.is_left else "right"


def _phantom(line: Line, trade: TradeWords) -> bool | None:
    text = line.cell("phantom")
    if not text:
        return None
    if trade.is_mark("no", text) or not words_of(text):
        return False
    return True if trade.is_mark("yes", text) or "48" in words_of(text) else None


def _bare_metres(text: str) -> float | None:
    """A cable column that holds nothing but a number means metres."""
    value = decimal(text)
    return value if value and 0 < value < 1000 and len(words_of(text)) <= _PAIR else None  # noqa: PLR2004 - a drum


def _note(line: Line) -> str:
    parts = []
    for kind, label in (("stand", "Stand: "), ("position", "Place: "), ("note", "")):
        text = line.cell(kind)
        if text:
            parts.append(f"{label}{text}")
    return ". ".join(parts)
