"""What a flow drawing is made of, before anything has a place: boxes with rows, and leads."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, TypeAlias

__all__ = ["Box", "Chart", "Lead", "LeadKind", "Point", "Row", "Side"]

Side: TypeAlias = Literal["left", "right"]
LeadKind: TypeAlias = Literal["signal", "digital", "loudspeaker"]
Point: TypeAlias = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Row:
    """A socket at a side of a box, or several of one trunk: ``ch1-8 mic``.

    ``mark`` is the worst verdict there, ``None`` where nothing is worse than fine.
    """

    address: str
    text: str
    mark: str | None = None
    is_free: bool = False


@dataclass(frozen=True, slots=True)
class Box:
    """An item, or several folded into one, with its sockets at both sides in panel order.

    ``hint`` is said when somebody points at it; ``items`` are those that are folded into it.
    """

    id: str
    title: str
    notes: tuple[str, ...] = ()
    left: tuple[Row, ...] = ()
    right: tuple[Row, ...] = ()
    mark: str | None = None
    hint: str = ""
    items: tuple[str, ...] = ()

    def rows(self, side: Side) -> tuple[Row, ...]:
        """Rows of one side."""
        return self.left if side == "left" else self.right


@dataclass(frozen=True, slots=True)
class Lead:
    """What runs from a row at the right of a box to one at the left of another.

    ``count`` cables lie in it; ``links`` are their numbers in the show. ``tag`` is written at both
    ends.
    """

    id: str
    start: tuple[str, int]
    end: tuple[str, int]
    kind: LeadKind = "signal"
    count: int = 1
    links: tuple[int, ...] = ()
    mark: str | None = None
    hint: str = ""
    tag: str = ""

    @property
    def from_box(self) -> str:
        """The box that gives."""
        return self.start[0]

    @property
    def to_box(self) -> str:
        """The box that takes."""
        return self.end[0]


@dataclass(frozen=True, slots=True)
class Chart:
    """Boxes by their ids, in the order of the show, and the leads between them."""

    boxes: Mapping[str, Box]
    leads: tuple[Lead, ...]
