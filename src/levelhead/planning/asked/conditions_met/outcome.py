"""What became of the conditions of a question: what they set, what is said back, what is unused."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final

__all__ = ["NOT_UNDERSTOOD", "Applied", "Box", "Met", "Unused"]

NOT_UNDERSTOOD: Final = "not understood; the answer is without it"


@dataclass(frozen=True, slots=True)
class Applied:
    """A condition that was understood: the words, and what was done for it.

    ``sets`` are controls that it moved, by side and address; ``kind`` is that of the condition.
    """

    words: str
    does: str
    sets: frozenset[tuple[str, str]] = frozenset()
    kind: str = ""

    def __str__(self) -> str:
        return f"{self.words}: {self.does}"

    def to_json(self) -> dict[str, str]:
        """As docs/formats.md prints it."""
        return {"words": self.words, "does": self.does}


@dataclass(frozen=True, slots=True)
class Unused:
    """Words that change nothing in the answer, and why."""

    words: str
    why: str

    def __str__(self) -> str:
        return f"'{self.words}': {self.why}"

    def to_json(self) -> dict[str, str]:
        """As docs/formats.md prints it."""
        return {"words": self.words, "why": self.why}


@dataclass(frozen=True, slots=True)
class Box:
    """A box between the two ends: its type, where it is plugged, where it leads on."""

    type_id: str
    entry: str
    leaving: str
    settings: Mapping[str, str] = field(default_factory=dict)


@dataclass(slots=True)
class Met:
    """What conditions did. ``settings`` and ``figures`` go by the side that they are at."""

    applied: list[Applied] = field(default_factory=list)
    unused: list[Unused] = field(default_factory=list)
    settings: dict[str, dict[str, str]] = field(default_factory=lambda: {"from": {}, "to": {}})
    figures: dict[str, dict[str, str]] = field(default_factory=lambda: {"from": {}, "to": {}})
    cable: str | None = None
    length_m: float | None = None
    level: str | None = None
    boxes: list[Box] = field(default_factory=list)
    count: int = 1
    both_sides: bool = False
