"""Edits applied to a show, one after another, with those that take them back."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from levelhead.errors import EditError
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
from levelhead.show.model import Show

__all__ = ["EDITS", "apply"]

EDITS: Final[tuple[type[Edit], ...]] = (
    Plug, Unplug, Recable, SetPins, Lay,
    Set, Lock, Unlock,
    AddItem, Remove, Rename, Retype, Relabel, Annotate, Prioritise, Move, Aim, Hang, SwitchOn,
    StandNear, Power, SetFigure,
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
