"""Sheets of an open show, where it is solved: what they say and what is printed. For the worker."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final, Protocol

from levelhead.exchange.printed.as_now import as_printed, beside, hows_of
from levelhead.exchange.printed.made import contents_of
from levelhead.exchange.printed.since import Beside
from levelhead.exchange.sheet.values import Sheet
from levelhead.exchange.sheets.pack import PLANS
from levelhead.planning.check import Check
from levelhead.show.history.printed import How, Printed
from levelhead.web.live.worker import check_of, trial_of

__all__ = ["Made", "Pages", "Press", "beside_printed", "sheets_made"]

Pages = Mapping[str, tuple[str, ...]]

_MOST: Final = 32
_ONE: Final = "Of one finding ways out were not tried."


class Press(Protocol):
    """What prints."""

    def prepared(self, sheets: Sequence[Sheet], size: str) -> Any:
        """Sheets as plain data that another process may set, pictures drawn."""

    def pages(self, sheets: Sequence[Sheet], size: str) -> Pages:
        """By the name of each sheet, what tells the content of its pages."""

    def pdf(
        self, sheets: Any, only: Mapping[str, Sequence[int]], is_wanted: Callable[[], bool]
    ) -> tuple[bytes, Pages]:
        """A PDF of prepared sheets, of some of them these pages only; and all their pages.

        ``is_wanted`` is asked now and then: what nobody waits for is given up.
        """


@dataclass(frozen=True, slots=True)
class Made:
    """Sheets that were made: prepared for the press, and by name the text that tells each."""

    prepared: Any
    contents: Mapping[str, str]


def beside_printed(key: str, press: Press, printed: Sequence[Printed], size: str) -> Beside:
    """What was printed as the newest state has it, on a size of paper.

    A sheet that tells ways out is left out until all of them were tried.
    """
    known = [each for each in printed if each.name in PLANS][:_MOST]
    if any(PLANS[each.name].has_trials for each in known) and check_of(key)[1]:
        known = [each for each in known if not PLANS[each.name].has_trials]
    if not known:
        return Beside({})
    return beside(known, _sheets(key, hows_of(known, size)), press.pages, size)


def sheets_made(key: str, press: Press, hows: Mapping[str, How], before: Sequence[Sheet]) -> Made:
    """Sheets of the newest state, by their names how they are printed, and others before them."""
    sheets = [*_sheets(key, hows).values()]
    size = next((how.page for how in hows.values()), "a4")
    return Made(press.prepared([*before, *sheets], size), contents_of(sheets))


def _sheets(key: str, hows: Mapping[str, How]) -> dict[str, Sheet]:
    """Sheets of the newest state; one that tells ways out says how many were not tried yet."""
    if not any(PLANS[name].has_trials for name in hows):
        judgement = trial_of(key).judgement
        return as_printed(Check(judgement.verdict, judgement.findings, (), trial_of(key)), hows)
    check, untried = check_of(key)
    sheets = as_printed(check, hows)
    return {name: _with_untried(sheet, untried) for name, sheet in sheets.items()}


def _with_untried(sheet: Sheet, count: int) -> Sheet:
    if not count or not PLANS[sheet.name].has_trials:
        return sheet
    words = f"Of {count} findings ways out were not tried." if count > 1 else _ONE
    return replace(sheet, note=" ".join(each for each in (sheet.note, words) if each))
