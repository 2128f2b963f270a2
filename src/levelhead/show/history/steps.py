"""Steps of the journal: what was changed, by whom, and the way back."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import datetime
from typing import Literal, TypeAlias

from levelhead.errors import EditError
from levelhead.show.edit_json import edit_from_json, edit_to_json
from levelhead.show.edits import Edit

__all__ = ["Change", "Step", "StepKind", "change_from_text", "change_to_text"]

StepKind: TypeAlias = Literal["do", "undo", "redo"]

Change: TypeAlias = tuple[Edit, ...] | str
"""Edits in their order, or the whole text of the file where somebody typed in that."""


@dataclass(frozen=True, slots=True)
class Step:
    """One step. ``back`` undoes ``change``; ``of`` is the step that an undo or redo speaks of.

    ``ask`` is the name that whoever asked for it gave it: asked again, it is not taken again.
    """

    number: int
    at: datetime
    person: str
    kind: StepKind
    change: Change
    back: Change
    of: int | None = None
    ask: str = ""


def change_to_text(change: Change) -> str:
    """A change as the journal writes it.

    Examples
    --------
    >>> from levelhead.show.edits import Lock
    >>> change_to_text((Lock("desk.fader"),))
    '[{"edit":"lock","address":"desk.fader"}]'
    >>> change_from_text(change_to_text("levelhead: 1"))
    'levelhead: 1'
    """
    content = (
        {"text": change} if isinstance(change, str) else [edit_to_json(edit) for edit in change]
    )
    return json.dumps(content, ensure_ascii=False, separators=(",", ":"))


def change_from_text(text: str) -> Change:
    """A change out of the journal.

    Raises
    ------
    ValueError
        It is neither a list of edits nor a text.
    """
    content = json.loads(text)
    if isinstance(content, dict) and isinstance(content.get("text"), str):
        return str(content["text"])
    try:
        return tuple(edit_from_json(each) for each in content)
    except (EditError, TypeError) as error:
        raise ValueError(str(error)) from error
