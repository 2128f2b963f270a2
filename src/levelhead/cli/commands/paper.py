"""``levelhead paper``: sheets as PDF, spreadsheet or page for the phone, and whether they hold."""

from __future__ import annotations

import getpass
import sys
from argparse import Namespace
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, Literal, cast

from levelhead.cli.progress import ways_out_tried
from levelhead.cli.reports.columns import paragraph
from levelhead.errors import LevelheadError, PaperError
from levelhead.gear.book import GearBook
from levelhead.show.document import ShowDocument, parse_show
from levelhead.show.edits import Edit

if TYPE_CHECKING:
    from levelhead.exchange import Sheet
    from levelhead.exchange.printed.made import Paper
    from levelhead.exchange.printed.since import Held

__all__ = [
    "CURRENT",
    "NOT_CURRENT",
    "UNKNOWN_STATE",
    "Currency",
    "is_current",
    "person",
    "print_sheets",
    "write_sheets",
]

CURRENT: Final = 0
NOT_CURRENT: Final = 1
UNKNOWN_STATE: Final = 2
_WRITERS: Final = (".pdf", ".xlsx", ".html")


@dataclass(frozen=True, slots=True)
class Currency:
    """Whether paper still holds: ``yes``, ``no`` or ``unknown``, and what changed since.

    ``sheets`` are those that were printed of it, beside what would be printed now; ``later`` are
    titles of sheets that take longer to compare.
    """

    is_current: Literal["yes", "no", "unknown"]
    show: str
    asked: str
    now: str
    edits: tuple[Edit, ...] = ()
    changes: tuple[str, ...] = ()
    sheets: tuple[Held, ...] = ()
    later: tuple[str, ...] = ()

    def with_sheets(self, document: ShowDocument, book: GearBook) -> Currency:
        """The same with the sheets that were printed of that state."""
        from levelhead.cli.reports.sheets_of_state import held_of_state

        sheets, later = held_of_state(document, book, self.asked)
        return replace(self, sheets=sheets, later=later)

    @property
    def status(self) -> int:
        """0 it holds, 1 it does not, 2 nobody printed that here."""
        return {"yes": CURRENT, "no": NOT_CURRENT, "unknown": UNKNOWN_STATE}[self.is_current]

    def text(self, show: str) -> str:
        """For people, in 80 columns; ``show`` is the file as it was named."""
        from levelhead.cli.reports.sheets_of_state import said_of_state

        lines = paragraph(self._answer())
        for each in self.changes:
            lines += paragraph(each, first="- ", rest="  ")
        lines += said_of_state(show, self.sheets, self.later)
        return "\n".join(lines)

    def _answer(self) -> str:
        if self.is_current == "yes":
            return f"Yes: {self.asked} is {self.show} as it is now."
        if self.is_current == "no":
            return f"No: {self.asked} is an earlier state; now it is {self.now}. Since then:"
        return (
            f"Unknown: nothing that was printed of {self.show} here has the fingerprint "
            f"{self.asked}; now it is {self.now}. Print anew."
        )

    def to_json(self) -> dict[str, Any]:
        """As docs/formats.md has it."""
        from levelhead.show.edit_json import edit_to_json

        return {
            "is_current": self.is_current,
            "show": self.show,
            "asked": self.asked,
            "now": self.now,
            "changes": list(self.changes),
            "edits": [edit_to_json(edit) for edit in self.edits],
            "sheets": [each.to_json() for each in self.sheets],
        }


def is_current(document: ShowDocument, asked: str) -> Currency:
    """Whether paper with a fingerprint still holds, and if not what changed."""
    from levelhead.exchange.differences import changes_in_words, differences
    from levelhead.show.fingerprint import fingerprint

    show, printed = document.show, asked.strip().lower()
    now = fingerprint(show)
    if printed == now:
        return Currency("yes", show.name, printed, now)
    text = _kept_text(document, printed)
    if text is None:
        return Currency("unknown", show.name, printed, now)
    then = parse_show(text, f"state {printed}").show
    edits, changes = tuple(differences(then, show)), changes_in_words(then, show)
    return Currency("no", show.name, printed, now, edits, changes)


def _kept_text(document: ShowDocument, printed: str) -> str | None:
    from levelhead.show.history.journal import History, history_path
    from levelhead.show.history.kept_texts import kept_text

    if document.path is None or not history_path(document.path).exists():
        return None
    with History.at(document.path) as history:
        return kept_text(history, printed)


def print_sheets(document: ShowDocument, book: GearBook, arguments: Namespace) -> str:
    """Write the sheets that were asked for; says what was written.

    Raises
    ------
    PaperError
        A name that no writer knows, or a place that cannot be written.
    """
    from levelhead.exchange.printed.made import Paper, contents_of
    from levelhead.exchange.sheets.pack import PLANS, USUAL, check_for, paper_pack
    from levelhead.show.history.printed import How

    place, page = Path(arguments.output), arguments.page or "a4"
    _suffix(place, is_phone=arguments.phone)
    names = tuple(arguments.sheet or USUAL)
    with ways_out_tried() as told:
        check = check_for(names, document.show, book, document, told)
    sheets = paper_pack(check, names, page=page, grid=arguments.labels, paths=arguments.path)
    pages = write_sheets(place, sheets, is_phone=arguments.phone, page=page)
    how = How(page, arguments.labels, tuple(arguments.path))
    contents = contents_of(sheets)
    _keep(document, Paper(contents, dict.fromkeys(contents, how), pages))
    return f"{place}: {', '.join(PLANS[name].title.lower() for name in names)}"


def write_sheets(
    place: Path,
    sheets: Sequence[Sheet],
    *,
    is_phone: bool,
    page: str,
    only: Mapping[str, Sequence[int]] | None = None,
) -> Mapping[str, tuple[str, ...]]:
    """Write sheets as the name of the file says: PDF, spreadsheet or page for the phone.

    Parameters
    ----------
    only
        By the name of a sheet, the pages of a PDF that are wanted of it.

    Returns
    -------
    mapping
        By the name of each sheet, what tells the content of its pages; empty without pages.

    Raises
    ------
    PaperError
        A name that no writer knows, or a place that cannot be written.
    """
    from levelhead.api import write_whole

    suffix, contents = _suffix(place, is_phone=is_phone), dict[str, tuple[str, ...]]()
    if suffix == ".pdf":
        from levelhead.paper.pages import pages_to_pdf

        paged = pages_to_pdf(sheets, only, page=cast("Literal['a4', 'letter']", page))
        written, contents = paged.pdf, dict(paged.contents)
    else:
        written = _written(sheets, suffix, page)
    write_whole(place, written, remedy="Name another place with -o.")
    return contents


def _suffix(place: Path, *, is_phone: bool) -> str:
    suffix = ".html" if is_phone else place.suffix.lower()
    if suffix not in _WRITERS:
        raise PaperError(
            "is no name for sheets",
            where=str(place),
            expected=f"a name that ends in {', '.join(_WRITERS)}",
            remedy="Write for example hall.pdf, hall.xlsx, or hall.html for a phone.",
        )
    return suffix


def _written(given: Sequence[Sheet], suffix: str, page: str) -> bytes:
    if suffix == ".xlsx":
        from levelhead.paper.xlsx import sheets_to_xlsx

        return sheets_to_xlsx(given, page=page)
    from levelhead.paper.phone import sheets_to_html

    return sheets_to_html(given).encode()


def _keep(document: ShowDocument, paper: Paper) -> None:
    """Keep the state that was printed, and what stands on each sheet and page."""
    from levelhead.exchange.printed.made import remember
    from levelhead.show.history.journal import History

    if document.path is None:
        return
    show, text, at = document.show, document.text(), datetime.now(UTC)
    try:
        with History.at(document.path) as history:
            remember(history, show, text, paper, at=at, by=person())
    except LevelheadError as error:
        print(f"The state that was printed is not kept: {error}", file=sys.stderr)


def person() -> str:
    """Who prints, by the name of this account."""
    try:
        return getpass.getuser()
    except (KeyError, OSError, ImportError):
        return "somebody"
