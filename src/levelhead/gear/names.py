"""Names that are almost right: what was probably meant."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from typing import Final

__all__ = ["did_you_mean"]

_LIKENESS: Final = 0.6  # of 1; lower names strangers, higher misses a doubled letter
_MOST: Final = 2  # names offered


def did_you_mean(name: str, known: Iterable[str]) -> str:
    """Ask for the nearest known names; nothing when none is near.

    >>> did_you_mean("gian", ["gain", "fader", "pan"])
    "Did you mean 'gain'?"
    >>> did_you_mean("width", ["gain", "fader"])
    ''
    """
    near = difflib.get_close_matches(name, list(known), n=_MOST, cutoff=_LIKENESS)
    return f"Did you mean {' or '.join(repr(each) for each in near)}?" if near else ""
