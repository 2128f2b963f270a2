"""The show: its model, its file, its edits and their words."""

from __future__ import annotations

from levelhead.show.addresses import Address, expand_range, split_address
from levelhead.show.document import ShowDocument, load_show, new_document, parse_show, save_show
from levelhead.show.edit_json import edit_from_json, edit_to_json
from levelhead.show.edits import Edit, apply
from levelhead.show.fingerprint import fingerprint
from levelhead.show.model import Cable, Item, Link, Place, Show, Source, Supply
from levelhead.show.schema import json_schema
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
