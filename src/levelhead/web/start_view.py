"""What the first page offers: examples, and the files of the folder."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Self

from levelhead.show.shipped import Example, shipped_examples
from levelhead.web.shelf import Shelf, ShelvedShow

__all__ = ["StartView"]


@dataclass(frozen=True, slots=True)
class StartView:
    """Shows to begin with."""

    examples: tuple[Example, ...]
    files: tuple[ShelvedShow, ...]
    is_open: bool

    @classmethod
    def of(cls, shelf: Shelf, *, is_open: bool) -> Self:
        """What there is at this moment."""
        return cls(shipped_examples(), shelf.shows(), is_open)
