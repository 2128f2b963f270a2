"""The ``levelhead`` command: results to stdout, talk to stderr, and an exit status."""

from __future__ import annotations

import atexit
import gc
import io
import os
import sys
import time
from collections.abc import Sequence
from typing import Final

from levelhead.cli.parser import build_parser
from levelhead.cli.reports.columns import paragraph
from levelhead.cli.stopped import stopped_words
from levelhead.errors import LevelheadError

__all__ = ["INTERRUPTED", "UNREADABLE", "main"]

UNREADABLE: Final = 2
INTERRUPTED: Final = 130  # 128 and the number of the signal, as shells have it
_OBJECTS_BETWEEN_SWEEPS: Final = 300_000  # Python's own is 700; some 50 MB at most


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command.

    Parameters
    ----------
    argv : sequence of str, optional
        What was typed behind ``levelhead``; the process's own arguments if left out.

    Returns
    -------
    int
        0 nothing worse than care, 1 something fails or harms, 2 the input cannot be read.
    """
    _start_lightly()
    began_s, arguments = time.time(), None
    try:
        arguments = build_parser().parse_args(argv)
        outcome = arguments.command(arguments)
    except LevelheadError as error:
        _say(str(error))
        return UNREADABLE
    except KeyboardInterrupt:
        _say(stopped_words(arguments, began_s))
        return INTERRUPTED
    _print(outcome.text)
    return int(outcome.status)


def _start_lightly() -> None:
    """Leave out what only costs time, together a third of that of a small command.

    Most of what a command makes lives to its end, so garbage is looked for less often, and not at
    all on leaving, when all goes back at once; no other package shall look into our models, so none
    is looked for.
    """
    gc.set_threshold(_OBJECTS_BETWEEN_SWEEPS, *gc.get_threshold()[1:])
    atexit.unregister(gc.freeze)  # once, however often a program runs commands
    atexit.register(gc.freeze)
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "1")


def _print(text: str) -> None:
    """Print a result; a reader who has seen enough (``| head``) is no error."""
    if isinstance(sys.stdout, io.TextIOWrapper):  # a terminal may lack letters of the show's labels
        sys.stdout.reconfigure(errors="replace")
    try:
        if text:
            print(text)
        sys.stdout.flush()
    except BrokenPipeError:
        # what is left in the buffer goes nowhere, so that the interpreter's own flush is quiet too
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _say(text: str) -> None:
    """A message; in the width of a terminal, in one line where a program reads it."""
    if sys.stderr.isatty():
        text = "\n".join(line for each in text.split("\n") for line in paragraph(each) or [""])
    if isinstance(sys.stderr, io.TextIOWrapper):
        sys.stderr.reconfigure(errors="replace")
    print(text, file=sys.stderr)
