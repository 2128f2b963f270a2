"""The gear book: all types known, shipped and the user's own. The one module of ``gear`` that reads files."""

from __future__ import annotations

import difflib
import hashlib
import json
from collections.abc import Iterable, Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any, Final

from pydantic import ValidationError

from levelhead.errors import GearError
from levelhead.gear.compile import compile_cable, compile_item
from levelhead.gear.model import RawFigure, TypeEntry
from levelhead.gear.plan import CablePlan, ItemPlan

__all__ = ["GearBook", "load_book"]

_ENTRIES: Final = Path(__file__).parent / "entries"
_COMPILED: Final = Path(__file__).parent / "book.json"


class GearBook:
    """Gear types by id. Entries are checked when first asked for, the whole book by the tests."""

    def __init__(self, raw: Mapping[str, dict[str, Any]]) -> None:
        self._raw = dict(raw)
        self._entries: dict[str, TypeEntry] = {}
        self._cables: dict[str, CablePlan] = {}
        self._plans: dict[tuple[str, str], ItemPlan] = {}

    @property
    def ids(self) -> tuple[str, ...]:
        """Ids of all types, in the order of the book."""
        return tuple(self._raw)

    def __contains__(self, type_id: str) -> bool:
        return type_id in self._raw

    def entry(self, type_id: str) -> TypeEntry:
        """The checked entry of a type, with what it is ``like`` filled in.

        Raises
        ------
        GearError
            No such type (the nearest ids are named), or the entry is not well formed.
        """
        if type_id not in self._entries:
            if type_id not in self._raw:
                raise self._unknown(type_id)
            self._entries[type_id] = self._checked(type_id)
        return self._entries[type_id]

    def cable(self, type_id: str) -> CablePlan:
        """Plan of a cable or adaptor; ``GearError`` when the type is none."""
        if type_id not in self._cables:
            entry = self.entry(type_id)
            if entry.ends is None:
                raise GearError(
                    f"'{type_id}' is no cable",
                    where="gear book",
                    expected="a cable or an adaptor",
                    remedy="List them with: levelhead gear --kind cable",
                )
            self._cables[type_id] = compile_cable(type_id, entry)
        return self._cables[type_id]

    def plan(
        self, type_id: str, chosen: Mapping[str, str], figures: Mapping[str, RawFigure]
    ) -> ItemPlan:
        """Plan of an item with these switches and figures of its own; equal ones are planned once."""
        key = (type_id, repr((sorted(chosen.items()), sorted(figures.items(), key=str))))
        if key not in self._plans:
            self._plans[key] = compile_item(type_id, self.entry(type_id), chosen, figures)
        return self._plans[key]

    def extended(self, raw: Mapping[str, dict[str, Any]]) -> GearBook:
        """A book in which a user's own entries extend or replace these."""
        return GearBook({**self._raw, **raw})

    def _unknown(self, type_id: str) -> GearError:
        near = difflib.get_close_matches(type_id, self._raw, n=3, cutoff=0.5)
        hint = f"Did you mean {' or '.join(repr(name) for name in near)}? " if near else ""
        return GearError(
            f"unknown gear type '{type_id}'",
            where="gear book",
            expected="a type of the gear book",
            remedy=f"{hint}List them all with: levelhead gear",
        )

    def _checked(self, type_id: str) -> TypeEntry:
        raw = self._resolved(type_id)
        try:
            return TypeEntry.model_validate(raw)
        except ValidationError as error:
            first = error.errors()[0]
            field = ".".join(str(part) for part in first["loc"])
            raise GearError(
                f"{field}: {first['msg']}",
                where=f"gear type '{type_id}'",
                expected="an entry as docs/formats.md describes it",
                remedy=f"{error.error_count()} thing(s) to mend in this entry.",
            ) from error

    def _resolved(self, type_id: str) -> dict[str, Any]:
        raw = dict(self._raw[type_id])
        base = raw.pop("like", None)
        if base is not None:
            if base not in self._raw:
                raise self._unknown(base)
            if "like" in self._raw[base]:
                raise GearError(
                    f"'{base}' is itself like another type",
                    where=f"gear type '{type_id}'",
                    expected="one level of 'like'",
                    remedy="Refer to the type that stands at its root.",
                )
            raw = _merged(self._raw[base], raw)
        blocks = raw.get("blocks", {})
        for block in blocks.values():
            if "like" in block:
                other = blocks[block.pop("like")]
                block |= _merged(other, block)
        return raw


def _merged(base: Mapping[str, Any], over: Mapping[str, Any]) -> dict[str, Any]:
    """Base with ``over`` laid on it; mappings merge, anything else is replaced, null removes."""
    merged = {key: value for key, value in base.items() if not (key in over and over[key] is None)}
    for key, value in over.items():
        if isinstance(value, dict) and isinstance(merged.get(key), dict):
            merged[key] = _merged(merged[key], value)
        elif value is not None:
            merged[key] = value
    return json.loads(json.dumps(merged))  # type: ignore[no-any-return]  # a deep copy


def _content_hash(files: Iterable[Path]) -> str:
    digest = hashlib.sha256()
    for file in files:
        digest.update(file.name.encode())
        digest.update(file.read_bytes())
    return digest.hexdigest()


def read_entries(folder: Path) -> dict[str, dict[str, Any]]:
    """All entries of a folder of YAML files; a type named twice is refused."""
    from ruamel.yaml import YAML, YAMLError

    found: dict[str, dict[str, Any]] = {}
    reader = YAML(typ="safe", pure=True)
    for file in sorted(folder.glob("*.yaml")):
        try:
            entries = reader.load(file.read_text(encoding="utf-8")) or {}
        except YAMLError as error:
            raise GearError(
                f"cannot be read: {error}",
                where=str(file.name),
                expected="YAML",
                remedy="Mend the line that is named.",
            ) from error
        for type_id, entry in entries.items():
            if type_id in found:
                raise GearError(
                    f"type '{type_id}' stands twice",
                    where=file.name,
                    expected="each type once",
                    remedy="Remove or rename one of them.",
                )
            found[type_id] = entry
    return found


def _shipped() -> dict[str, dict[str, Any]]:
    """Entries of the package: from the compiled book if it is up to date, else from the YAML."""
    files = sorted(_ENTRIES.glob("*.yaml"))
    content = _content_hash(files)
    if _COMPILED.exists():
        stored = json.loads(_COMPILED.read_text(encoding="utf-8"))
        if stored["content"] == content:
            return stored["entries"]  # type: ignore[no-any-return]
    entries = read_entries(_ENTRIES)
    _store(content, entries)
    return entries


def _store(content: str, entries: Mapping[str, Any]) -> None:
    """Keep the compiled book beside the entries; an unwritable folder only costs the next start time."""
    temporary = _COMPILED.with_suffix(".tmp")
    try:
        temporary.write_text(json.dumps({"content": content, "entries": entries}), encoding="utf-8")
        temporary.replace(_COMPILED)
    except OSError:
        return


@lru_cache(maxsize=8)
def load_book(own: Path | None = None) -> GearBook:
    """The shipped gear book, extended by a folder of a user's own entries."""
    book = GearBook(_shipped())
    return book if own is None else book.extended(read_entries(own))
