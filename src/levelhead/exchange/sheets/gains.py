"""The gain sheet: every control of the plan, drawn where it stands and where it goes."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from levelhead.exchange.paperwork.work import Paperwork
from levelhead.exchange.sheet.plan import SheetPlan
from levelhead.exchange.sheet.values import Column
from levelhead.gear.plan import ControlPlan
from levelhead.gear.positions import face_of, hand_words
from levelhead.planning.gains.planned.plan import Position
from levelhead.planning.gains.planned.words import held_words
from levelhead.quantity.typography import with_minus
from levelhead.rig.settings import UNKNOWN, read_setting

__all__ = ["GAINS", "PLANNED", "gain_cells", "moved_words"]

PLANNED: Final = "Settings are those of the gain plan, not those in the show file."
COLUMNS: Final = (
    Column("control", "Control", 3.0),
    Column("now", "Now", 1.4),
    Column("plan", "Plan", 1.4),
    Column("hand", "Where a hand puts it", 3.2),
    Column("face", "Drawn", 1.0, "centre", is_drawn=True),
    Column("note", "Held by", 4.4),
    Column("strip", "Strip", 1.0),
)
_DRAWN: Final = "Drawn: the ring is now, the disc and the pointer are the plan."


def moved_words(work: Paperwork) -> str:
    """How many controls the plan moves, against what the show has."""
    count = len(work.gain_plan.edits)
    if count == 0:
        return "Every control stands there already."
    return f"{count} {'control stands' if count == 1 else 'controls stand'} elsewhere in the show."


def _rows(work: Paperwork) -> Iterator[dict[str, str]]:
    for each in work.gain_plan.positions:
        strip = each.label.rpartition(", ")[0].replace(", ", " ")
        yield {"strip": strip, **gain_cells(work.rig.controls[each.control], each)}


def gain_cells(plan: ControlPlan, position: Position) -> dict[str, str]:
    """What paper and screen say of one control: now, planned, by the clock, drawn, held by."""
    cells = {
        "control": position.label.rpartition(", ")[2],
        "now": with_minus(position.now),
        "plan": with_minus(position.planned),
        "hand": with_minus(_hand(plan, position.planned)),
        "note": with_minus(held_words(position)),
    }
    return cells | _drawn(plan, position)


def _hand(plan: ControlPlan, planned: str) -> str:
    """Where it goes by the clock or the marks; a switch needs no more than its name."""
    words = hand_words(plan, read_setting(planned, plan, where=plan.label))
    return "" if words == planned else words


def _drawn(plan: ControlPlan, each: Position) -> dict[str, str]:
    now = None if each.now == UNKNOWN else read_setting(each.now, plan, where=plan.label)
    face = face_of(plan, now, read_setting(each.planned, plan, where=plan.label))
    return {} if face is None else {"face": face.to_text()}


GAINS: Final = SheetPlan(
    name="gains",
    title="Gains",
    about="every gain, pad, fader and amplifier control: now, planned, and drawn",
    columns=COLUMNS,
    rows=_rows,
    note=lambda work: f"{PLANNED} {moved_words(work)} {work.gain_plan.anchor} {_DRAWN}",
    group_by="strip",
    has_ticks=True,
    is_on_request=True,
)
