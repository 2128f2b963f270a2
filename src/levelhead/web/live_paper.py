"""Sheets of an open show, where it is solved: what they say, and printed. Tasks of the worker."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Final, TypeAlias

from levelhead.exchange.paper_made import contents_of
from levelhead.exchange.sheet import Sheet
from levelhead.exchange.sheets import PLANS, check_for, paper_pack
from levelhead.exchange.since_printed import Made, made_of
from levelhead.web.live_worker import trial_of

__all__ = ["Press", "made", "pressed"]

Press: TypeAlias = Callable[[Sequence[Sheet]], bytes]
"""What makes a PDF of sheets."""

_MOST: Final = 32


def made(key: str, names: Sequence[str]) -> dict[str, Made]:
    """Sheets of the newest state, as far as they are compared with printed ones."""
    return {sheet.name: made_of(sheet) for sheet in _pack(key, names)}


def _pack(key: str, names: Sequence[str]) -> tuple[Sheet, ...]:
    """Sheets of the newest state; names that no program of ours prints are left out."""
    known = [name for name in names if name in PLANS][:_MOST]
    if not known:
        return ()
    trial = trial_of(key)
    return paper_pack(check_for(known, trial.show, trial.book), known)


def pressed(
    key: str, press: Press, names: Sequence[str], before: Sequence[Sheet]
) -> tuple[bytes, Mapping[str, str]]:
    """A PDF of some sheets, others before them; and what stands on each.

    Raises
    ------
    PaperError
        The typesetter refuses.
    """
    sheets = _pack(key, names)
    return press([*before, *sheets]), contents_of(sheets)
