"""Which column says what: by its heading in many spellings, else by what stands in it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from levelhead.exchange.lists.list_rows import is_way_out_of_desk
from levelhead.exchange.lists.numbers import channels_of
from levelhead.exchange.lists.phrases import find_phrases, words_of
from levelhead.exchange.lists.trade import TradeWords

__all__ = ["Block", "blocks_by_content", "blocks_of_heading"]

Row = Sequence[str]

CHANNEL: Final = "channel"
NAME: Final = "name"
GEAR: Final = "gear"
PHANTOM: Final = "phantom"
UNREAD: Final = "unread"
_MANY: Final = frozenset({NAME, GEAR, "note", UNREAD})  # a list may have several of these
_ONE_KNOWN: Final = 2  # headings of a row that must be known
_SHARE: Final = 0.5
_SAMPLE: Final = 60  # rows by which a column without a heading is judged


@dataclass(frozen=True, slots=True)
class Block:
    """Columns of one list; two may stand side by side. ``kinds`` by column, with their headings."""

    kinds: dict[int, str]
    headings: dict[int, str]

    def columns(self, kind: str) -> list[int]:
        """Columns of a kind, from left to right."""
        return [column for column, each in sorted(self.kinds.items()) if each == kind]

    @property
    def unread(self) -> tuple[str, ...]:
        """Headings of the columns that are left aside."""
        return tuple(self.headings[each] for each in self.columns(UNREAD) if self.headings[each])


def kinds_of_cell(text: str, trade: TradeWords) -> tuple[str, ...]:
    """What a heading says; empty where it is none."""
    words = words_of(text)
    bare = words_of(text.partition("(")[0])
    return trade.column_words.get(words) or trade.column_words.get(bare) or ()


def blocks_of_heading(row: Row, rows: Sequence[Row], trade: TradeWords) -> list[Block]:
    """Blocks of a row that is a heading, by the rows under it; empty when it is none."""
    known = {at: found for at, cell in enumerate(row) if (found := kinds_of_cell(cell, trade))}
    filled = [at for at, cell in enumerate(row) if cell]
    spoken = {kind for found in known.values() for kind in found}
    if (
        len(known) < _ONE_KNOWN
        or len(known) < _SHARE * len(filled)
        or not spoken & {NAME, GEAR, CHANNEL}
        or (filled and row[filled[0]].isdigit())
    ):
        return []
    blocks = [_block(columns, row, known, rows, trade) for columns in _side_by_side(filled, known)]
    return [block for block in blocks if block.columns(NAME) or block.columns(GEAR)]


def _side_by_side(filled: Sequence[int], known: dict[int, tuple[str, ...]]) -> list[list[int]]:
    """Columns parted where a second channel column begins a second list."""
    parts: list[list[int]] = [[]]
    for at in filled:
        kinds = known.get(at, ())
        here = {kind for each in parts[-1] for kind in known.get(each, ())}
        after = {kind for each in filled if each > at for kind in known.get(each, ())}
        if CHANNEL in kinds and {CHANNEL, NAME} <= here and NAME in after:
            parts.append([])
        parts[-1].append(at)
    return parts


def _block(
    columns: Sequence[int],
    row: Row,
    known: dict[int, tuple[str, ...]],
    rows: Sequence[Row],
    trade: TradeWords,
) -> Block:
    kinds: dict[int, str] = {}
    for at in columns:
        found = [kind for kind in known.get(at, ()) if kind in _MANY or kind not in kinds.values()]
        kinds[at] = found[0] if found else UNREAD
    numeric = [
        at for at in columns if CHANNEL in known.get(at, ()) and _is_numbers(at, rows, trade)
    ]
    for at in columns:
        if CHANNEL in known.get(at, ()) and at not in numeric and _cells(at, rows):
            kinds[at] = NAME if NAME not in kinds.values() or not numeric else UNREAD
    if CHANNEL not in kinds.values() and numeric:
        kinds[numeric[0]] = CHANNEL
    if NAME not in kinds.values():
        free = [at for at in columns if kinds[at] == UNREAD and at not in known]
        if free:
            kinds[free[0]] = NAME
    headings = {at: row[at] for at in columns}
    first = columns[0] if columns else 0
    if CHANNEL not in kinds.values() and first > 0 and _is_numbers(first - 1, rows, trade):
        kinds[first - 1], headings[first - 1] = CHANNEL, ""
    return Block(kinds, headings)


def _cells(at: int, rows: Sequence[Row]) -> list[str]:
    return [row[at] for row in rows[:_SAMPLE] if at < len(row) and row[at]]


def _is_numbers(at: int, rows: Sequence[Row], trade: TradeWords) -> bool:
    """Whether most cells number inputs, or mixes that leave the desk (``Mon 1`` under them)."""
    cells = _cells(at, rows)
    inputs = sum(channels_of(each) is not None for each in cells)
    mixes = sum(is_way_out_of_desk(each, trade) for each in cells)
    return inputs > 0 and inputs + mixes > _SHARE * len(cells)


def blocks_by_content(rows: Sequence[Row], trade: TradeWords) -> list[Block]:
    """The columns of a list without headings, by what stands in them; empty when nothing does."""
    width = max((len(row) for row in rows), default=0)
    kinds: dict[int, str] = {}
    for at in range(width):
        if CHANNEL not in kinds.values() and _is_rising(at, rows, trade):
            kinds[at] = CHANNEL
        elif _is_marks(at, rows, trade):
            kinds[at] = PHANTOM
    texts = [at for at in range(width) if at not in kinds and _cells(at, rows)]
    things = {at: _hits(at, rows, trade, is_thing=True) for at in texts}
    traits = {at: _hits(at, rows, trade, is_thing=False) for at in texts}
    if not texts or not max(things.values()) + max(traits.values()):
        return []
    name = max(texts, key=lambda at: (things[at] - traits[at] / 2, -at))
    others = [at for at in texts if at != name and traits[at]]
    gear = max(others, key=lambda at: (traits[at], -at), default=None)
    for at in texts:
        kinds[at] = NAME if at == name else GEAR if at == gear else "note"
    return [Block(kinds, dict.fromkeys(kinds, ""))]


def _is_rising(at: int, rows: Sequence[Row], trade: TradeWords) -> bool:
    if not _is_numbers(at, rows, trade):
        return False
    firsts = [found.channels[0] for each in _cells(at, rows) if (found := channels_of(each))]
    rises = sum(a < b for a, b in pairwise(firsts))
    return rises >= _SHARE * (len(firsts) - 1)


def _is_marks(at: int, rows: Sequence[Row], trade: TradeWords) -> bool:
    cells = _cells(at, rows)
    marks = [each for each in cells if trade.is_mark("yes", each) or trade.is_mark("no", each)]
    return bool(cells) and len(marks) == len(cells)


def _hits(at: int, rows: Sequence[Row], trade: TradeWords, *, is_thing: bool) -> int:
    phrases = trade.thing_words if is_thing else trade.trait_words
    return sum(bool(find_phrases(words_of(each), phrases)) for each in _cells(at, rows))
