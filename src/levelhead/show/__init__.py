"""The show: its model, its file, its edits and their words.

- ``model`` (the values) with ``rooms``, ``measured``, ``mains``, ``beside``; ``checks`` (what each
  may hold), ``addresses``, ``lengths``, ``names``; ``fingerprint``.
- ``edits`` (the only way a show changes), ``edit_json``, ``wording``; ``brought`` (what is set at
  some strips, at others).
- ``document``: a file with its show; ``read`` and ``written`` over ``yaml``; ``shipped`` examples.
- ``history`` (what happened, beside the file) and ``opened`` (at work, for several people).
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    from levelhead.show.addresses import Address, expand_range, split_address
    from levelhead.show.document import ShowDocument, load_show, new_document, parse_show, save_show
    from levelhead.show.edit_json import edit_from_json, edit_to_json
    from levelhead.show.edits import Edit, apply
    from levelhead.show.fingerprint import fingerprint
    from levelhead.show.model import Cable, Item, Link, Place, Show, Source, Supply
    from levelhead.show.read.schema import json_schema
    from levelhead.show.wording import sentence

__all__ = [
    "Address",
    "Cable",
    "Edit",
    "Item",
    "Link",
    "Place",
    "Show",
    "ShowDocument",
    "Source",
    "Supply",
    "apply",
    "edit_from_json",
    "edit_to_json",
    "expand_range",
    "fingerprint",
    "json_schema",
    "load_show",
    "new_document",
    "parse_show",
    "save_show",
    "sentence",
    "split_address",
]

_ELSEWHERE: Final = {
    "Address": "addresses",
    "expand_range": "addresses",
    "split_address": "addresses",
    "ShowDocument": "document",
    "load_show": "document",
    "new_document": "document",
    "parse_show": "document",
    "save_show": "document",
    "edit_from_json": "edit_json",
    "edit_to_json": "edit_json",
    "Edit": "edits",
    "apply": "edits",
    "fingerprint": "fingerprint",
    "Cable": "model",
    "Item": "model",
    "Link": "model",
    "Place": "model",
    "Show": "model",
    "Source": "model",
    "Supply": "model",
    "json_schema": "read.schema",
    "sentence": "wording",
}


def __getattr__(name: str) -> Any:
    """Import what is used first when it is used: a question needs no YAML and no schema."""
    if name not in _ELSEWHERE:
        raise AttributeError(f"module 'levelhead.show' has no attribute {name!r}")
    return getattr(import_module(f"levelhead.show.{_ELSEWHERE[name]}"), name)
