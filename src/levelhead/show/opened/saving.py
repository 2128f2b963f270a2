"""A state of a show on its way into its file."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from levelhead.errors import ShowError
from levelhead.show.document import ShowDocument, save_show
from levelhead.show.history.journal import History

__all__ = ["SaveJob", "content_of", "path_of"]


@dataclass(frozen=True, slots=True)
class SaveJob:
    """A state of the show on its way into the file; :meth:`write` may run in another thread."""

    document: ShowDocument
    number: int
    history: History

    def write(self, *, at: datetime) -> ShowDocument:
        """Write it, whole or not at all.

        Raises
        ------
        ShowError
            The file was changed by others meanwhile, or the disk says no.
        """
        self.history.note_save(self.document.content(), self.number, at=at)
        return save_show(self.document, path_of(self.document))


def content_of(path: Path) -> bytes | None:
    """What stands in a file; ``None`` while it is away or cannot be read: saving tells why."""
    try:
        return path.read_bytes()
    except OSError:
        return None


def path_of(document: ShowDocument) -> Path:
    """Where the file of a show stands.

    Raises
    ------
    ShowError
        It was opened from none.
    """
    if document.path is None:
        raise ShowError(
            "this show has no file",
            where=document.name,
            expected="a show that was opened from a file",
            remedy="Save it under a name first.",
        )
    return document.path
