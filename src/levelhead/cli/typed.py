"""What was typed, read: the show, the gear book; and what a command leaves to be printed."""

from __future__ import annotations

import json
import sys
from argparse import Namespace
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from levelhead.errors import GearError, ShowError

if TYPE_CHECKING:
    from levelhead.gear.book import GearBook
    from levelhead.show.document import ShowDocument
    from levelhead.verdicts.told.severity import Severity

__all__ = [
    "STANDARD_INPUT",
    "Outcome",
    "as_json",
    "book_of",
    "document_of",
    "gear_folder",
    "status_of",
]

STANDARD_INPUT: Final = "-"


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a command prints, and its exit status."""

    text: str
    status: int = 0


def as_json(content: Any) -> str:
    """JSON for people and programs."""
    return json.dumps(content, indent=2, ensure_ascii=False)


def status_of(verdict: Severity) -> int:
    """1 when something fails or harms."""
    return int(verdict in {"fails", "harm"})


def book_of(arguments: Namespace) -> GearBook:
    """The gear book, with a folder of the user's own entries if one was named."""
    from levelhead.gear.book import load_book

    folder = gear_folder(arguments)
    return load_book() if folder is None else load_book(folder)


def gear_folder(arguments: Namespace) -> Path | None:
    """The folder with the user's own entries, if one was named."""
    if arguments.gear is None:
        return None
    folder = Path(arguments.gear)
    if not folder.is_dir():
        raise GearError(
            "is no folder",
            where=str(folder),
            expected="a folder with gear entries (*.yaml)",
            remedy="Check the path behind --gear.",
        )
    return folder


def document_of(path: str) -> ShowDocument:
    """The show of a file, or of standard input."""
    from levelhead.show.document import load_show, parse_show

    if path != STANDARD_INPUT:
        return load_show(path)
    try:
        text = sys.stdin.buffer.read().decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise ShowError(
            f"byte {error.start + 1} is no UTF-8",
            where="standard input",
            expected="a show file in UTF-8",
            remedy="Save the show as UTF-8, or name the file itself.",
        ) from error
    return parse_show(text, "standard input")
