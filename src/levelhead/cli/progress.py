"""How far long work is: one line at a terminal that is gone at the end, nothing anywhere else."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Final, TextIO

__all__ = ["ways_out_tried"]

SOON_S: Final = 1.0  # what is done before that needs no line
Told = Callable[[int, int], None]


@contextmanager
def ways_out_tried(
    to: TextIO | None = None, clock: Callable[[], float] = time.monotonic
) -> Iterator[Told | None]:
    """What hears how many findings have had their ways out tried; ``None`` where nobody looks."""
    terminal = sys.stderr if to is None else to
    if not terminal.isatty():
        yield None
        return
    began, longest = clock(), 0

    def told(done: int, of: int) -> None:
        nonlocal longest
        if clock() - began < SOON_S:
            return
        line = f"Trying ways out: {done} of {of} findings. Ctrl+C stops."
        terminal.write("\r" + line.ljust(longest))
        terminal.flush()
        longest = max(longest, len(line))

    try:
        yield told
    finally:
        terminal.write("\r" + " " * longest + "\r" if longest else "")
        terminal.flush()
