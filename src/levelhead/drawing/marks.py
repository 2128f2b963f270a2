"""How a verdict looks: shape + word + colour, told apart without colour and in grey print.

The colour comes from the style sheet, by class; the shape and the word stand alone.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from markupsafe import Markup

from levelhead.drawing.svg import element


@dataclass(frozen=True, slots=True)
class Mark:
    """The look of one verdict."""

    word: str
    meaning: str
    shape: tuple[Markup, ...]


def _solid(outline: str) -> Markup:
    return element("path", d=outline, fill="currentColor")


def _cut(line: str) -> Markup:
    """A line cut out of a solid shape, in the colour of the ground."""
    return element(
        "path", d=line, class_="cut", fill="none", stroke_width=3, stroke_linecap="round"
    )


# All shapes fill the same square of 24 units.
DISC: Final = _solid("M12 1.5a10.5 10.5 0 1 0 0 21a10.5 10.5 0 1 0 0-21z")
DIAMOND: Final = element(
    "path", d="M12 2.5L21.5 12L12 21.5L2.5 12z", fill="none", stroke="currentColor", stroke_width=3
)
SQUARE: Final = _solid("M2.5 2.5h19v19h-19z")
OCTAGON: Final = _solid("M7.5 1h9L23 7.5v9L16.5 23h-9L1 16.5v-9z")
RING: Final = element(
    "circle", cx=12, cy=12, r=9.5, fill="none", stroke="currentColor", stroke_width=2.5
)

MARKS: Final = {
    "fine": Mark("Fine", "does the job", (DISC, _cut("M7 12.5l3.5 3.5L17 8.5"))),
    "care": Mark(
        "Care",
        "works while the named condition holds",
        (DIAMOND, element("circle", cx=12, cy=12, r=2.5, fill="currentColor")),
    ),
    "fails": Mark("Fails", "will not do the job", (SQUARE, _cut("M8 8l8 8M16 8l-8 8"))),
    "harm": Mark(
        "Harm", "people or gear can be hurt", (OCTAGON, _cut("M12 6v7.5"), _cut("M12 18v.01"))
    ),
    "depends": Mark(
        "Depends", "turns on something not yet known", (RING, _solid("M12 2.5a9.5 9.5 0 0 0 0 19z"))
    ),
}
WORST_FIRST: Final = ("harm", "fails", "depends", "care", "fine")


def mark_of(verdict: str) -> Mark:
    """The look of a verdict; one we do not know reads as open, never as fine."""
    return MARKS.get(verdict, MARKS["depends"])


def badge(verdict: str) -> Markup:
    """The shape alone; the word always stands beside it."""
    return element(
        "svg",
        *mark_of(verdict).shape,
        class_="badge",
        viewBox="0 0 24 24",
        aria_hidden="true",
        focusable="false",
    )
