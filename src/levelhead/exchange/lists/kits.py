"""A whole of several pieces on several inputs, such as a drum kit: what is on which is asked.

Nobody can tell which four microphones "1-4 drums" means, and four of a kind are seldom right.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from levelhead.errors import ListError
from levelhead.exchange.lists.list_rows import Line
from levelhead.exchange.lists.meanings import Asking
from levelhead.exchange.lists.model import Channel, Choice
from levelhead.exchange.lists.spoken import MIC_TRAITS, spoken
from levelhead.exchange.lists.trade import Thing

__all__ = ["pieces_of"]

_BETWEEN: Final = ","


def pieces_of(line: Line, asking: Asking) -> Channel | list[Line] | None:
    """A line for each piece, as answered; else the open row; ``None`` where nothing is to be asked.

    Raises
    ------
    ListError
        The answer names another number of pieces than there are inputs.
    """
    kit, count = _kit_of(line, asking), max(len(line.channels), line.count)
    if kit is None or count == 1 or line.is_way_out:
        return None
    key = spoken(line.cell("name"), asking.trade).key or line.where
    answer = asking.answer(key)
    if answer is None:
        asking.ask(key, _question(line, count), line.where, list(_choices(kit, count)))
        return Channel(
            where=line.where,
            name=line.cell("name"),
            numbers=line.channels,
            count=count,
            open=(key,),
        )
    parts = [each.strip() for each in answer.split(_BETWEEN) if each.strip()]
    if len(parts) == 1:
        return None  # the same on each
    if len(parts) != count:
        raise _refused(key, len(parts), count)
    return [_piece(line, part, at) for at, part in enumerate(parts)]


def _kit_of(line: Line, asking: Asking) -> Thing | None:
    """The whole that the row names, and nothing else; no microphone is told for it."""
    name, gear = (spoken(line.cell(each), asking.trade) for each in ("name", "gear"))
    things = {each.meaning for each in (*name.things, *gear.things)}
    if len(things) != 1 or (name.trait_names | gear.trait_names) & MIC_TRAITS:
        return None
    thing = asking.trade.things[things.pop()]
    return thing if thing.pieces else None


def _question(line: Line, count: int) -> str:
    called = line.cell("name") or line.text
    return f"What is on which of the {count} inputs of '{called}'? In their order, with commas."


def _choices(kit: Thing, count: int) -> Iterator[Choice]:
    if count in kit.pieces:
        yield Choice(kit.pieces[count], "the usual ones")
    yield Choice("overheads", "each from above")


def _piece(line: Line, part: str, at: int) -> Line:
    return replace(
        line,
        cells={**line.cells, "name": part},
        channels=line.channels[at : at + 1],
        count=1,
        of_gear=1,
        is_counted=False,
    )


def _refused(key: str, told: int, count: int) -> ListError:
    return ListError(
        f"{told} pieces were told for {count} inputs",
        where=f"'{key}'",
        expected=f"{count} names with commas between them, or one that holds for all",
        remedy="Name what is on each input, in the order of the inputs.",
    )
