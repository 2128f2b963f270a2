"""Which sheets of one printed state hold all the same, and which pages of the others to renew."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, cast

from levelhead.cli.reports.columns import entry, paragraph
from levelhead.exchange.printed.as_now import as_printed, beside, hows_of, usual_how
from levelhead.exchange.printed.made import since_printed
from levelhead.exchange.sheets.pack import PLANS, check_for
from levelhead.show.history.journal import History, history_path
from levelhead.show.history.printed import Printed, last_printed

if TYPE_CHECKING:
    from levelhead.exchange.printed.since import Held
    from levelhead.exchange.sheet.values import Sheet
    from levelhead.gear.book import GearBook
    from levelhead.paper.content import Page
    from levelhead.show.document import ShowDocument

__all__ = ["held_of_state", "said_of_state"]


def held_of_state(
    document: ShowDocument, book: GearBook, asked: str
) -> tuple[tuple[Held, ...], tuple[str, ...]]:
    """Sheets of which that state was printed last, beside what would be printed now.

    Returns
    -------
    tuple of Held, tuple of str
        Those that could be compared, and titles of sheets that tell ways out: to compare them
        each would have to be tried, which takes its time.
    """
    if document.path is None or not history_path(document.path).exists():
        return (), ()
    with History.at(document.path) as history:
        printed = [each for each in last_printed(history) if _is_of(each, asked)]
        quick = [each for each in printed if not PLANS[each.name].has_trials]
        later = tuple(PLANS[each.name].title for each in printed if PLANS[each.name].has_trials)
        if not quick:
            return (), later
        size = usual_how(quick).page
        check = check_for([each.name for each in quick], document.show, book, document)
        now = beside(quick, as_printed(check, hows_of(quick, size)), _lay_out, size)
        found = since_printed(history, document.show, now)
        names = {each.name for each in quick}
        every = (each for since in found for each in since.sheets)
        return tuple(each for each in every if each.printed.name in names), later


def _is_of(printed: Printed, asked: str) -> bool:
    """Whether a sheet, or a page of it that was not renewed since, names that state in its head."""
    states = {printed.fingerprint, *(page.fingerprint for page in printed.pages)}
    return printed.name in PLANS and asked in states


def _lay_out(sheets: Sequence[Sheet], page: str) -> Mapping[str, tuple[str, ...]]:
    from levelhead.paper.pages import page_contents

    return page_contents(sheets, page=cast("Page", page))


def said_of_state(show: str, held: Sequence[Held], later: Sequence[str]) -> list[str]:
    """For people, in 80 columns: what of the paper stays, what to exchange, and how."""
    if not held and not later:
        return []
    lines = ["", "Of the paper that was printed of it:"]
    for each in held:
        words = each.title if each.is_current else f"{each.title} ({each.words})"
        lines += entry("holds" if each.is_current else "OLD", words)
        for line in () if each.is_current or each.pages is None else each.pages.lines:
            lines += entry("", line)
    for title in later:
        lines += entry("?", f"{title}: its ways out have to be tried, --changed does it")
    lines += ["", "Print the changes and those pages alone:"]
    return [
        *lines,
        *paragraph(f"levelhead paper {show} --changed -o changed.pdf", first="  ", rest="    "),
    ]
