"""What is said when somebody ends a command with Ctrl+C."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path
from typing import Final

__all__ = ["stopped_words"]

_PLACES: Final = ("output", "map", "plot")  # options that name a file to write
_CLOCK_S: Final = 0.1  # by which the clock of files may be behind


def stopped_words(arguments: Namespace | None, since_s: float) -> str:
    """Whether anything was written: files are written whole, as the last thing of a command.

    Parameters
    ----------
    arguments : Namespace or None
        What was typed, if it could be read by then.
    since_s : float
        When the command began, by the clock of files. [s]
    """
    named = (getattr(arguments, each, None) for each in _PLACES)
    written = [each for each in named if isinstance(each, str) and _is_new(Path(each), since_s)]
    if written:
        return f"Stopped; {written[0]} was written before that."
    return "Stopped; nothing was written."


def _is_new(path: Path, since_s: float) -> bool:
    try:
        return path.stat().st_mtime >= since_s - _CLOCK_S
    except OSError:
        return False
