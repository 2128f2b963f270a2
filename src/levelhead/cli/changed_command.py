"""``levelhead paper SHOW --changed``: what changed since printed, and which sheets to renew."""

from __future__ import annotations

import json
import sys
from argparse import Namespace
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime
from pathlib import Path

from levelhead.cli.columns import entry, paragraph
from levelhead.cli.paper_command import person, write_sheets
from levelhead.errors import PaperError
from levelhead.exchange.changes_sheet import changes_sheet, group_words, time_words
from levelhead.exchange.paper_made import (
    contents_of,
    printed_names,
    remember,
    since_printed,
    stale_names,
)
from levelhead.exchange.sheet import Sheet, SheetHead
from levelhead.exchange.sheets import PLANS, check_for, paper_pack
from levelhead.exchange.since_printed import Held, Since, made_of
from levelhead.gear.book import GearBook
from levelhead.show.document import ShowDocument
from levelhead.show.fingerprint import fingerprint
from levelhead.show.history import History, history_path

__all__ = ["changed_sheet", "print_changed"]

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
        names = [name for name in printed_names(history) if name in PLANS]
        if not names:
            raise _nothing_printed(document)
        check = check_for(names, document.show, book, document)
        pack = paper_pack(check, names, page=arguments.page, grid=arguments.labels)
        sheets = {sheet.name: sheet for sheet in pack}
        made = {name: made_of(sheet) for name, sheet in sheets.items()}
        found = since_printed(history, document.show, made)
        stale = stale_names(found)
        if arguments.output is not None and stale:
            _renew(document, history, arguments, [sheets[name] for name in stale], found)
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


def _renew(
    document: ShowDocument,
    history: History,
    arguments: Namespace,
    sheets: Sequence[Sheet],
    found: Sequence[Since],
) -> None:
    """Write the changes and the sheets that are out of date, and remember those."""
    place = Path(arguments.output)
    pack = [changed_sheet(sheets[0].head, found), *sheets]
    write_sheets(place, pack, is_phone=arguments.phone, page=arguments.page)
    contents = contents_of(sheets)
    at, text = datetime.now(UTC), document.text()
    remember(history, document.show, text, contents, at=at, by=person())
    print(f"{place}: changes, {', '.join(contents)}", file=sys.stderr)


def changed_sheet(head: SheetHead, found: Sequence[Since]) -> Sheet:
    """The changes of all states that paper was made of, as a sheet."""
    groups = [(group_words(each), each.changes) for each in found if each.is_stale]
    return changes_sheet(head, groups, f"What changed up to state {head.fingerprint}.")


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
        yield "Print the changes and those sheets alone:"
        yield from paragraph(
            f"levelhead paper {arguments.show} --changed -o changed.pdf", first="  ", rest="    "
        )


def _group(since: Since) -> Iterator[str]:
    """Sheets of one state, and the changes that are missing on them."""
    yield from paragraph(f"Since {time_words(since.at)}, state {since.fingerprint}")
    for sheet in since.sheets:
        yield from entry("holds" if sheet.is_current else "OLD", _sheet_words(sheet))
    if not since.is_known:
        yield from paragraph("That state is not in the history any more.", first="  ", rest="  ")
    for number, change in enumerate(since.changes if since.is_stale else (), 1):
        told = ", ".join(each for each in (time_words(change.at), change.person) if each)
        yield from paragraph(f"{change.line} ({told})", first=f"{number:>4}  ", rest=" " * 6)


def _sheet_words(sheet: Held) -> str:
    if sheet.is_current:
        return sheet.title
    return f"{sheet.title} ({sheet.words})"
