"""The drawing of the signal flow: 60 boxes and 150 leads from chance, and what a turned gain takes.

Laid out and written as SVG after every edit, on the page of everybody who looks at it.
"""

from __future__ import annotations

import random
from typing import Final

from benchmarks.harness import Call, benchmark
from benchmarks.shows import book_for, show_text
from levelhead.drawing.flow.layout import layout_of
from levelhead.drawing.flow.model import Box, Chart, Lead, Row
from levelhead.drawing.flow.sheet import flow_on_page, flow_sheet
from levelhead.rig.build import build_rig
from levelhead.show.document import parse_show
from levelhead.show.edits import Set
from levelhead.web.live.levels import levels
from levelhead.web.live.looks import Look, solved

BOXES: Final = 60
LEADS: Final = 150
CHANNELS: Final = 128
GROUP: Final = f"drawing: {BOXES} boxes, {LEADS} leads"
LIVE: Final = f"level picture: {CHANNELS} channels"


def chart() -> Chart:
    """Mostly forward, four returns; every lead has sockets of its own."""
    dice = random.Random(1)  # noqa: S311 - a rig from chance
    given: dict[tuple[int, str], int] = {}
    leads = []

    def socket(box: int, side: str) -> tuple[str, int]:
        row = given[box, side] = given.get((box, side), -1) + 1
        return f"item-{box}", row

    for number in range(LEADS):
        one, other = sorted(dice.sample(range(BOXES), 2))
        if number % 37 == 36:
            one, other = other, one
        leads.append(Lead(f"lead-{number}", socket(one, "right"), socket(other, "left")))
    boxes = {
        f"item-{box}": Box(
            f"item-{box}",
            f"Item {box}",
            ("kind of gear",),
            _rows("in", given.get((box, "left"), -1) + 1),
            _rows("out", given.get((box, "right"), -1) + 1),
        )
        for box in range(BOXES)
    }
    return Chart(boxes, tuple(leads))


def _rows(word: str, count: int) -> tuple[Row, ...]:
    return tuple(Row(f"{word}{number}", f"{word} {number + 1}") for number in range(count))


@benchmark(group=GROUP, name="laid out and written", goal_s=0.020)
def whole() -> Call:
    """From boxes and leads to the drawing."""
    drawn = chart()
    return lambda: flow_sheet(drawn, layout_of(drawn), title="bench")


@benchmark(group=GROUP, name="laid out like the one before, for a page")
def again() -> Call:
    """After an edit: the order of the last drawing is kept."""
    drawn = chart()
    before = layout_of(drawn)
    return lambda: flow_on_page(drawn, layout_of(drawn, before), title="bench")


@benchmark(group=GROUP, name="written alone")
def written() -> Call:
    """The SVG."""
    drawn = chart()
    layout = layout_of(drawn)
    return lambda: flow_sheet(drawn, layout, title="bench")


@benchmark(group=LIVE, name="a gain turned, every point of the way told")
def turned() -> Call:
    """What a page asks for while a hand is on a control."""
    book = book_for(CHANNELS)
    show = parse_show(show_text(CHANNELS), "bench").show
    look = Look(solved(show, book, None), book)
    control = next(each for each in build_rig(show, book).controls if each.endswith("ch1.gain"))
    texts = iter(range(20, 10_000))

    def turn() -> object:
        value = f"{20 + next(texts) % 20} dB"
        return levels(look, "", "", None, [Set(control, value)])

    return turn
