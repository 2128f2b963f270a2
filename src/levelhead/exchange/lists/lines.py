"""Rows of tables as lines of input lists: headings, titles, notes, totals and outputs set apart."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import Final

from levelhead.exchange.lists.columns import (
    Block,
    blocks_by_content,
    blocks_of_heading,
)
from levelhead.exchange.lists.numbers import channels_of, counted, decimal, numbered_line
from levelhead.exchange.lists.phrases import find_phrases, words_of
from levelhead.exchange.lists.tables import Table
from levelhead.exchange.lists.trade import TradeWords

__all__ = ["Line", "Part", "Skipped", "parts_of"]

_BULLET: Final = re.compile(r"^\s*[-*•·–]\s+")
_NAME_ENDS: Final = re.compile(r"\s+[-–—>]+\s+|:\s+|\s*\(|,\s+|\s*=\s*")
_MOST_NAME_WORDS: Final = 3  # of a line without a number that may be a name and no sentence


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One row that may be an input: its cells by what their columns say.

    ``section`` is the heading above it, ``text`` the whole row as it stands.
    """

    where: str
    cells: Mapping[str, str]
    channels: tuple[int, ...] = ()
    is_pair: bool = False
    count: int = 1
    section: str = ""
    text: str = ""
    is_counted: bool = False  # the count is a number that stands before it
    is_plain: bool = False  # no table: what stands behind the name may be anything

    def cell(self, kind: str) -> str:
        """Text of a column; empty where there is none."""
        return self.cells.get(kind, "")


@dataclass(frozen=True, slots=True)
class Skipped:
    """A row that is no input, and why."""

    where: str
    text: str
    why: str


@dataclass(slots=True)
class Part:
    """One list: a sheet, or what stands under one row of headings."""

    title: str
    lines: list[Line] = field(default_factory=list)
    skipped: list[Skipped] = field(default_factory=list)
    unread: tuple[str, ...] = ()

    @property
    def channels(self) -> set[int]:
        """Numbers that its lines name."""
        return {number for line in self.lines for number in line.channels}


def parts_of(table: Table, trade: TradeWords) -> list[Part]:
    """The lists in a table."""
    if table.is_lines:
        return [_plain_part(table, trade)]
    reader = _Reader(table, trade)
    return [part for part in reader.parts() if part.lines or part.skipped]


def is_known(text: str, trade: TradeWords) -> bool:
    """Whether a text names a thing or a kind of microphone or box."""
    words = words_of(text)
    return bool(find_phrases(words, trade.thing_words) or find_phrases(words, trade.trait_words))


# --- plain lines ---


def _plain_part(table: Table, trade: TradeWords) -> Part:
    part = Part("")
    numbered = [numbered_line(_BULLET.sub("", row[0])) if row else ("", "") for row in table.rows]
    is_numbered = sum(bool(number) for number, _ in numbered) > 1
    are_counts = is_numbered and not _rises([number for number, _ in numbered if number])
    section, is_output = "", False
    for at, (number, rest) in enumerate(numbered):
        row = table.rows[at]
        text = row[0] if row else ""
        if not rest:
            continue
        heading = _plain_heading(text, number, rest, is_numbered=is_numbered, trade=trade)
        if heading:
            section, is_output = rest.rstrip(": "), _turned(rest, trade, is_output)
            part.skipped.append(Skipped(table.where(at), text, heading))
            continue
        if is_output:
            part.skipped.append(Skipped(table.where(at), text, "stands under outputs"))
            continue
        part.lines.append(
            _plain_line(table.where(at), text, number, rest, section=section, are_counts=are_counts)
        )
    return part


def _rises(numbers: Sequence[str]) -> bool:
    firsts = [found.channels[0] for each in numbers if (found := channels_of(each))]
    return all(a < b for a, b in pairwise(firsts))


def _plain_heading(
    text: str, number: str, rest: str, *, is_numbered: bool, trade: TradeWords
) -> str:
    """Why a plain line is no input; empty when it may be one."""
    if trade.has_mark("total", words_of(rest)) and re.search(r"\d", rest):
        return "a total"
    if number:
        return ""
    if trade.is_mark("total", rest):
        return "a total"
    if (
        text.rstrip().endswith(":")
        or trade.is_mark("outputs", rest)
        or trade.is_mark("inputs", rest)
    ):
        return "a heading"
    if is_numbered and counted(rest)[1] == rest:
        return "a heading or a note: no number before it"
    if not is_known(rest, trade) and len(words_of(rest)) > _MOST_NAME_WORDS:
        return "not understood"
    return ""


def _plain_line(
    where: str, text: str, number: str, rest: str, *, section: str, are_counts: bool
) -> Line:
    count, rest = counted(rest)
    found = channels_of(number) if number else None
    is_counted = are_counts and found is not None
    if is_counted and found is not None:
        count, found = found.channels[0], None
    name, gear = _name_and_gear(rest)
    return Line(
        where=where,
        cells={"name": name, **({"gear": gear} if gear else {})},
        channels=found.channels if found else (),
        is_pair=bool(found and found.is_pair),
        count=count,
        section=section,
        text=text,
        is_counted=is_counted,
        is_plain=True,
    )


def _name_and_gear(text: str) -> tuple[str, str]:
    pieces = _NAME_ENDS.split(text, maxsplit=1)
    if len(pieces) == 1 or not pieces[0].strip():
        return text, ""
    return pieces[0].strip(), pieces[1].strip(" )")


def _turned(text: str, trade: TradeWords, is_output: bool) -> bool:  # noqa: FBT001 - the state before
    """Whether a heading turns to outputs, or back to inputs."""
    if trade.is_mark("inputs", text):
        return False
    return is_output or trade.is_mark("outputs", text)


# --- tables ---


class _Reader:
    """Goes through the rows of a table once; a row of headings begins a part."""

    def __init__(self, table: Table, trade: TradeWords) -> None:
        self.table, self.trade = table, trade
        self.section, self.is_output = "", trade.is_mark("outputs", table.name)

    def parts(self) -> Iterator[Part]:
        """Each list of the table."""
        heads = [
            (at, blocks)
            for at, row in enumerate(self.table.rows)
            if (blocks := blocks_of_heading(row, self.table.rows[at + 1 :], self.trade))
        ]
        if not heads:
            blocks = blocks_by_content(self.table.rows, self.trade)
            yield from self._part(0, len(self.table.rows), blocks, self.table.name)
            return
        yield from self._part(0, heads[0][0], [], self.table.name)
        ends = [*(at for at, _ in heads[1:]), len(self.table.rows)]
        for (start, blocks), end in zip(heads, ends, strict=True):
            title = self._title(start) or self.table.name
            yield from self._part(start + 1, end, blocks, title)

    def _title(self, start: int) -> str:
        """The nearest row of one cell above the headings."""
        for at in range(start - 1, max(start - 4, -1), -1):
            cells = [cell for cell in self.table.rows[at] if cell]
            if len(cells) == 1:
                return cells[0]
        return ""

    def _part(self, start: int, end: int, blocks: Sequence[Block], title: str) -> Iterator[Part]:
        """Rows of one list; without blocks they are titles. Blocks side by side are one list."""
        part = Part(title, unread=tuple(name for block in blocks for name in block.unread))
        for block in blocks or [Block({}, {})]:
            self.section = ""
            for at in range(start, end):
                self._row(part, at, block, is_first=block is (blocks or [block])[0])
        yield part

    def _row(self, part: Part, at: int, block: Block, *, is_first: bool) -> None:
        row = self.table.rows[at]
        text = " | ".join(cell for cell in row if cell)
        if not text:
            return
        skip = self._skip_reason(row, block)
        if skip:
            if is_first:
                part.skipped.append(Skipped(self.table.where(at), text, skip))
            return
        line = self._line(at, block, text)
        if line is None:
            return
        if self.is_output:
            part.skipped.append(Skipped(line.where, text, "stands under outputs"))
            return
        if line.cells.get("#continued") and part.lines:
            before = part.lines[-1]
            joined = (*before.channels, *line.channels)
            part.lines[-1] = replace(before, channels=joined)
            return
        part.lines.append(line)

    def _skip_reason(self, row: Sequence[str], block: Block) -> str:
        cells = [cell for cell in row if cell]
        first = cells[0]
        if not block.kinds:
            self.is_output = _turned(first, self.trade, self.is_output)
            return "above the headings"
        if any(self.trade.has_mark("total", words_of(cell)) for cell in cells[:2]) and (
            len(cells) == 1 or any(decimal(cell) is not None for cell in cells)
        ):
            return "a total"
        has_channel = any(
            at < len(row) and channels_of(row[at]) is not None for at in block.columns("channel")
        )
        if has_channel or not (block.columns("channel") or first.endswith(":")):
            return ""
        if len(cells) == 1 or self.trade.is_mark("outputs", first):
            self.section = first.rstrip(": ")
            self.is_output = _turned(first, self.trade, self.is_output)
            return "a heading or a note"
        return ""

    def _line(self, at: int, block: Block, text: str) -> Line | None:
        row = self.table.rows[at]
        cells: dict[str, str] = {}
        for kind in dict.fromkeys(block.kinds.values()):
            texts = [self._cell(at, column, block, kind) for column in block.columns(kind)]
            cells[kind] = ", ".join(dict.fromkeys(each for each in texts if each))
        if not any(value for kind, value in cells.items() if kind != "unread"):
            return None
        found = channels_of(cells.get("channel", ""))
        if found is not None and not (cells.get("name") or cells.get("gear")):
            return None  # a channel that nobody uses
        if self._is_covered(at, block):
            cells["#continued"] = "yes"
        count, name = counted(cells.get("name", ""))
        stated = decimal(cells.get("count", ""))
        cells["name"] = name
        return Line(
            where=self.table.where(at),
            cells=cells,
            channels=found.channels if found else (),
            is_pair=bool(found and found.is_pair),
            count=int(stated) if stated and 0 < stated <= 16 else count,  # noqa: PLR2004 - rows of one thing
            section=self.section,
            text=" | ".join(cell for cell in row if cell) or text,
        )

    def _cell(self, at: int, column: int, block: Block, kind: str) -> str:
        """Text of a cell; under a merged one that of the cell above, marks as their heading."""
        row = self.table.rows[at]
        text = row[column] if column < len(row) else ""
        if not text and kind not in ("channel", "unread"):
            held = self.table.covers.get((at, column))
            if held is not None and held[1] == column and held[0] < len(self.table.rows):
                above = self.table.rows[held[0]]
                text = above[column] if column < len(above) else ""
        if kind == "gear" and text and self.trade.is_mark("yes", text):
            return block.headings[column]
        if kind == "gear" and text and self.trade.is_mark("no", text):
            return ""
        return text

    def _is_covered(self, at: int, block: Block) -> bool:
        """Whether the name stands in a merged cell that began above."""
        names = block.columns("name")
        held = self.table.covers.get((at, names[0])) if names else None
        return held is not None and held[1] == names[0] and held[0] < at
