"""What the first page offers: examples, and the files of the folder."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Self

from levelhead.show.shipped import Example, shipped_examples
from levelhead.web.files.shelf import Shelf, ShelvedShow

__all__ = ["StartView"]


@dataclass(frozen=True, slots=True)
class StartView:
    """Shows to begin with."""

    examples: tuple[Example, ...]
    files: tuple[ShelvedShow, ...]
    open: tuple[str, ...]

    @classmethod
    def of(cls, shelf: Shelf, open_shows: tuple[str, ...]) -> Self:
        """What there is at this moment; ``open_shows`` are those that are being worked on."""
        return cls(shipped_examples(), shelf.shows(), open_shows)
