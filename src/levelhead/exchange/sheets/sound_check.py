"""The sheet of the sound check: its steps in order, with a box to tick before each."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from levelhead.exchange.paperwork.work import Paperwork
from levelhead.exchange.sheet.plan import SheetPlan
from levelhead.exchange.sheet.values import Column
from levelhead.exchange.sheets.gains import PLANNED, moved_words
from levelhead.exchange.sound_check import SoundCheck, Step, sound_check
from levelhead.quantity.typography import with_minus

__all__ = ["SOUND_CHECK"]

COLUMNS: Final = (
    Column("step", "Step", 0.6, "right"),
    Column("do", "Do", 8.4),
    Column("meter", "Meter reads", 1.7),
    Column("between", "Right from", 1.5),
    Column("part", "Part", 1.0),
)


def _order(work: Paperwork) -> SoundCheck:
    return sound_check(work.planned, work.gain_plan.meters, work.gain_plan.positions)


def _rows(work: Paperwork) -> Iterator[dict[str, str]]:
    for heading, steps in _order(work).by_part():
        for number, step in steps:
            yield {
                "part": heading,
                "step": str(number),
                "do": with_minus(_do(step)),
                "meter": with_minus(step.meter),
                "between": with_minus(step.between),
            }


def _do(step: Step) -> str:
    """What is done; the caution of a single source stands with it."""
    return f"{step.do} {step.caution}" if step.part == "sources" and step.caution else step.do


def _note(work: Paperwork) -> str:
    return (
        f"{PLANNED} {moved_words(work)} A meter is right within the range beside it; outside it, "
        "turn the gain, not the fader."
    )


SOUND_CHECK: Final = SheetPlan(
    name="sound-check",
    title="Order of sound check",
    about="what to do from power up to the loudest moment, with what every meter should read",
    columns=COLUMNS,
    rows=_rows,
    note=_note,
    group_by="part",
    has_ticks=True,
    cautions=lambda work: _order(work).cautions,
    is_on_request=True,
)
