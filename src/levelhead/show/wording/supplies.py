"""Edits of supplies in the crew's words."""

from __future__ import annotations

from levelhead.show.edits import AddSupply, ChangeSupply, RemoveSupply, RenameSupply
from levelhead.show.model import Show, Supply
from levelhead.show.wording.base import edit_words, label_of

__all__: list[str] = []


@edit_words.register
def _(edit: AddSupply, show: Show) -> str:
    del show
    return f"Add supply {_outlet(edit.supply)}"


@edit_words.register
def _(edit: RemoveSupply, show: Show) -> str:
    return f"Remove supply {label_of(show.supplies.get(edit.supply), edit.supply)}"


@edit_words.register
def _(edit: ChangeSupply, show: Show) -> str:
    del show
    return f"Change supply {_outlet(edit.supply)}"


def _outlet(supply: Supply) -> str:
    circuit = "" if supply.circuit is None else f", circuit {supply.circuit}"
    earth = "" if supply.earth == "sound" else ", protective earth lost"
    told = (
        "" if supply.reel is None else f", reel {supply.reel}",
        "" if supply.rated is None else f", rated {supply.rated}",
        "" if supply.rated_wound is None else f", {supply.rated_wound} wound up",
        "" if supply.tails is None else f", bare ends joined by {supply.tails}",
    )
    return f"{label_of(supply, supply.id)}: outlet {supply.outlet}{circuit}{earth}{''.join(told)}"


@edit_words.register
def _(edit: RenameSupply, show: Show) -> str:
    return f"Rename supply {label_of(show.supplies.get(edit.supply), edit.supply)} to {edit.new_id}"
