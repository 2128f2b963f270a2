"""A show file that was not there before: written whole, and never over another one."""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path

from levelhead.errors import ShowError

__all__ = ["write_new"]


def write_new(path: Path, text: str) -> None:
    """Write a file that does not exist yet.

    Raises
    ------
    ShowError
        There is a file of that name, which stays as it is, or the folder cannot be written.
    """
    try:
        file = path.open("xb")
    except FileExistsError as error:
        raise ShowError(
            "is there already and stays as it is",
            where=str(path),
            expected="a name that no file has yet",
            remedy="Take another name, or move that file away first.",
        ) from error
    except OSError as error:
        raise _unwritable(path, error) from error
    try:
        with file:
            file.write(text.encode())
            file.flush()
            with suppress(OSError):
                os.fsync(file.fileno())
    except OSError as error:
        path.unlink(missing_ok=True)  # no half a file stays behind
        raise _unwritable(path, error) from error


def _unwritable(path: Path, error: OSError) -> ShowError:
    return ShowError(
        f"cannot be written: {error.strerror}",
        where=str(path),
        expected="a file in a folder that can be written",
        remedy="Name another place.",
    )
