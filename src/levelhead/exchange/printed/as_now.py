"""Sheets as they would be printed now, in the way in which they were printed before."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TypeAlias

from levelhead.exchange.printed.since import Beside, is_as_made, made_of
from levelhead.exchange.sheet.values import Sheet
from levelhead.exchange.sheets.pack import PLANS, paper_pack
from levelhead.planning.check import Check
from levelhead.show.history.printed import How, Printed

__all__ = ["LayOut", "as_printed", "beside", "hows_of", "usual_how"]

LayOut: TypeAlias = Callable[[Sequence[Sheet], str], Mapping[str, tuple[str, ...]]]
"""What tells the content of each page of sheets on a size of paper."""


def usual_how(printed: Sequence[Printed]) -> How:
    """How the newest print was made."""
    found = [each for each in printed if each.pages]
    return max(found, key=lambda each: each.at).how if found else How()


def as_printed(check: Check, hows: Mapping[str, How]) -> dict[str, Sheet]:
    """Sheets of a checked show by name, each with its labels, ways and size of paper."""
    found: dict[str, Sheet] = {}
    for how in dict.fromkeys(hows.values()):
        names = [name for name, each in hows.items() if each == how]
        pack = paper_pack(check, names, page=how.page, grid=how.labels, paths=how.paths)
        found.update({sheet.name: sheet for sheet in pack})
    return {name: found[name] for name in hows}


def hows_of(printed: Sequence[Printed], page: str | None = None) -> dict[str, How]:
    """By name how sheets that we know were printed; all on one size of paper, if it is given."""
    return {each.name: how_on(each.how, page) for each in printed if each.name in PLANS}


def how_on(how: How, page: str | None) -> How:
    """The same on a size of paper; on another than before, labels are those it usually has."""
    return how if page in (None, how.page) else How(page or how.page, None, how.paths)


def beside(
    printed: Sequence[Printed],
    sheets: Mapping[str, Sheet],
    lay_out: LayOut,
    page: str | None = None,
) -> Beside:
    """What printed sheets say now; those that say something else are laid out in pages.

    Parameters
    ----------
    page
        Size of the paper now; what was printed on another one has no pages to exchange.
    """
    made = {name: made_of(sheet) for name, sheet in sheets.items()}
    stale = [
        each
        for each in printed
        if each.name in made
        and each.pages
        and page in (None, each.how.page)
        and not is_as_made(each, made[each.name])
    ]
    pages: dict[str, tuple[str, ...]] = {}
    for size in dict.fromkeys(each.how.page for each in stale):
        pages.update(lay_out([sheets[e.name] for e in stale if e.how.page == size], size))
    return Beside(made, pages)
