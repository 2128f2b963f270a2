"""Rows of a table as lines of input lists: headings, notes, totals and outputs set apart."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Final

from levelhead.exchange.lists.columns import Block, blocks_by_content, blocks_of_heading
from levelhead.exchange.lists.list_rows import (
    Line,
    Part,
    Skipped,
    is_known,
    is_way_out_of_desk,
    turned,
)
from levelhead.exchange.lists.numbers import Numbers, channels_of, counted, decimal
from levelhead.exchange.lists.phrases import words_of
from levelhead.exchange.lists.tables import Table
from levelhead.exchange.lists.trade import TradeWords

__all__ = ["table_parts"]

_MOST_COUNTED: Final = 16  # things of one row; a higher number is no count
_TITLE_ROWS: Final = 3  # above the headings, in which a title is looked for


def table_parts(table: Table, trade: TradeWords) -> list[Part]:
    """The lists in a table, each with its lines and with the rows that are none."""
    reader = _Reader(table, trade)
    return [part for part in reader.parts() if part.lines or part.skipped]


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
        for at in range(start - 1, max(start - _TITLE_ROWS - 1, -1), -1):
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
        """Put a row into a list: as a line, as one that is none, or as more of the line before."""
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
        """Why a row is no input; empty where it may be one. A heading opens a section."""
        cells = [cell for cell in row if cell]
        first = cells[0]
        if not block.kinds:
            self.is_output = turned(first, self.trade, self.is_output)
            return "above the headings"
        if self._is_total(cells):
            return "a total"
        if _has_channel(row, block):
            return "" if not _is_only_noted(row, block) else "a number and a note, no source"
        if not (block.columns("channel") or first.endswith(":")):
            return ""
        if len(cells) == 1 and self._may_be_input(row, block):
            self.section = first
            return ""
        if len(cells) == 1 or self.trade.is_mark("outputs", first):
            self.section = first.rstrip(": ")
            self.is_output = turned(first, self.trade, self.is_output)
            return "a heading or a note"
        return ""

    def _is_total(self, cells: Sequence[str]) -> bool:
        """Whether a row says a sum: its word in front, and a number or nothing else."""
        says_so = any(self.trade.has_mark("total", words_of(cell)) for cell in cells[:2])
        return says_so and (len(cells) == 1 or any(decimal(cell) is not None for cell in cells))

    def _may_be_input(self, row: Sequence[str], block: Block) -> bool:
        """Whether a row's only cell stands under the names, beside an empty number."""
        at = next(at for at, cell in enumerate(row) if cell)
        channels = block.columns("channel")
        is_mark = any(self.trade.is_mark(mark, row[at]) for mark in ("outputs", "inputs", "total"))
        is_name = at in block.columns("name") and bool(channels) and channels[0] < at
        return is_name and is_known(row[at], self.trade) and not is_mark

    def _line(self, at: int, block: Block, text: str) -> Line | None:
        """A row as a line; none where nothing stands in it, or a channel that nobody uses."""
        cells = self._cells(at, block)
        found = channels_of(cells.get("channel", ""))
        if not _says_anything(cells, found):
            return None
        is_way_out = found is None and is_way_out_of_desk(cells.get("channel", ""), self.trade)
        count, cells["name"] = counted(cells.get("name", ""))
        stated = decimal(cells.get("count", ""))
        if self._is_covered(at, block):
            cells["#continued"] = "yes"
        is_alone = sum(bool(cell) for cell in self.table.rows[at]) == 1
        has_numbers = bool(block.columns("channel"))
        return Line(
            where=self.table.where(at),
            cells=cells,
            channels=found.channels if found else (),
            is_pair=bool(found and found.is_pair),
            count=int(stated) if stated and 0 < stated <= _MOST_COUNTED else count,
            section=self.section,
            is_way_out=is_way_out,
            is_doubtful=found is None and not is_way_out and has_numbers and is_alone,
            text=text,
        )

    def _cells(self, at: int, block: Block) -> dict[str, str]:
        """What a row says, by what its columns say; several columns of a kind in one text."""
        cells: dict[str, str] = {}
        for kind in dict.fromkeys(block.kinds.values()):
            texts = [self._cell(at, column, block, kind) for column in block.columns(kind)]
            cells[kind] = ", ".join(dict.fromkeys(each for each in texts if each))
        return cells

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
        """Whether the name stands in a merged cell from above, and the row names nothing else."""
        names = block.columns("name")
        held = self.table.covers.get((at, names[0])) if names else None
        row = self.table.rows[at]
        others = [row[each] for each in names[1:] if each < len(row) and row[each]]
        return held is not None and held[1] == names[0] and held[0] < at and not others


def _has_channel(row: Sequence[str], block: Block) -> bool:
    """Whether a number of a channel stands where numbers of channels stand."""
    at = (each for each in block.columns("channel") if each < len(row))
    return any(channels_of(row[each]) is not None for each in at)


def _is_only_noted(row: Sequence[str], block: Block) -> bool:
    """Whether a row says something beside its number, and names neither source nor gear."""
    said = {
        kind
        for at, kind in block.kinds.items()
        if at < len(row) and row[at] and kind not in ("channel", "unread")
    }
    return "note" in said and not said & {"name", "gear"}


def _says_anything(cells: Mapping[str, str], found: Numbers | None) -> bool:
    """Whether a row says more than which channel it is."""
    if not any(value for kind, value in cells.items() if kind != "unread"):
        return False
    return found is None or bool(cells.get("name") or cells.get("gear"))
