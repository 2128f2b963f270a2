"""The command line: read what was typed, call the library once, print, say how it went."""

from __future__ import annotations

from levelhead.cli.entry import main

__all__ = ["main"]
