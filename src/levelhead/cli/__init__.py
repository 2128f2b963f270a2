"""The command line: parse, call one function of the library, print, and map errors to exit status."""

from __future__ import annotations

from levelhead.cli.main import main, run

__all__ = ["main", "run"]
