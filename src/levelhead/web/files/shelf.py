"""The folder in which levelhead was opened: shows that stand there, and new ones put beside them.

A page names a show by its bare name, ``friday`` for ``friday.yaml``; nothing else that comes from a
browser ever becomes a path.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from levelhead.errors import ShowError
from levelhead.show.written.new_file import write_new

__all__ = ["Shelf", "ShelvedShow"]

_NAME: Final = re.compile(r"[a-z0-9][a-z0-9-]{0,62}")
_ENDING: Final = ".yaml"
_HEAD_BYTES: Final = 4096
_IS_SHOW: Final = re.compile(rb"^levelhead: *\d", re.MULTILINE)
_MOST: Final = 8


@dataclass(frozen=True, slots=True)
class ShelvedShow:
    """A show file of the folder: its bare name, and when it was last written."""

    name: str
    written_s: float


@dataclass(frozen=True, slots=True)
class Shelf:
    """One folder of show files."""

    folder: Path

    def shows(self) -> tuple[ShelvedShow, ...]:
        """The show files that were written last, newest first; no folder below is looked into."""
        found = []
        for path in self.folder.glob(f"*{_ENDING}"):
            name = path.name.removesuffix(_ENDING)
            try:
                if _NAME.fullmatch(name) and path.is_file() and _looks_like_a_show(path):
                    found.append(ShelvedShow(name, path.stat().st_mtime))
            except OSError:
                continue  # gone meanwhile, or not ours to read
        return tuple(sorted(found, key=lambda each: -each.written_s)[:_MOST])

    def path_of(self, name: str) -> Path:
        """Where a show of that name stands, or would.

        Raises
        ------
        ShowError
            It is no plain name.
        """
        if not _NAME.fullmatch(name):
            raise ShowError(
                f"'{name[:64]}' is no name for a show",
                where="name of the file",
                expected="small letters a to z, digits and hyphens, up to 63 of them",
                remedy="Write for example friday or hall-2.",
            )
        return self.folder / f"{name}{_ENDING}"

    def put(self, name: str, text: str) -> Path:
        """Write a new show; one that is there stays as it is.

        Raises
        ------
        ShowError
            It is no plain name, or there is a file of that name.
        """
        path = self.path_of(name)
        try:
            write_new(path, text)
        except ShowError as error:
            raise ShowError(
                error.what, where=path.name, expected=error.expected, remedy=error.remedy
            ) from error
        return path


def _looks_like_a_show(path: Path) -> bool:
    with path.open("rb") as file:
        return _IS_SHOW.search(file.read(_HEAD_BYTES)) is not None
