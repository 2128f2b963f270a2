"""Text as tables: encodings, separators, or lines that are no table at all."""

from __future__ import annotations

import csv
import re
from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Final

from levelhead.errors import ListError
from levelhead.exchange.lists.tables import LONGEST_CELL, Table, checked_rows

__all__ = ["decoded", "text_table"]

_MARKS: Final = (  # byte-order marks; the longer ones first
    (b"\xef\xbb\xbf", "utf-8-sig"),
    (b"\xff\xfe", "utf-16"),
    (b"\xfe\xff", "utf-16"),
)
_SEPARATORS: Final = ("\t", ";", ",", "|")
_CONTROL: Final = re.compile(r"[\x00-\x08\x0e-\x1f\x7f]")
_STATED: Final = re.compile(
    r"sep=(.)\s*$", re.IGNORECASE
)  # first line that spreadsheet programs write
_NUMBERED: Final = re.compile(r"\s*#?\d{1,3}\s*[.):/+&-]?\s*\S")
_NEXT_ITEM: Final = re.compile(
    r"(?<!\d)\s*[/,;|]\s*(?=#?\d{1,3}(?:[/+&-]\d{1,3})?(?:\s*[.):]\s*|\s+)[^\W\d])"
)
_NUMBER_AND_WORDS: Final = re.compile(
    r"\s*\d{1,3}(?:\s*(?:[/+&–-]|\.\.)\s*\d{1,3})?\s*(?:[.):]\s*|[-–]\s+)?(?<=[\s.):])(?:\d+\s*[x×]\s*)?[^\W\d]"
)  # a plain line of a list: "3 kick", "7+8 - choir", "11+12 2x guitar"
_SHOW: Final = re.compile(r"^levelhead:\s*\d", re.MULTILINE)  # the line that heads a show file
_HEAD: Final = 20_000  # characters in which it stands
_SAMPLE: Final = 200  # lines that are looked at to find the separator
_LONG_LINE: Final = 200_000
_FEWEST_NUL: Final = 0.2  # share of NUL bytes by which UTF-16 without its mark is told


def decoded(content: bytes, name: str) -> tuple[str, tuple[str, ...]]:
    """Text of a file, and what there is to say about its encoding.

    Raises
    ------
    ListError
        It is no text.
    """
    for mark, encoding in _MARKS:
        if content.startswith(mark):
            return _checked(_strictly(content, encoding, name), name), ()
    sample = content[:4000]
    for encoding, zeros in (("utf-16-le", sample[1::2]), ("utf-16-be", sample[::2])):
        if zeros.count(0) > _FEWEST_NUL * len(sample):
            return _checked(_strictly(content, encoding, name), name), ()
    try:
        return _checked(content.decode("utf-8"), name), ()
    except UnicodeDecodeError:
        text = _checked(_strictly(content, "cp1252", name), name)
        return text, ("the text is no UTF-8 and was read as Windows-1252: look at its accents",)


def _strictly(content: bytes, encoding: str, name: str) -> str:
    try:
        return content.decode(encoding)
    except UnicodeDecodeError:
        raise _no_text(name) from None


def _checked(text: str, name: str) -> str:
    if len(_CONTROL.findall(text[:100_000])) > min(len(text), 100_000) // 200:
        raise _no_text(name)
    return text


def _no_text(name: str) -> ListError:
    return ListError(
        "is no text and no workbook",
        where=name,
        expected="an XLSX workbook, CSV or plain text",
        remedy="Open it in the program that made it and save it as XLSX, CSV or text.",
    )


def text_table(text: str, name: str) -> Table:
    """A text as rows: by its separator, or a line a row.

    Raises
    ------
    ListError
        It is far larger than any list, or a show file.
    """
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    if _SHOW.search(text[:_HEAD]):
        raise ListError(
            "is a show file, no list",
            where=name,
            expected="a list of inputs: XLSX, CSV or text",
            remedy="Look at it with: levelhead check, or work on it with: levelhead open",
        )
    stated = _STATED.match(text.partition("\n")[0])
    if stated is not None:
        rows = _split(text.partition("\n")[2], stated[1], name)
        return Table("", checked_rows(rows, where=name))
    separator = _separator(text)
    if separator is None:
        lines = (piece for line in text.split("\n") for piece in _items(line))
        return Table("", checked_rows(([line] for line in lines), where=name), is_lines=True)
    return Table("", checked_rows(_split(text, separator, name), where=name))


def _split(text: str, separator: str, name: str) -> Iterator[list[str]]:
    lines = text.splitlines(keepends=True)
    try:
        if _is_never_closed(lines, separator):
            yield from csv.reader(lines, delimiter=separator, quoting=csv.QUOTE_NONE)
        else:
            yield from csv.reader(lines, delimiter=separator)
    except csv.Error as error:  # a field longer than the library takes
        raise ListError(
            f"cannot be split at {separator!r}: {error}",
            where=name,
            expected=f"cells of at most {LONGEST_CELL} characters",
            remedy="Look for a quotation mark that is never closed.",
        ) from error


def _is_never_closed(lines: Sequence[str], separator: str) -> bool:
    """Whether a quotation mark opens a cell that never ends: it would swallow all further rows."""
    try:
        for _ in csv.reader(lines, delimiter=separator, strict=True):
            pass
    except csv.Error as error:
        return "unexpected end of data" in str(error)
    return False


def _separator(text: str) -> str | None:
    """The separator by which most lines have the same number of columns; ``None`` for lines."""
    lines = [line for line in text[:_LONG_LINE].split("\n") if line.strip()][:_SAMPLE]
    best: tuple[float, str] | None = None
    for separator in _SEPARATORS:
        counts = [line.count(separator) for line in _unquoted(lines)]
        share = _agreement(counts)
        if separator in ",;" and _is_prose(lines):
            continue
        if share >= 0.5 and (best is None or share > best[0] + 0.05):  # noqa: PLR2004 - most lines
            best = (share, separator)
    return None if best is None else best[1]


def _unquoted(lines: Sequence[str]) -> list[str]:
    """Lines without what stands in quotation marks."""
    return [re.sub(r'"[^"]*"', "", line) for line in lines]


def _agreement(counts: Sequence[int]) -> float:
    """Share of the lines that have a separator as often as is usual, of two columns at least."""
    usual = Counter(each for each in counts if each > 0).most_common(1)
    if not usual or len(counts) < 2:  # noqa: PLR2004 - one line is no table
        return 0.0
    return sum(each >= max(1, usual[0][0] // 2) for each in counts) / len(counts)


def _is_prose(lines: Sequence[str]) -> bool:
    """Whether commas only part words of lines such as ``1 kick, dynamic``.

    In a table the number has a cell of its own.
    """
    numbered = sum(bool(_NUMBER_AND_WORDS.match(line)) for line in lines)
    return numbered > len(lines) // 2


def _items(line: str) -> list[str]:
    """A line, or its items where it holds a whole list: ``1 kick / 2 snare / 3 hat``."""
    if not _NUMBERED.match(line) or len(line) > _LONG_LINE:
        return [line]
    pieces = _NEXT_ITEM.split(line)
    return pieces if len(pieces) > 2 else [line]  # noqa: PLR2004 - "5 keys / 6 keys" is one thing on two
