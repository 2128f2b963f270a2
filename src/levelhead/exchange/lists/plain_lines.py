"""Plain lines of a message as lines of an input list: ``1 kick - dynamic``, ``2 vocals``."""

from __future__ import annotations

import re
from collections.abc import Sequence
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


def plain_part(table: Table, trade: TradeWords) -> Part:
    """The list that plain lines make."""
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
        heading = _plain_heading(
            text, number, rest, is_numbered=is_numbered, are_counts=are_counts, trade=trade
        )
        if heading:
            section, is_output = rest.rstrip(": "), turned(rest, trade, is_output)
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
    text: str,
    number: str,
    rest: str,
    *,
    is_numbered: bool,
    are_counts: bool,
    trade: TradeWords,
) -> str:
    """Why a plain line is no input; empty when it may be one."""
    way_out = _WAY_OUT.match(rest)
    if way_out is not None and is_way_out_of_desk(way_out[0], trade):
        return "a mix that leaves the desk, not an input"
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
    if is_numbered and not are_counts and counted(rest)[1] == rest:
        return "a heading or a note: no number before it"
    if are_counts and not is_known(rest, trade):
        return "a heading or a note: no number before it"
    if not is_known(rest, trade) and len(words_of(rest)) > _MOST_NAME_WORDS:
        return "not understood"
    return ""


def _plain_line(
    where: str, text: str, number: str, rest: str, *, section: str, are_counts: bool
) -> Line:
    found = channels_of(number) if number else None
    count = 1
    is_counted = are_counts and found is not None
    if is_counted and found is not None:
        count, found = found.channels[0], None
    name, gear = _name_and_gear(rest)
    times, name = counted(name)
    count = times if times > 1 else count
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
