"""Two rows of a left and a right side as one thing, and numbers for what takes several inputs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

from levelhead.exchange.lists.meanings import LEAVE_OUT, Asking
from levelhead.exchange.lists.model import Channel, Choice, Guess
from levelhead.exchange.lists.phrases import words_of
from levelhead.exchange.lists.trade import TradeWords

__all__ = ["joined_pairs", "numbered"]

_PAIR: Final = 2
_SOCKETS_OF_PAIR: Final = 2


def joined_pairs(channels: Sequence[Channel], asking: Asking) -> list[Channel]:
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
    box, usual = left.box, asking.trade.usual
    if box == usual.box and asking.trade.things[str(left.thing)].di == usual.box_of_two:
        box = usual.box_of_two
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
        pad=left.pad or right.pad,
        note=left.note or right.note,
    )


def _without_side(name: str, trade: TradeWords) -> str:
    words = name.split()
    while len(words) > 1 and words_of(words[-1]) in trade.marks["left"]:
        words.pop()
    return " ".join(words).rstrip(" -/,(")


# --- numbers ---


def numbered(channels: Sequence[Channel], asking: Asking) -> Iterator[Channel]:
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
    taken = f"channel {', '.join(map(str, more))} as well"
    guess = Guess("channel", taken, channel.name, "it takes more than one, and they are free")
    return replace(channel, numbers=(*channel.numbers, *more), guesses=(*channel.guesses, guess))


def _asked_wide(channel: Channel, more: tuple[int, ...], asking: Asking) -> Channel:
    key = f"channel {channel.numbers[-1]}"
    answer = asking.answer(key)
    if answer == "one":
        usual = asking.trade.usual
        box = usual.box if channel.box == usual.box_of_two else channel.box
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
