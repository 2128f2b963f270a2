"""A free row whose source says it all: read as the line of a band's list that it is."""

from __future__ import annotations

from levelhead.errors import LevelheadError
from levelhead.exchange.lists import plan_list, read_list
from levelhead.exchange.lists.desks import desks_of
from levelhead.exchange.paperwork.input_rows import InputRow
from levelhead.exchange.rows.places import CHANNEL
from levelhead.rig.model import Rig
from levelhead.show.edits import Edit, Plug

__all__ = ["edits_of_line"]


def edits_of_line(rig: Rig, row: InputRow, text: str) -> tuple[Edit, ...]:
    """What "bass DI" or "OH L" brings into a row, with its box, phantom power and gain.

    Nothing where the words leave a question, or mean something for another place: then gear has to
    be told.
    """
    number = CHANNEL.fullmatch(row.id.removeprefix(f"{row.item}."))
    desk = next(iter(desks_of(rig.show, rig.book)), None)
    if number is None or desk is None or desk.item != row.item:
        return ()
    try:
        read = read_list(f"{number[1]} {text}", book=rig.book)
        plan = plan_list(read, rig.show, book=rig.book)
    except LevelheadError:
        return ()
    plugs = [edit.link for edit in plan.edits if isinstance(edit, Plug)]
    own = {address for address, _ in row.ports}
    is_here = any(own & set(link.ends.values()) for link in plugs)
    asks = read.questions or plan.questions or plan.left
    return plan.edits if is_here and len(read.channels) == 1 and not asks else ()
