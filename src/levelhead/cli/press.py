"""Paper set in a process of its own, which ends with it.

The typesetter keeps some 250 MB for each pack of sheets and gives none of it back. A command ends
after one pack; an app that stays open for days has each set apart, and nothing stays behind.
"""

from __future__ import annotations

import multiprocessing
import time
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from multiprocessing.connection import Connection
from typing import TYPE_CHECKING, Any, Final, TypeVar, cast

from levelhead.errors import LevelheadError, PaperError

if TYPE_CHECKING:
    from levelhead.exchange.sheet.values import Sheet
    from levelhead.paper.content import Page, Prepared

__all__ = ["LONGEST_S", "Press", "apart"]

LONGEST_S: Final = 120.0  # the largest packs take seconds
_LOOK_EVERY_S: Final = 0.2  # whether anybody still waits for it
_FOR_ITSELF_S: Final = 2.0  # to end after its answer

Pages = Mapping[str, tuple[str, ...]]
Result = TypeVar("Result")


class Press:
    """What prints for the app."""

    def prepared(self, sheets: Sequence[Sheet], size: str) -> Prepared:
        """Sheets as plain data, pictures drawn, where the show is solved."""
        from levelhead.paper.content import prepared

        return prepared(sheets, page=cast("Page", size))

    def pages(self, sheets: Sequence[Sheet], size: str) -> Pages:
        """By the name of each sheet, what tells the content of its pages; errors as ``apart``."""
        return apart(_pages, self.prepared(sheets, size))

    def pdf(
        self,
        sheets: Prepared,
        only: Mapping[str, Sequence[int]],
        is_wanted: Callable[[], bool] = lambda: True,
    ) -> tuple[bytes, Pages]:
        """A PDF of prepared sheets, of some of them these pages only; and all their pages."""
        return apart(_pdf, sheets, only, is_wanted=is_wanted)


def apart(
    task: Callable[..., Result],
    *values: object,
    longest_s: float = LONGEST_S,
    is_wanted: Callable[[], bool] = lambda: True,
) -> Result:
    """What a function of a module gives, worked out in a new process.

    Raises
    ------
    PaperError
        It took too long, nobody wanted it any more, or the process ended without a word.
    LevelheadError
        Whatever the function raises.
    """
    context = multiprocessing.get_context("spawn")
    ours, theirs = context.Pipe(duplex=False)
    process = context.Process(target=_work, args=(theirs, task, values), daemon=True)
    process.start()
    theirs.close()
    try:
        answer = _answer(ours, longest_s, is_wanted)
    finally:
        process.join(_FOR_ITSELF_S if ours.closed else 0)
        process.kill()
        process.join()
        process.close()
    if isinstance(answer, LevelheadError):
        raise answer
    return cast("Result", answer)


def _answer(ours: Connection, longest_s: float, is_wanted: Callable[[], bool]) -> Any:
    """What came through the pipe, while somebody waits for it."""
    until = time.monotonic() + longest_s
    while not ours.poll(_LOOK_EVERY_S):
        if not is_wanted():
            raise _not_printed("it was stopped", "Print it again.")
        if time.monotonic() > until:
            raise _not_printed(f"it took more than {longest_s:g} s", "Print fewer sheets at once.")
    try:
        with ours:
            return ours.recv()
    except EOFError:
        remedy = "Print again; free some memory if it happens again."
        raise _not_printed("what sets the pages ended without a word", remedy) from None


def _not_printed(what: str, remedy: str) -> PaperError:
    return PaperError(what, where="printing", expected="pages that are set", remedy=remedy)


def _work(theirs: Connection, task: Callable[..., Any], values: tuple[object, ...]) -> None:
    """In the process: the answer, or the error that somebody can put right."""
    try:
        answer = task(*values)
    except LevelheadError as error:
        answer = error
    with suppress(BrokenPipeError):  # nobody waits any more
        theirs.send(answer)


def _pages(sheets: Prepared) -> Pages:
    from levelhead.paper.pages import contents_of_pages

    return contents_of_pages(sheets)


def _pdf(sheets: Prepared, only: Mapping[str, Sequence[int]]) -> tuple[bytes, Pages]:
    from levelhead.paper.pages import set_pages

    paged = set_pages(sheets, only)
    return paged.pdf, paged.contents
