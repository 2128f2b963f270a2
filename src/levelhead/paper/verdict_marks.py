"""Verdicts on paper: the shapes of the screen in black, and the words that stand with them."""

from __future__ import annotations

from functools import cache

from levelhead.drawing.marks import MARKS
from levelhead.exchange import Sheet

__all__ = ["heading_words", "printed_marks"]


@cache
def printed_marks() -> dict[str, str]:
    """The shape of each verdict as a picture of its own, black with white cuts."""
    return {
        verdict: (
            '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 24 24" color="#000">'
            f"<style>.cut {{ stroke: #fff }}</style>{''.join(mark.shape)}</svg>"
        )
        for verdict, mark in MARKS.items()
    }


def heading_words(sheet: Sheet, label: str | None) -> str:
    """The heading of a group; a verdict says what it means."""
    column = sheet.grouping
    mark = MARKS.get(label or "") if column is not None and column.is_verdict else None
    return (label or "") if mark is None else f"{mark.word}: {mark.meaning}"
