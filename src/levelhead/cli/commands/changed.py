"""``levelhead paper SHOW --changed``: what changed since printed, and which sheets to renew."""

from __future__ import annotations

import json
import sys
from argparse import Namespace
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import cast

from levelhead.cli.commands.paper import person, write_sheets
from levelhead.cli.progress import ways_out_tried
from levelhead.cli.reports.columns import entry, paragraph
from levelhead.errors import PaperError
from levelhead.exchange.paperwork.named import Named
from levelhead.exchange.printed.as_now import as_printed, beside, hows_of, usual_how
from levelhead.exchange.printed.changes_sheet import changed_sheet, exchange_lines, time_words
from levelhead.exchange.printed.made import (
    Paper,
    contents_of,
    remember,
    since_printed,
    stale_names,
    wanted_pages,
)
from levelhead.exchange.printed.pages import pages_words
from levelhead.exchange.printed.since import Held, Since
from levelhead.exchange.sheet.values import Sheet
from levelhead.exchange.sheets.pack import PLANS, check_for
from levelhead.gear.book import GearBook
from levelhead.paper.content import Page
from levelhead.show.document import ShowDocument
from levelhead.show.fingerprint import fingerprint
from levelhead.show.history.journal import History, history_path
from levelhead.show.history.printed import Printed, last_printed

__all__ = ["print_changed"]

CURRENT, STALE = 0, 1


def print_changed(document: ShowDocument, book: GearBook, arguments: Namespace) -> tuple[str, int]:
    """What is printed, and 1 where a sheet is out of date; with ``-o`` those are written anew.

    Raises
    ------
    PaperError
        Nothing was printed of this show here.
    """
    if document.path is None or not history_path(document.path).exists():
        raise _nothing_printed(document)
    with History.at(document.path) as history:
        printed = [each for each in last_printed(history) if each.name in PLANS]
        if not printed:
            raise _nothing_printed(document)
        page = arguments.page or usual_how(printed).page
        size = None if arguments.output is None else page
        found, sheets = _beside(document, book, history, printed, size)
        stale = stale_names(found)
        if arguments.output is not None and stale:
            renewal = _Renewal(found, [sheets[name] for name in stale], page)
            _renew(document, history, arguments, renewal)
    status = STALE if stale else CURRENT
    if arguments.json:
        content = {"show": document.show.name, "since": [each.to_json() for each in found]}
        return json.dumps(content, indent=2, ensure_ascii=False), status
    return "\n".join(_report(document, found, stale, arguments)), status


def _nothing_printed(document: ShowDocument) -> PaperError:
    return PaperError(
        "nothing was printed of this show here",
        where=document.name,
        expected="a show whose sheets were made with levelhead paper or in the app",
        remedy=f"Print first: levelhead paper {document.name} -o FILE.pdf",
    )


def _beside(
    document: ShowDocument,
    book: GearBook,
    history: History,
    printed: Sequence[Printed],
    page: str | None,
) -> tuple[tuple[Since, ...], dict[str, Sheet]]:
    """What was printed beside what would be printed now, and that."""

    def lay_out(sheets: Sequence[Sheet], page: str) -> Mapping[str, tuple[str, ...]]:
        from levelhead.paper.pages import page_contents

        return page_contents(sheets, page=cast("Page", page))

    with ways_out_tried() as told:
        check = check_for([e.name for e in printed], document.show, book, document, told)
    sheets = as_printed(check, hows_of(printed, page))
    now = beside(printed, sheets, lay_out, page)
    named = Named(document.show, check.trial.solution.rig)
    found = since_printed(history, document.show, now)
    return tuple(each.said(named.sentence) for each in found), sheets


@dataclass(frozen=True, slots=True)
class _Renewal:
    """What is out of date: sheets as they are now, and the size of their paper."""

    found: Sequence[Since]
    sheets: Sequence[Sheet]
    page: str

    @property
    def printed(self) -> dict[str, Printed]:
        return {e.printed.name: e.printed for since in self.found for e in since.sheets}


def _renew(
    document: ShowDocument, history: History, arguments: Namespace, renewal: _Renewal
) -> None:
    """Write the changes and the pages that are out of date, and remember those."""
    only, printed = wanted_pages(renewal.found), renewal.printed
    changes = changed_sheet(renewal.sheets[0].head, renewal.found)
    pages = write_sheets(
        Path(arguments.output),
        [changes, *renewal.sheets],
        is_phone=arguments.phone,
        page=renewal.page,
        only=only,
    )
    contents = contents_of(renewal.sheets)
    paper = Paper(
        contents,
        hows=hows_of([printed[name] for name in contents], renewal.page),
        pages={name: found for name, found in pages.items() if name in contents},
        kept={name: printed[name] for name in only},
    )
    show, at = document.show, datetime.now(UTC)
    remember(history, show, document.text(), paper, at=at, by=person())
    written = ", ".join(["changes", *_renewed(renewal.found, only if pages else {})])
    print(f"{arguments.output}: {written}", file=sys.stderr)


def _renewed(found: Sequence[Since], only: Mapping[str, tuple[int, ...]]) -> Iterator[str]:
    """Sheets and their pages as they were written."""
    for each in (sheet for since in found for sheet in since.sheets if not sheet.is_current):
        name, pages = each.printed.name, each.pages
        if name not in only or pages is None:
            yield name
        elif pages.comes:
            yield f"{name} {pages_words(pages.comes)} of {pages.count}"


# ---------------------------------------------------------------- report


def _report(
    document: ShowDocument, found: Sequence[Since], stale: Sequence[str], arguments: Namespace
) -> Iterator[str]:
    yield from paragraph(
        f"{document.show.name}: changed since printed; now {fingerprint(document.show)}"
    )
    for since in found:
        yield ""
        yield from _group(since)
    yield ""
    if not stale:
        yield "Every sheet that was printed holds."
    elif arguments.output is None:
        yield "Print the changes and those pages alone:"
        yield from paragraph(
            f"levelhead paper {arguments.show} --changed -o changed.pdf", first="  ", rest="    "
        )


def _group(since: Since) -> Iterator[str]:
    """Sheets of one state, and the changes that are missing on them."""
    yield from paragraph(f"Since {time_words(since.at)}, state {since.fingerprint}")
    for sheet in since.sheets:
        yield from entry("holds" if sheet.is_current else "OLD", _sheet_words(sheet))
        for line in () if sheet.is_current else exchange_lines(sheet):
            yield from entry("", line)
    if not since.is_known:
        yield from paragraph("That state is not in the history any more.", first="  ", rest="  ")
    for number, change in enumerate(since.changes if since.is_stale else (), 1):
        told = ", ".join(each for each in (time_words(change.at), change.person) if each)
        yield from paragraph(f"{change.line} ({told})", first=f"{number:>4}  ", rest=" " * 6)


def _sheet_words(sheet: Held) -> str:
    if sheet.is_current:
        return sheet.title
    return f"{sheet.title} ({sheet.words})"
