"""Lines of a list as channels of a desk: one row, two rows of a pair, several of a kind."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from levelhead.exchange.lists.gear_words import Gear, gear_of, lives_on_phantom, ways_of
from levelhead.exchange.lists.lines import Line, Skipped
from levelhead.exchange.lists.meanings import LEAVE_OUT, Asking, Meaning, thing_of
from levelhead.exchange.lists.model import Channel, Choice
from levelhead.exchange.lists.numbers import decimal, length_m
from levelhead.exchange.lists.phrases import words_of
from levelhead.exchange.lists.spoken import Spoken, spoken
from levelhead.exchange.lists.trade import TradeWords

__all__ = ["channels_of_lines"]

_PAIR: Final = 2
_BOTH: Final = re.compile(
    r"\s*[(\[]?\b(?:l\s*[/+&-]\s*r|lr|st(?:ereo|éréo|éreo)?|g\s*/\s*d|sx\s*/\s*dx|li\s*/\s*re|izq\s*/\s*der)\b[)\]]?",
    re.IGNORECASE,
)  # left and right of one row, where they end its name
_SOCKETS_OF_PAIR: Final = 2


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
    joined = _joined_pairs(channels, asking)
    return Understood(tuple(_numbered(joined, asking)), tuple(skipped))


def _of_line(line: Line, asking: Asking) -> Skipped | list[Channel]:
    trade = asking.trade
    name, gear = line.cell("name"), line.cell("gear")
    if _is_spare(name, trade) or (not name and gear and _is_spare(gear, trade)):
        return [Channel(where=line.where, name=name or gear, numbers=line.channels, is_spare=True)]
    if trade.has_mark("return", words_of(name)):
        return Skipped(line.where, line.text, "a return of an effect, not an input of the stage")
    if _is_spare(gear, trade):
        gear = ""
    meaning = Meaning(line, spoken(name, trade), spoken(gear, trade))
    if not thing_of(meaning, asking):
        return Skipped(line.where, line.text, "left out, as answered")
    if meaning.gear.key and asking.answer(meaning.gear.key) == LEAVE_OUT:
        return Skipped(line.where, line.text, "left out, as answered")
    return list(_channels(meaning, asking))


def _is_spare(text: str, trade: TradeWords) -> bool:
    words = tuple(word for word in words_of(text) if not word.isdigit())
    return bool(text) and (words in trade.marks["spare"] or not words_of(text))


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
    count = max(len(line.channels), line.count, _PAIR if says_pair else 1)
    if line.is_counted:
        how_many = "1 input" if count == 1 else f"{count} inputs"
        meaning.guess("channel", how_many, line.text, "the number before it is a count")
    if says_pair:
        return count == _PAIR, count
    is_mono = "mono" in meaning.name.words or "mono" in meaning.gear.words
    is_player = meaning.thing is not None and meaning.thing.is_player
    if is_player and count == 1 and not is_mono and not sides:
        meaning.guess("pair", "left and right", line.text, "players are in stereo")
        return True, _PAIR
    is_stereo_thing = meaning.thing is not None and meaning.thing.group in ("keys", "players")
    if len(line.channels) == _PAIR and is_stereo_thing:
        meaning.guess(
            "pair", "left and right", line.text, "two channels for one player or keyboard"
        )
        return True, count
    if line.count == 1 and len(line.channels) > 1:
        meaning.guess("channel", f"{count} inputs", line.text, "one for each number")
    return False, count


def _channel(
    meaning: Meaning,
    gear: Gear,
    *,
    phantom: bool | None,
    numbers: tuple[int, ...] | None = None,
    is_pair: bool = False,
    count: int = 1,
) -> Channel:
    line = meaning.line
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


# --- pairs over two rows ---


def _joined_pairs(channels: Sequence[Channel], asking: Asking) -> list[Channel]:
    """A left row and the right one under it are one thing, if that thing has two outputs."""
    found: list[Channel] = []
    for channel in channels:
        before = found[-1] if found else None
        if (
            before is not None
            and channel.way in ("di", "line")
            and _are_sides(before, channel, asking.trade)
            and _has_two(channel, asking)
        ):
            found[-1] = _one_of_two(before, channel, asking)
            continue
        found.append(channel)
    return found


def _are_sides(one: Channel, other: Channel, trade: TradeWords) -> bool:
    sides = (one.side, other.side) == ("left", "right")
    return sides and one.thing == other.thing and _stem(one, trade) == _stem(other, trade)


def _stem(channel: Channel, trade: TradeWords) -> tuple[str, ...]:
    marks = trade.marks["left"] | trade.marks["right"]
    return tuple(word for word in words_of(channel.name) if (word,) not in marks)


def _has_two(channel: Channel, asking: Asking) -> bool:
    plan = asking.book.plan(str(channel.item), {}, {}) if channel.item else None
    ports = [port for block in plan.blocks for port in block.plan.ports.values()] if plan else []
    outs = [port for port in ports if port.role == "out"]
    return len(outs) >= _SOCKETS_OF_PAIR or any(
        len(port.signals) >= _SOCKETS_OF_PAIR for port in outs
    )


def _one_of_two(left: Channel, right: Channel, asking: Asking) -> Channel:
    box = left.box
    if box == "di-active" and asking.trade.things[str(left.thing)].di == "di-active-stereo":
        box = "di-active-stereo"
    guesses = tuple(
        replace(guess, taken=str(box)) if guess.about == "box" else guess for guess in left.guesses
    )
    return replace(
        left,
        name=_without_side(left.name, asking.trade),
        numbers=(*left.numbers, *right.numbers),
        count=_PAIR,
        is_pair=True,
        side="",
        box=box,
        guesses=guesses,
        open=tuple(dict.fromkeys((*left.open, *right.open))),
        cable_m=left.cable_m or right.cable_m,
        note=left.note or right.note,
    )


def _without_side(name: str, trade: TradeWords) -> str:
    words = name.split()
    while len(words) > 1 and words_of(words[-1]) in trade.marks["left"]:
        words.pop()
    return " ".join(words).rstrip(" -/,(")


# --- numbers ---


def _numbered(channels: Sequence[Channel], asking: Asking) -> Iterator[Channel]:
    """What takes more inputs than it has numbers gets those behind, if they are free."""
    used = {number for channel in channels for number in channel.numbers}
    seen: dict[int, str] = {}
    for channel in channels:
        twice = [number for number in channel.numbers if number in seen]
        if twice:
            yield _asked_twice(channel, twice[0], seen[twice[0]], asking)
            continue
        seen |= dict.fromkeys(channel.numbers, channel.name)
        missing = channel.count - len(channel.numbers)
        if missing <= 0 or not channel.numbers or channel.is_spare:
            yield channel
            continue
        more = tuple(range(channel.numbers[-1] + 1, channel.numbers[-1] + 1 + missing))
        if used.isdisjoint(more):
            used |= set(more)
            yield _wider(channel, more)
        else:
            yield _asked_wide(channel, more, asking)


def _wider(channel: Channel, more: tuple[int, ...]) -> Channel:
    from levelhead.exchange.lists.model import Guess

    taken = f"channel {', '.join(map(str, more))} as well"
    guess = Guess("channel", taken, channel.name, "it takes more than one, and they are free")
    return replace(channel, numbers=(*channel.numbers, *more), guesses=(*channel.guesses, guess))


def _asked_wide(channel: Channel, more: tuple[int, ...], asking: Asking) -> Channel:
    key = f"channel {channel.numbers[-1]}"
    answer = asking.answer(key)
    if answer == "one":
        box = "di-active" if channel.box == "di-active-stereo" else channel.box
        return replace(
            channel, count=len(channel.numbers), is_pair=len(channel.numbers) == _PAIR, box=box
        )
    if answer == "next":
        return replace(channel, numbers=())
    choices = [
        Choice("one", f"only channel {channel.numbers[-1]}, in mono"),
        Choice("next", "the next inputs that are free"),
    ]
    ask = f"'{channel.name}' takes {channel.count} inputs, and channel {more[0]} is another one's"
    asking.ask(key, f"{ask}: where does it go?", channel.where, choices)
    return replace(channel, open=(*channel.open, key))


def _asked_twice(channel: Channel, number: int, other: str, asking: Asking) -> Channel:
    key = f"channel {number}, {channel.name}".lower()
    answer = asking.answer(key)
    if answer == "next":
        return replace(channel, numbers=())
    if answer == LEAVE_OUT:
        return replace(channel, numbers=(), is_spare=True)
    choices = [Choice("next", "the next input that is free"), Choice(LEAVE_OUT, "leave it out")]
    ask = f"Channel {number} stands twice, '{other}' and '{channel.name}': where goes the second?"
    asking.ask(key, ask, channel.where, choices)
    return replace(channel, open=(*channel.open, key))
