"""Edits: the only way a show changes. Remedies, undo, imports, plans and faults are lists of them.

>>> from levelhead.show.model import Item, Show
>>> before = Show("Hall", items={"desk": Item("desk", "mixer-analogue-16")})
>>> after, back = apply(before, [Set("desk.ch1.gain", "35 dB"), Rename("desk", "mixer")])
>>> dict(after.settings)
{'mixer.ch1.gain': '35 dB'}
>>> apply(after, back)[0] == before
True
"""

from __future__ import annotations

from levelhead.show.edits.applying import EDITS, apply
from levelhead.show.edits.base import Edit
from levelhead.show.edits.item_fields import (
    Aim,
    Annotate,
    Hang,
    Move,
    Power,
    Prioritise,
    Relabel,
    Retype,
    SetFigure,
    StandNear,
    SwitchOn,
)
from levelhead.show.edits.items import AddItem, Remove, Rename
from levelhead.show.edits.links import Lay, Plug, Recable, SetPins, Unplug
from levelhead.show.edits.measured import SetMeasured
from levelhead.show.edits.rooms import SetArea, SetRoom
from levelhead.show.edits.settings import Lock, Retitle, Set, SetStock, Unlock
from levelhead.show.edits.sources import AddSource, ChangeSource, RemoveSource, RenameSource
from levelhead.show.edits.supplies import AddSupply, ChangeSupply, RemoveSupply, RenameSupply

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
    "StandNear",
    "SwitchOn",
    "Unlock",
    "Unplug",
    "apply",
]
