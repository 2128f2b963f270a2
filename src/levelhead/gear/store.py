"""The files of the gear book: the one module of ``gear`` that touches the disk.

Entries are written in YAML, which takes a tenth of a second to read. They are therefore also kept
compiled in one JSON file, with a digest of the YAML that it was made from: the build puts it into
the wheel, and in a working copy it is made anew whenever an entry was changed.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Iterable, Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any, Final

from levelhead.errors import GearError

__all__ = ["COMPILED", "ENTRIES", "compile_entries", "read_entries", "shipped_entries"]

ENTRIES: Final = Path(__file__).parent / "entries"
COMPILED: Final = Path(__file__).parent / "book.json"

_LARGEST_BYTES: Final = 5_000_000

Entries = dict[str, dict[str, Any]]


def shipped_entries(folder: Path = ENTRIES, compiled: Path = COMPILED) -> Entries:
    """Entries of the package: from the compiled book if it is up to date, else from the YAML."""
    content = _digest(sorted(folder.glob("*.yaml")))
    stored = _stored(compiled, content)
    if stored is not None:
        return stored
    entries = read_entries(folder)
    with suppress(OSError):  # a folder that is not ours to write in only costs time
        _store(compiled, content, entries)
    return entries


def compile_entries(folder: Path = ENTRIES, compiled: Path = COMPILED) -> None:
    """Write the compiled book; the build does this."""
    _store(compiled, _digest(sorted(folder.glob("*.yaml"))), read_entries(folder))


def read_entries(folder: Path) -> Entries:
    """All entries of a folder of YAML files, in the order of the files' names.

    Raises
    ------
    GearError
        There is no such folder, a file is not YAML or no mapping of types, or a type stands twice.
    """
    if not folder.is_dir():
        raise GearError(
            "no such folder",
            where=str(folder),
            expected="a folder of YAML files with gear types",
            remedy="Name the folder, not a file in it.",
        )
    found: Entries = {}
    for file in sorted(folder.glob("*.yaml")):
        entries = _read_yaml(file)
        for type_id in entries.keys() & found.keys():
            raise GearError(
                f"type '{type_id}' stands twice",
                where=file.name,
                expected="each type once",
                remedy="Remove or rename one of them.",
            )
        found |= entries
    return found


def _read_yaml(file: Path) -> Entries:
    from ruamel.yaml import YAML
    from ruamel.yaml.error import YAMLError

    if file.stat().st_size > _LARGEST_BYTES:
        raise _unreadable(file, "more than 5 MB")
    try:
        entries = YAML(typ="safe", pure=True).load(file.read_text(encoding="utf-8")) or {}
    except (YAMLError, ValueError) as error:  # also bytes that are no UTF-8, numbers without end
        raise _unreadable(file, str(error)) from error
    except RecursionError as error:
        raise _unreadable(file, "it is nested too deeply") from error
    if not isinstance(entries, dict) or not all(
        isinstance(each, dict) for each in entries.values()
    ):
        raise _unreadable(file, "this is no mapping of types")
    return {str(type_id): entry for type_id, entry in entries.items()}


def _unreadable(file: Path, why: str) -> GearError:
    return GearError(
        f"cannot be read: {why}",
        where=file.name,
        expected="YAML, a mapping of types to their entries",
        remedy="Mend the line that is named.",
    )


def _digest(files: Iterable[Path]) -> str:
    digest = hashlib.sha256()
    for file in files:
        digest.update(file.name.encode())
        digest.update(file.read_bytes())
    return digest.hexdigest()


def _stored(compiled: Path, content: str) -> Entries | None:
    """Entries of the compiled book, unless it is not there, damaged or out of date."""
    try:
        stored = json.loads(compiled.read_text(encoding="utf-8"))
        entries: Entries | None = stored["entries"] if stored["content"] == content else None
    except (OSError, ValueError, KeyError, TypeError):
        return None
    return entries


def _store(compiled: Path, content: str, entries: Mapping[str, Any]) -> None:
    """Write beside and rename: nobody ever reads half a book."""
    temporary = compiled.with_suffix(f".{os.getpid()}.tmp")
    text = json.dumps({"content": content, "entries": entries}, separators=(",", ":"))
    try:
        temporary.write_text(text, encoding="utf-8")
        temporary.replace(compiled)
    finally:
        temporary.unlink(missing_ok=True)
