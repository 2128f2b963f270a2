"""A sheet before it is filled: its columns, how rows are grouped and sorted, and their source."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Final

from levelhead.chain.solution import Solution
from levelhead.exchange.paperwork.work import Paperwork
from levelhead.exchange.sheet.pictured import Pictured
from levelhead.exchange.sheet.values import Column, Row, Sheet, SheetHead
from levelhead.show.fingerprint import fingerprint

__all__ = ["SheetPlan", "filled", "sheet_head"]

Rows = Callable[[Paperwork], Iterable[Row]]
Words = Callable[[Paperwork], str]

_NUMBER: Final = re.compile(r"(\d+)")


@dataclass(frozen=True, slots=True)
class SheetPlan:
    """What a sheet is, apart from any show.

    ``about`` says in a line what the sheet is for; ``note`` stands on it above the rows.
    ``sort_by`` names fields: numbers in them count as numbers, so that channel 10 comes after
    channel 9; without any, rows stay as they come. ``cautions`` stand on it in a frame.
    ``is_label`` makes labels of the rows. One that ``has_trials`` tells remedies and what unknown
    controls lead to, each of them tried, which takes its time in a show with many mistakes. One
    that ``is_on_request`` is printed only where somebody names it.
    """

    name: str
    title: str
    about: str
    columns: tuple[Column, ...]
    rows: Rows
    note: Words | None = None
    group_by: str | None = None
    sort_by: tuple[str, ...] = ()
    has_ticks: bool = False
    is_wide: bool | None = None
    is_label: bool = False
    has_trials: bool = False
    is_on_request: bool = False
    pictures: Callable[[Paperwork], tuple[Pictured, ...]] | None = None
    has_words_only_in_lists: bool = False
    nothing: str = "Nothing to list."
    cautions: Callable[[Paperwork], tuple[str, ...]] | None = None


def sheet_head(solution: Solution) -> SheetHead:
    """Show, date, version and fingerprint for the head of a sheet."""
    show = solution.rig.show
    return SheetHead(show.name, show.date, show.version, fingerprint(show))


def filled(plan: SheetPlan, work: Paperwork, head: SheetHead | None = None) -> Sheet:
    """The sheet of a plan with the rows of a show."""
    rows = list(plan.rows(work))
    if plan.sort_by:
        rows.sort(key=lambda row: [_natural(row, field) for field in plan.sort_by])
    return Sheet(
        name=plan.name,
        title=plan.title,
        head=head or sheet_head(work.check.trial.solution),
        columns=plan.columns,
        rows=tuple(rows),
        note=None if plan.note is None else plan.note(work),
        cautions=() if plan.cautions is None else plan.cautions(work),
        group_by=plan.group_by,
        has_ticks=plan.has_ticks,
        is_wide=plan.is_wide,
        nothing=plan.nothing,
        pictures=() if plan.pictures is None else plan.pictures(work),
        has_words_only_in_lists=plan.has_words_only_in_lists,
    )


def _natural(row: Mapping[str, str], field: str) -> list[tuple[int, float, str]]:
    """A key by which ``ch10`` comes after ``ch9``."""
    parts = _NUMBER.split(row.get(field, "").casefold())
    return [(0, float(part), "") if part.isdigit() else (1, 0.0, part) for part in parts if part]
