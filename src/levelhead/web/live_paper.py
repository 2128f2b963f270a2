"""Sheets of an open show, where it is solved: what they say, and printed. Tasks of the worker."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Protocol

from levelhead.exchange.as_printed import as_printed, beside, hows_of
from levelhead.exchange.paper_made import contents_of
from levelhead.exchange.sheet import Sheet
from levelhead.exchange.sheets import PLANS, check_for
from levelhead.exchange.since_printed import Beside
from levelhead.show.printed import How, Printed
from levelhead.web.live_worker import trial_of

__all__ = ["Press", "Pressed", "beside_printed", "pressed"]

Pages = Mapping[str, tuple[str, ...]]

_MOST: Final = 32


class Press(Protocol):
    """What prints."""

    def pages(self, sheets: Sequence[Sheet], size: str) -> Pages:
        """By the name of each sheet, what tells the content of its pages."""

    def pdf(
        self, sheets: Sequence[Sheet], only: Mapping[str, Sequence[int]], size: str
    ) -> tuple[bytes, Pages]:
        """A PDF of sheets, of some of them these pages only; and all their pages."""


@dataclass(frozen=True, slots=True)
class Pressed:
    """What was printed: the PDF, and by the name of each sheet what it and its pages say."""

    pdf: bytes
    contents: Mapping[str, str]
    pages: Pages


def beside_printed(key: str, press: Press, printed: Sequence[Printed], size: str) -> Beside:
    """What was printed as the newest state has it, on a size of paper."""
    known = [each for each in printed if each.name in PLANS][:_MOST]
    if not known:
        return Beside({})
    sheets = _sheets(key, hows_of(known, size))
    return beside(known, sheets, press.pages, size)


def pressed(
    key: str,
    press: Press,
    hows: Mapping[str, How],
    before: Sequence[Sheet],
    only: Mapping[str, Sequence[int]],
) -> Pressed:
    """A PDF of some sheets, others before them; and what stands on each.

    Parameters
    ----------
    hows
        By the names of the sheets how they are printed, all on one size of paper.
    only
        By the name of a sheet, the pages that are wanted of it.

    Raises
    ------
    PaperError
        The typesetter refuses.
    """
    sheets = list(_sheets(key, hows).values())
    size = next((how.page for how in hows.values()), "a4")
    pdf, pages = press.pdf([*before, *sheets], only, size)
    ours = {sheet.name: pages[sheet.name] for sheet in sheets}
    return Pressed(pdf, contents_of(sheets), ours)


def _sheets(key: str, hows: Mapping[str, How]) -> dict[str, Sheet]:
    trial = trial_of(key)
    return as_printed(check_for(list(hows), trial.show, trial.book), hows)
