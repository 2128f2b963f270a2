"""Messages of a page that change the show: what is in them, refused where it is of another kind."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, Final

from levelhead.errors import EditError
from levelhead.show.edit_json import edit_from_json
from levelhead.show.edits import Edit

if TYPE_CHECKING:
    from levelhead.exchange.things.edits import Typing

__all__ = ["MOST_CELLS", "Message", "cells_of", "edits_of", "number_of", "refusal", "table_edits"]

MOST_CELLS: Final = 4096  # of one paste
MOST_EDITS: Final = 2048
Message = Mapping[str, Any]


def table_edits(message: Message, typing: Typing) -> list[Edit]:
    """Edits of a field, a new row or a row taken away, in one of the tables of texts."""
    table = text_of(message, "table")
    match message.get("do"):
        case "add":
            return typing.added(table, texts_of(message))
        case "drop":
            return typing.dropped(table, text_of(message, "key"))
    return typing.changed(table, *(text_of(message, name) for name in ("key", "field", "text")))


def edits_of(message: Message) -> list[Edit]:
    """Edits as they were sent."""
    given = message.get("edits")
    if not isinstance(given, list) or len(given) > MOST_EDITS:
        raise refusal("no list of edits", f"up to {MOST_EDITS} edits")
    return [edit_from_json(each) for each in given]


def cells_of(message: Message) -> list[tuple[str, str, str]]:
    """Cells of the input list: row, column, text."""
    given = message.get("cells")
    if not isinstance(given, list) or not 0 < len(given) <= MOST_CELLS:
        raise refusal("no list of cells", f"up to {MOST_CELLS} cells")
    return [_cell(each) for each in given]


def _cell(given: object) -> tuple[str, str, str]:
    match given:
        case [str(row), str(column), str(text)]:
            return row, column, text
    raise refusal("not a cell", "row, column and text")


def text_of(message: Message, name: str) -> str:
    """A text by its name."""
    given = message.get(name)
    if not isinstance(given, str):
        raise refusal(f"no text {name!r}", "a text")
    try:
        given.encode()
    except UnicodeEncodeError:  # half of a surrogate pair: JSON can carry it, a file cannot
        raise refusal(f"a text {name!r} that cannot be kept", "characters") from None
    return given


def texts_of(message: Message) -> list[str]:
    """The texts of a new row."""
    given = message.get("texts")
    if not isinstance(given, list) or not all(isinstance(each, str) for each in given):
        raise refusal("no list of texts", "texts of the new row")
    return given


def number_of(message: Message, name: str) -> int:
    """A whole number by its name."""
    given = message.get(name)
    if not isinstance(given, int) or isinstance(given, bool):
        raise refusal(f"no number {name!r}", "the number of a step")
    return given


def refusal(what: str, expected: str) -> EditError:
    """The error of a message that no page of ours sends."""
    return EditError(what, where="page", expected=expected, remedy="Load the page again.")
