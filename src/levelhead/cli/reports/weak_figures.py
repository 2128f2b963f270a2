"""``levelhead gear --weak``: the figures to look up or measure first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from levelhead.cli.reports.columns import paragraph
from levelhead.planning.weak_figures import WeakFigure

__all__ = ["weak_page"]

_TURNS: Final = 5
_HEAVIEST: Final = 10
_INDENT: Final = " " * (_TURNS + _HEAVIEST + 2)
_MOST: Final = 8  # figures that fill a screen; who has more measures these first
_NAMED: Final = 3  # findings named for each figure


def weak_page(weak: Sequence[WeakFigure], shows: Sequence[str]) -> str:
    """A figure with its range and source, how many verdicts hang on it, and which it turns."""
    lines = paragraph(f"Figures of the gear book that most often turn a verdict in: {_said(shows)}")
    if not weak:
        return "\n".join([*lines, "", "No verdict hangs on a figure of the gear book."])
    lines += ["", f"{'turns':>{_TURNS}}{'heaviest':>{_HEAVIEST}}"]
    for each in weak[:_MOST]:
        lines += _lines(each)
    return "\n".join([*lines, "", *_foot(weak)])


def _said(shows: Sequence[str]) -> str:
    return "; ".join(shows) + "."


def _lines(weak: WeakFigure) -> Iterator[str]:
    counts = f"{len(weak.turns):>{_TURNS}}{len(weak.heaviest):>{_HEAVIEST}}  "
    yield from paragraph(f"{weak.type_id}: {weak.address}", first=counts, rest=_INDENT)
    value, low, high = weak.texts
    yield from paragraph(
        f"{value}, {low} to {high}, {weak.figure.source}", first=_INDENT, rest=_INDENT
    )
    if weak.turns:
        named = [f"{code} at {where} ({show})" for show, code, where in weak.turns[:_NAMED]]
        more = len(weak.turns) - len(named)
        named += [f"{more} more"] if more > 0 else []
        yield from paragraph(f"turns {'; '.join(named)}", first=_INDENT, rest=_INDENT)


def _foot(weak: Sequence[WeakFigure]) -> list[str]:
    """What the columns count, and what to do."""
    lines = paragraph(
        "turns: findings that a plausible value of this figure alone would turn; heaviest: "
        "findings whose greatest doubt about gear it is. Who performs is left out."
    )
    if len(weak) > _MOST:
        lines += paragraph(f"{len(weak) - _MOST} more figures: --json prints all.")
    first = next((each.address for each in weak if "." in each.address), None)
    if first is not None:  # a cable has no figures of its own in a show
        lines += paragraph(
            "Next: measure or look up the first on your unit, and write it under 'figures' of the "
            f"item: figures: {{{first}: ...}}"
        )
    return lines
