"""The command line: read what was typed, call the library once, print, say how it went.

``entry`` (and its exit status) with ``parser`` and ``arguments`` (every command and its options);
``commands``: what each does, with ``dialogues`` at a terminal; ``reports``: what it prints, in 80
columns. ``typed`` and ``given``: what was typed, read; ``progress``, ``press``, ``stopped``: long
work.
"""

from __future__ import annotations

from levelhead.cli.entry import main

__all__ = ["main"]
