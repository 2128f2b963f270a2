"""Grids of adhesive labels, and of labels to cut, in millimetres."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from levelhead.errors import PaperError

__all__ = ["GRIDS", "SIZES_MM", "LabelGrid", "grid_for"]

SIZES_MM: Final = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
_SLACK_MM: Final = 0.5  # grids that fill the page are told to a tenth


@dataclass(frozen=True, slots=True)
class LabelGrid:
    """Where labels stand on a page, all equal. ``step`` is from one label to the next. [mm]

    Raises
    ------
    PaperError
        The labels do not fit the page, or lie over one another.
    """

    name: str
    page: str
    columns: int
    rows: int
    width_mm: float
    height_mm: float
    left_mm: float
    top_mm: float
    step_right_mm: float
    step_down_mm: float

    def __post_init__(self) -> None:
        """Refuse labels beyond the page."""
        page_width_mm, page_height_mm = SIZES_MM[self.page]
        right_mm = self.left_mm + (self.columns - 1) * self.step_right_mm + self.width_mm
        bottom_mm = self.top_mm + (self.rows - 1) * self.step_down_mm + self.height_mm
        is_beyond = right_mm > page_width_mm + _SLACK_MM or bottom_mm > page_height_mm + _SLACK_MM
        is_over = self.step_right_mm < self.width_mm or self.step_down_mm < self.height_mm
        if is_beyond or is_over:
            raise PaperError(
                f"labels that end at {right_mm:g} mm and {bottom_mm:g} mm",
                where=f"label grid '{self.name}'",
                expected=f"labels beside one another within {page_width_mm:g} x "
                f"{page_height_mm:g} mm",
                remedy="Measure the sheet again.",
            )

    @property
    def count(self) -> int:
        """Labels on a page."""
        return self.columns * self.rows


# Sizes that label sheets commonly have, common practice; measure yours before a large print.
# From the page's left and top edge: margin left, margin top, step to the right, step down.
GRIDS: Final = {
    grid.name: grid
    for grid in (
        LabelGrid("a4-21", "a4", 3, 7, 63.5, 38.1, 7.25, 15.15, 66.0, 38.1),
        LabelGrid("a4-24", "a4", 3, 8, 70.0, 37.0, 0.0, 0.5, 70.0, 37.0),
        LabelGrid("a4-40", "a4", 4, 10, 48.5, 25.4, 8.0, 21.5, 48.5, 25.4),
        LabelGrid("letter-20", "letter", 2, 10, 101.6, 25.4, 4.0, 12.7, 106.3, 25.4),
        LabelGrid("letter-30", "letter", 3, 10, 66.7, 25.4, 4.8, 12.7, 69.85, 25.4),
    )
}
_USUAL: Final = {"a4": "a4-21", "letter": "letter-30"}


def grid_for(page: str, name: str | None = None) -> LabelGrid:
    """The grid of a name, or the usual one of a page size.

    Raises
    ------
    PaperError
        No grid has that name, or it is for another page size.
    """
    grid = GRIDS.get(name or _USUAL[page])
    if grid is None or grid.page != page:
        names = [each.name for each in GRIDS.values() if each.page == page]
        raise PaperError(
            f"no label grid '{name}' for {page} paper",
            where="labels",
            expected=f"one of {', '.join(names)}",
            remedy="Take the one whose count of labels is that of your sheet; print it on plain "
            "paper first and hold it against the light.",
        )
    return grid
