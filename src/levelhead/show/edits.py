"""Edits: the only way a show changes. Remedies, undo, imports, plans and faults are lists of them.

>>> from levelhead.show.model import Item
>>> before = Show("Hall", items={"desk": Item("desk", "mixer-analogue-16")})
>>> after, back = apply(before, [Set("desk.ch1.gain", "35 dB"), Rename("desk", "mixer")])
>>> dict(after.settings)
{'mixer.ch1.gain': '35 dB'}
>>> apply(after, back)[0] == before
True
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from levelhead.errors import EditError
from levelhead.show.edit_base import Edit
from levelhead.show.item_edits import AddItem, Remove, Rename
from levelhead.show.item_field_edits import (
    Aim,
    Annotate,
    Hang,
    Move,
    Power,
    Prioritise,
    Relabel,
    Retype,
    SetFigure,
    SwitchOn,
)
from levelhead.show.link_edits import Lay, Plug, Recable, SetPins, Unplug
from levelhead.show.measured_edits import SetMeasured
from levelhead.show.model import Show
from levelhead.show.room_edits import SetArea, SetRoom
from levelhead.show.setting_edits import Lock, Retitle, Set, SetStock, Unlock
from levelhead.show.source_edits import AddSource, ChangeSource, RemoveSource, RenameSource
from levelhead.show.supply_edits import AddSupply, ChangeSupply, RemoveSupply, RenameSupply

__all__ = [
    "EDITS",
    "AddItem",
    "AddSource",
    "AddSupply",
    "Aim",
    "Annotate",
    "ChangeSource",
    "ChangeSupply",
    "Edit",
    "Hang",
    "Lay",
    "Lock",
    "Move",
    "Plug",
    "Power",
    "Prioritise",
    "Recable",
    "Relabel",
    "Remove",
    "RemoveSource",
    "RemoveSupply",
    "Rename",
    "RenameSource",
    "RenameSupply",
    "Retitle",
    "Retype",
    "Set",
    "SetArea",
    "SetFigure",
    "SetMeasured",
    "SetPins",
    "SetRoom",
    "SetStock",
    "SwitchOn",
    "Unlock",
    "Unplug",
    "apply",
]

EDITS: Final[tuple[type[Edit], ...]] = (
    Plug, Unplug, Recable, SetPins, Lay,
    Set, Lock, Unlock,
    AddItem, Remove, Rename, Retype, Relabel, Annotate, Prioritise, Move, Aim, Hang, SwitchOn,
    Power, SetFigure,
    AddSource, RemoveSource, ChangeSource, RenameSource,
    AddSupply, RemoveSupply, ChangeSupply, RenameSupply,
    SetStock, SetRoom, SetArea, SetMeasured, Retitle,
)  # fmt: skip
"""Every kind of edit there is."""


def apply(show: Show, edits: Iterable[Edit]) -> tuple[Show, tuple[Edit, ...]]:
    """Apply edits in order, all or none.

    Parameters
    ----------
    show : Show
        The show before; it stays as it is.
    edits : iterable of Edit
        In the order in which they happen.

    Returns
    -------
    tuple of Show and tuple of Edit
        The show after, and the edits that bring the former one back.

    Raises
    ------
    EditError
        One of them does not fit; its number is told if there are several.
    """
    listed = tuple(edits)
    back: tuple[Edit, ...] = ()
    for number, edit in enumerate(listed, start=1):
        try:
            show, inverse = edit.applied(show)
        except EditError as error:
            raise (
                error.at(f"edit {number} of {len(listed)}") if len(listed) > 1 else error
            ) from None
        back = inverse + back
    return show, back
