"""Read a list of inputs: what was understood, guessed and has to be asked."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Final

from levelhead.errors import ListError
from levelhead.exchange.lists.channels import channels_of_lines
from levelhead.exchange.lists.list_rows import Part, Skipped, is_known
from levelhead.exchange.lists.meanings import Asking, named_groups
from levelhead.exchange.lists.model import Channel, Choice, Question
from levelhead.exchange.lists.plain_lines import plain_part
from levelhead.exchange.lists.plain_text import decoded, text_table
from levelhead.exchange.lists.table_lines import table_parts
from levelhead.exchange.lists.tables import LARGEST_FILE, Table, own_table
from levelhead.exchange.lists.trade import TradeWords, trade_words
from levelhead.exchange.lists.workbooks import ZIP_MAGIC, read_workbook
from levelhead.gear.book import GearBook, load_book

__all__ = ["ReadList", "read_list"]

_OLD_WORKBOOK: Final = b"\xd0\xcf\x11\xe0"
_WHICH: Final = "list"  # key of the question which of several lists is meant
_LEFT_ASIDE: Final = "left aside: "  # begins the note on columns


@dataclass(frozen=True, slots=True)
class ReadList:
    """A list as it was understood.

    Parameters
    ----------
    name : str
        The file, for messages.
    channels : tuple of Channel
        In the order of the list; spare ones as well.
    questions : tuple of Question
        What has to be asked before everything can be built.
    skipped : tuple of Skipped
        Rows that are no inputs: titles, totals, outputs, and what was not understood.
    notes : tuple of str
        What there is to say about the file: columns left aside, formulas, macros, encoding.
    """

    name: str
    channels: tuple[Channel, ...]
    questions: tuple[Question, ...]
    skipped: tuple[Skipped, ...]
    notes: tuple[str, ...]
    answers: Mapping[str, str] = field(default_factory=dict)
    _tables: tuple[Table, ...] = field(default=(), repr=False)
    _book: GearBook | None = field(default=None, repr=False, compare=False)

    @property
    def tables(self) -> tuple[Table, ...]:
        """Rows of the file as text."""
        return self._tables

    @property
    def is_understood(self) -> bool:
        """Whether nothing has to be asked."""
        return not self.questions

    def only(self, rows: Collection[str]) -> ReadList:
        """The same with the channels and questions of some rows, by their places."""
        return replace(
            self,
            channels=tuple(each for each in self.channels if each.where in rows),
            questions=tuple(each for each in self.questions if set(each.where) & set(rows)),
            skipped=(),
            notes=self._notes_on_file(),
        )

    def _notes_on_file(self) -> tuple[str, ...]:
        """Notes without that on columns, which is made anew for the lists that are chosen."""
        return tuple(each for each in self.notes if not each.startswith(_LEFT_ASIDE))

    def answered(self, answers: Mapping[str, str]) -> ReadList:
        """The same list with answers to its questions; more may come up.

        Raises
        ------
        ListError
            An answer means nothing.
        """
        both = {**self.answers, **answers}
        notes = self._notes_on_file()
        return _understood(self._tables, self.name, notes, both, self._book or load_book())

    def to_json(self) -> dict[str, Any]:
        """As docs/lists.md prints it."""
        return {
            "name": self.name,
            "channels": [each.to_json() for each in self.channels],
            "questions": [each.to_json() for each in self.questions],
            "skipped": [
                {"where": each.where, "text": each.text, "why": each.why} for each in self.skipped
            ],
            "notes": list(self.notes),
        }


def read_list(
    data: bytes | str,
    *,
    name: str = "list",
    answers: Mapping[str, str] | None = None,
    book: GearBook | None = None,
) -> ReadList:
    r"""Read a list of inputs.

    Parameters
    ----------
    data : bytes or str
        A workbook (XLSX), values with separators (tabs as a spreadsheet program puts them on the
        clipboard, semicolons, commas), or plain lines such as ``1 kick``.
    name : str
        The file, for messages.
    answers : mapping of str to str, optional
        Answers to questions, by their keys.
    book : GearBook, optional
        The gear book; the shipped one if left out.

    Raises
    ------
    ListError
        It cannot be read, or an answer means nothing.

    Examples
    --------
    >>> read = read_list("1 kick\n2 vox Anna, condenser\n3 zorg")
    >>> [channel.item for channel in read.channels]
    ['mic-kick-dynamic', 'mic-vocal-condenser', None]
    >>> read.questions[0].ask
    "What is 'zorg'?"
    """
    tables, notes = _tables_of(data, name)
    return _understood(tables, name, notes, answers or {}, book or load_book())


def _tables_of(data: bytes | str, name: str) -> tuple[tuple[Table, ...], tuple[str, ...]]:
    if len(data) > LARGEST_FILE:
        raise ListError(
            f"more than {LARGEST_FILE // 1_000_000} MB",
            where=name,
            expected="a list of inputs",
            remedy="Copy the rows of the list into a file of their own.",
        )
    if isinstance(data, str):
        return (text_table(data.removeprefix("\ufeff"), name),), ()
    if data.startswith(ZIP_MAGIC):
        book = read_workbook(data, name)
        return book.tables, book.notes
    if data.startswith(_OLD_WORKBOOK):
        raise ListError(
            "is an old or an encrypted workbook",
            where=name,
            expected="an XLSX workbook, CSV or plain text",
            remedy="Open it in a spreadsheet program and save it as XLSX, without a password.",
        )
    text, notes = decoded(data, name)
    return (text_table(text, name),), notes


def _understood(
    tables: Sequence[Table],
    name: str,
    notes: tuple[str, ...],
    answers: Mapping[str, str],
    book: GearBook,
) -> ReadList:
    """What the tables say, with the answers so far."""
    asking = Asking(trade_words(), book, answers)
    own = own_table(tables)
    used = tables if own is None else (own,)
    parts = [part for table in used for part in _parts_of(table, asking.trade)]
    chosen = _chosen(parts, asking)
    lines = [line for part in chosen for line in part.lines]
    asking.groups = named_groups(iter(lines), asking.trade)
    found = channels_of_lines(lines, asking)
    if not found.channels:
        raise ListError(
            "no input was found in it",
            where=name,
            expected="rows such as '1 kick' or a table with a column of channels or sources",
            remedy="Name the columns in the first row: Channel, Source, Microphone.",
        )
    return ReadList(
        name,
        found.channels,
        tuple(asking.questions.values()),
        (*_skipped(parts, chosen), *found.skipped),
        (*notes, *_columns_aside(chosen)),
        dict(answers),
        tuple(tables),
        book,
    )


def _parts_of(table: Table, trade: TradeWords) -> list[Part]:
    """The lists that a table holds; plain lines are one list."""
    return [plain_part(table, trade)] if table.is_lines else table_parts(table, trade)


def _skipped(parts: Sequence[Part], chosen: Sequence[Part]) -> list[Skipped]:
    """Rows that are no inputs, then the lists that were not chosen, each as one."""
    rows = [each for part in parts for each in part.skipped]
    others = [part for part in parts if part not in chosen and part.lines]
    return rows + [
        Skipped(part.lines[0].where, f"{part.title}: {len(part.lines)} rows", "another list")
        for part in others
    ]


def _columns_aside(chosen: Sequence[Part]) -> list[str]:
    """Headings of columns that say nothing of inputs."""
    aside = dict.fromkeys(each for part in chosen for each in part.unread)
    return [f"{_LEFT_ASIDE}the columns {', '.join(aside)}"] if aside else []


def _chosen(parts: Sequence[Part], asking: Asking) -> list[Part]:
    """Lists that go together; of those that use the same channels the one that was answered."""
    filled = [part for part in parts if part.lines]
    useful = [part for part in filled if _is_list(part, asking)] or filled
    if not _overlap(useful):
        return useful
    titles = [part.title or part.lines[0].where for part in useful]
    answer = asking.answer(_WHICH)
    named = [part for part, title in zip(useful, titles, strict=True) if title == answer]
    if answer is not None and not named:
        raise asking.refuse(_WHICH, answer)
    if named:
        return named[:1]
    choices = [
        Choice(title, f"{title}, {len(part.lines)} rows")
        for part, title in zip(useful, titles, strict=True)
    ]
    ask = "Several lists use the same channels: which one? The first was read."
    asking.ask(_WHICH, ask, useful[0].lines[0].where, choices)
    return useful[:1]


def _overlap(parts: Sequence[Part]) -> bool:
    seen: set[int] = set()
    for part in parts:
        if seen & part.channels:
            return True
        seen |= part.channels
    return False


def _is_list(part: Part, asking: Asking) -> bool:
    """Whether some of its rows name things, or it counts channels."""
    known = sum(
        is_known(line.cell("name"), asking.trade) or is_known(line.cell("gear"), asking.trade)
        for line in part.lines
    )
    return known * 4 >= len(part.lines)
