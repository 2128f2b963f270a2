"""Whole files on disk: read, and written so that a power cut leaves the old one or the new one."""

from __future__ import annotations

import os
import secrets
import stat
from contextlib import suppress
from pathlib import Path
from typing import Final

from levelhead.errors import ShowError

__all__ = [
    "BYTE_ORDER_MARK",
    "LARGEST_FILE",
    "check_size",
    "decoded",
    "disk_error",
    "read_whole",
    "write_whole",
]

LARGEST_FILE: Final = 5_000_000  # bytes; a show of 128 channels has 30 thousand
BYTE_ORDER_MARK: Final = "\ufeff"  # some editors begin a file with it


def read_whole(path: Path) -> bytes:
    """What stands in a file.

    Raises
    ------
    ShowError
        The disk says no, or it is far larger than any show.
    """
    try:
        with path.open("rb") as file:
            content = file.read(LARGEST_FILE + 1)
    except OSError as error:
        raise disk_error(path, error, "read") from None
    check_size(len(content), str(path))
    return content


def check_size(size: int, name: str) -> None:
    """Refuse what is far larger than any show."""
    if size > LARGEST_FILE:
        raise ShowError(
            f"more than {LARGEST_FILE // 1_000_000} MB",
            where=name,
            expected="a show file",
            remedy="Give the name of a show; a large one has 30 kB.",
        )


def decoded(content: bytes, name: str) -> str:
    """Text of a file in UTF-8, without a byte order mark; ``ShowError`` for anything else."""
    try:
        return content.decode("utf-8").removeprefix(BYTE_ORDER_MARK)
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        column = error.start - (content.rfind(b"\n", 0, error.start) + 1) + 1
        raise ShowError(
            f"byte 0x{content[error.start]:02X} is no UTF-8",
            where=f"{name}:{line}:{column}",
            expected="text in UTF-8",
            remedy="Save the file as UTF-8 in your editor.",
        ) from None


def write_whole(path: Path, content: bytes) -> None:
    """Write beside, flush to the disk, rename: a power cut leaves the old file or the new one."""
    beside = path.with_name(f".{path.name}.{secrets.token_hex(4)}.part")
    try:
        with beside.open("xb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        with suppress(FileNotFoundError):
            beside.chmod(stat.S_IMODE(path.stat().st_mode))
        beside.replace(path)
    except BaseException:
        beside.unlink(missing_ok=True)
        raise
    _flush_folder(path.parent)


def _flush_folder(folder: Path) -> None:
    """Make the new name last as well, where the system can."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def disk_error(path: Path, error: OSError, verb: str) -> ShowError:
    """What the disk said, as an error for people: the file cannot be ``read`` or ``written``."""
    return ShowError(
        f"the file cannot be {verb}: {error.strerror or error}",
        where=str(path),
        expected="a show file",
        remedy="Check the name, the folder and the rights to it.",
    )
