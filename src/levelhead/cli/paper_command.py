"""``levelhead paper``: sheets as PDF, spreadsheet or page for the phone, and whether they hold."""

from __future__ import annotations

import getpass
import sys
from argparse import Namespace
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Final, Literal, cast

from levelhead.errors import LevelheadError, PaperError
from levelhead.gear.book import GearBook
from levelhead.show.document import ShowDocument, parse_show

__all__ = ["CURRENT", "NOT_CURRENT", "UNKNOWN_STATE", "is_current", "print_sheets"]

CURRENT: Final = 0
NOT_CURRENT: Final = 1
UNKNOWN_STATE: Final = 2
_WRITERS: Final = (".pdf", ".xlsx", ".html")


def is_current(document: ShowDocument, asked: str) -> tuple[str, int]:
    """Whether paper with a fingerprint still holds, and if not what changed; with the status."""
    from levelhead.exchange.differences import changes_in_words
    from levelhead.show.fingerprint import fingerprint

    show, printed = document.show, asked.strip().lower()
    now = fingerprint(show)
    if printed == now:
        return f"Yes: {printed} is {show.name} as it is now.", CURRENT
    text = _kept_text(document, printed)
    if text is None:
        words = (
            f"Unknown: nothing that was printed of {show.name} here has the fingerprint {printed}; "
            f"now it is {now}. Print anew."
        )
        return words, UNKNOWN_STATE
    changes = changes_in_words(parse_show(text, f"state {printed}").show, show)
    lines = [f"No: {printed} is an earlier state; now it is {now}. Since then:"]
    return "\n".join([*lines, *(f"- {each}" for each in changes)]), NOT_CURRENT


def _kept_text(document: ShowDocument, printed: str) -> str | None:
    from levelhead.show.history import History, history_path

    if document.path is None or not history_path(document.path).exists():
        return None
    with History.at(document.path) as history:
        return history.text_of(printed)


def print_sheets(document: ShowDocument, book: GearBook, arguments: Namespace) -> str:
    """Write the sheets that were asked for; says what was written.

    Raises
    ------
    PaperError
        A name that no writer knows, or a place that cannot be written.
    """
    from levelhead.api import write_whole
    from levelhead.exchange.sheets import PLANS, USUAL, check_for, paper_pack

    place = Path(arguments.output)
    suffix = ".html" if arguments.phone else place.suffix.lower()
    if suffix not in _WRITERS:
        raise PaperError(
            "is no name for sheets",
            where=str(place),
            expected=f"a name that ends in {', '.join(_WRITERS)}",
            remedy="Write for example hall.pdf, hall.xlsx, or hall.html for a phone.",
        )
    names = tuple(arguments.sheet or USUAL)
    check = check_for(names, document.show, book, document)
    sheets = paper_pack(check, names, page=arguments.page, grid=arguments.labels)
    write_whole(
        place, _written(sheets, suffix, arguments.page), remedy="Name another place with -o."
    )
    _keep(document, f"printed {', '.join(names)}")
    return f"{place}: {', '.join(PLANS[name].title.lower() for name in names)}"


def _written(sheets: Sequence[object], suffix: str, page: str) -> bytes:
    from levelhead.exchange import Sheet

    given = cast("Sequence[Sheet]", sheets)
    if suffix == ".xlsx":
        from levelhead.paper.xlsx import sheets_to_xlsx

        return sheets_to_xlsx(given, page=page)
    if suffix == ".html":
        from levelhead.paper.phone import sheets_to_html

        return sheets_to_html(given).encode()
    from levelhead.paper.pdf import sheets_to_pdf

    return sheets_to_pdf(given, page=cast("Literal['a4', 'letter']", page))


def _keep(document: ShowDocument, reason: str) -> None:
    """Keep the state that was printed, so that later its paper can be told from newer."""
    from levelhead.show.fingerprint import fingerprint
    from levelhead.show.history import History

    if document.path is None:
        return
    try:
        with History.at(document.path) as history:
            printed = fingerprint(document.show)
            if history.text_of(printed) is None:
                history.keep(
                    document.text(),
                    printed,
                    at=datetime.now(UTC),
                    person=_person(),
                    reason=reason,
                )
    except LevelheadError as error:
        print(f"The state that was printed is not kept: {error}", file=sys.stderr)


def _person() -> str:
    try:
        return getpass.getuser()
    except (KeyError, OSError, ImportError):
        return "somebody"
