"""How large a box is: its words in lines, its sockets in rows at both sides."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from levelhead.drawing.flow.model import Box, Row, Side
from levelhead.drawing.svg import WIDEST_LETTER, wrapped

__all__ = ["PAD", "ROW", "SMALL", "TYPE", "Size", "size_of"]

TYPE: Final = 17.0
SMALL: Final = 15.0
ROW: Final = 24.0  # from socket to socket
PAD: Final = 9.0
LINE: Final = 21.0  # from line to line in the head
_BOLD: Final = 1.08  # of the width of plain letters
_MARK: Final = 22.0  # room for the shape of a verdict
_TITLE: Final = 216.0  # widest line of a title
_ROW_TEXT: Final = 150.0  # widest text of a row
_BETWEEN: Final = 18.0  # from the texts of the left to those of the right


@dataclass(frozen=True, slots=True)
class Size:
    """A box: width, height, its head as lines, and the height of the head.

    A ``plain`` one has no rows below its head: one socket a side at most, of which there is nothing
    to say.
    """

    width: float
    height: float
    title: tuple[str, ...]
    notes: tuple[str, ...]
    head: float
    plain: bool = False

    def pin(self, row: int) -> float:
        """Height of a socket below the top of its box."""
        return self.height / 2 if self.plain else self.head + (row + 0.5) * ROW


def size_of(box: Box) -> Size:
    """The size of a box; no text of it runs over its edge."""
    title = tuple(wrapped(box.title, width=_TITLE / _BOLD, type_size=TYPE))
    notes = tuple(
        each for note in box.notes for each in wrapped(note, width=_TITLE, type_size=SMALL)
    )
    head = PAD + LINE * (len(title) + len(notes)) + PAD / 2
    plain = _is_plain(box)
    sides = 0.0 if plain else _side(box, "left") + _BETWEEN + _side(box, "right")
    rows = 0 if plain else max(len(box.left), len(box.right))
    height = head + rows * ROW + (PAD if rows else PAD / 2)
    return Size(max(_head(box, title, notes), sides) + 2 * PAD, height, title, notes, head, plain)


def _head(box: Box, title: tuple[str, ...], notes: tuple[str, ...]) -> float:
    """Width of the widest line of the head; the verdict stands in the first."""
    mark = _MARK + _wide(f"   {box.mark}", TYPE * _BOLD) if box.mark else 0.0
    lines = [_wide(line, TYPE * _BOLD) for line in title]
    lines[0] += mark
    return max(*lines, 0.0, *(_wide(each, SMALL) for each in notes))


def _is_plain(box: Box) -> bool:
    rows = (*box.left, *box.right)
    is_single = len(box.left) <= 1 and len(box.right) <= 1
    return is_single and not any(row.mark or row.is_free for row in rows)


def row_text(row: Row) -> str:
    """The text of a row; an address breaks nowhere, so what is long is told by the hint."""
    room = int(_ROW_TEXT / (WIDEST_LETTER * SMALL))
    return row.text if len(row.text) <= room else f"{row.text[: room - 1]}\N{HORIZONTAL ELLIPSIS}"


def _side(box: Box, side: Side) -> float:
    texts = (_wide(row_text(row), SMALL) + (_MARK if row.mark else 0) for row in box.rows(side))
    return max(texts, default=0.0)


def _wide(text: str, type_size: float) -> float:
    return len(text) * WIDEST_LETTER * type_size
