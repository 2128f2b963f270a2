"""Plain lines of a message as lines of an input list: ``1 kick - dynamic``, ``2 vocals``."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from levelhead.exchange.lists.list_rows import (
    Line,
    Part,
    Skipped,
    is_known,
    is_way_out_of_desk,
    turned,
)
from levelhead.exchange.lists.numbers import channels_of, counted, numbered_line
from levelhead.exchange.lists.phrases import words_of
from levelhead.exchange.lists.tables import Table
from levelhead.exchange.lists.trade import TradeWords

__all__ = ["plain_part"]

_BULLET: Final = re.compile(r"^\s*[-*•·–]\s+")
_NAME_ENDS: Final = re.compile(r"\s+[-–—>]+\s+|:\s+|\s*\(|[,;]\s+|\s*=\s*")
_WAY_OUT: Final = re.compile(r"(?:[^\W\d_]+[ .-]*){1,2}\d{1,2}(?:\s*[/+&-]\s*\d{1,2})?(?!\w)")
_MOST_NAME_WORDS: Final = 3  # of a line without a number that may be a name and no sentence


@dataclass(frozen=True, slots=True)
class _PlainLine:
    """A line as it was typed, the number before it, and the rest; bullets are left out."""

    where: str
    text: str
    number: str
    rest: str


@dataclass(frozen=True, slots=True)
class _Numbering:
    """What numbers before lines are: none, channels, or how many there are of each thing."""

    is_there: bool
    are_counts: bool

    @staticmethod
    def of(lines: Sequence[_PlainLine]) -> _Numbering:
        """Numbers that rise are channels."""
        numbers = [line.number for line in lines if line.number]
        is_there = len(numbers) > 1
        return _Numbering(is_there, is_there and not _rises(numbers))


def plain_part(table: Table, trade: TradeWords) -> Part:
    """The list that plain lines make."""
    lines = _lines_of(table)
    numbering = _Numbering.of(lines)
    part, section, is_output = Part(""), "", False
    for line in (each for each in lines if each.rest):
        why_not = _why_no_input(line, numbering, trade)
        if why_not:
            section, is_output = line.rest.rstrip(": "), turned(line.rest, trade, is_output)
        elif is_output:
            why_not = "stands under outputs"
        if why_not:
            part.skipped.append(Skipped(line.where, line.text, why_not))
        else:
            part.lines.append(_input(line, section, numbering))
    return part


def _lines_of(table: Table) -> list[_PlainLine]:
    """All lines; the rest is empty where nothing stands behind a number."""
    texts = [row[0] if row else "" for row in table.rows]
    return [
        _PlainLine(table.where(at), text, *numbered_line(_BULLET.sub("", text)))
        for at, text in enumerate(texts)
    ]


def _rises(numbers: Sequence[str]) -> bool:
    firsts = [found.channels[0] for each in numbers if (found := channels_of(each))]
    return all(a < b for a, b in pairwise(firsts))


def _why_no_input(line: _PlainLine, numbering: _Numbering, trade: TradeWords) -> str:
    """Why a plain line is no input; empty when it may be one."""
    rest = line.rest
    way_out = _WAY_OUT.match(rest)
    if way_out is not None and is_way_out_of_desk(way_out[0], trade):
        return "a mix that leaves the desk, not an input"
    if trade.has_mark("total", words_of(rest)) and re.search(r"\d", rest):
        return "a total"
    return "" if line.number else _why_no_name(line, numbering, trade)


def _why_no_name(line: _PlainLine, numbering: _Numbering, trade: TradeWords) -> str:
    """Why a line without a number is no name of an input; empty when it may be one."""
    rest = line.rest
    if trade.is_mark("total", rest):
        return "a total"
    is_mark = trade.is_mark("outputs", rest) or trade.is_mark("inputs", rest)
    if is_mark or line.text.rstrip().endswith(":"):
        return "a heading"
    if numbering.are_counts:
        wants_number = not is_known(rest, trade)
    else:
        wants_number = numbering.is_there and counted(rest)[1] == rest
    if wants_number:
        return "a heading or a note: no number before it"
    if not is_known(rest, trade) and len(words_of(rest)) > _MOST_NAME_WORDS:
        return "not understood"
    return ""


def _input(line: _PlainLine, section: str, numbering: _Numbering) -> Line:
    """A plain line as an input: ``2 vocals`` are two where numbers are counts."""
    found = channels_of(line.number) if line.number else None
    count, is_counted = 1, numbering.are_counts and found is not None
    if is_counted and found is not None:
        count, found = found.channels[0], None
    name, gear = _name_and_gear(line.rest)
    times, name = counted(name)
    return Line(
        where=line.where,
        cells={"name": name, **({"gear": gear} if gear else {})},
        channels=found.channels if found else (),
        is_pair=bool(found and found.is_pair),
        count=times if times > 1 else count,
        section=section,
        text=line.text,
        is_counted=is_counted,
        is_plain=True,
    )


def _name_and_gear(text: str) -> tuple[str, str]:
    pieces = _NAME_ENDS.split(text, maxsplit=1)
    if len(pieces) == 1 or not pieces[0].strip():
        return text, ""
    return pieces[0].strip(), pieces[1].strip(" )")
