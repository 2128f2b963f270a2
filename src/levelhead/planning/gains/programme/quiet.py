"""Keep a solver from writing into our output: HiGHS prints a line of its own past all options."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress

__all__ = ["nothing_printed"]

_STANDARD_OUTPUT = 1


@contextmanager
def nothing_printed() -> Iterator[None]:
    """Send what compiled code writes to standard output to nowhere, as long as it lasts."""
    with suppress(OSError, ValueError):
        sys.stdout.flush()
    try:
        kept = os.dup(_STANDARD_OUTPUT)
    except OSError:  # closed: nothing can be written there
        yield
        return
    nowhere = os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(nowhere, _STANDARD_OUTPUT)
        yield
    finally:
        os.dup2(kept, _STANDARD_OUTPUT)
        os.close(nowhere)
        os.close(kept)
