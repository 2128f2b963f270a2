"""Plain text in 80 columns: wrapping with a gutter, cutting, numbers in columns."""

from __future__ import annotations

import re
import textwrap
from typing import Final

__all__ = ["GUTTER", "WIDTH", "cut", "cut_front", "entry", "number", "paragraph"]

WIDTH: Final = 80
GUTTER: Final = 8  # a word in the margin, such as FAILS, and the text beside it
_CUT: Final = "..."
_NO_BREAK: Final = "\N{NO-BREAK SPACE}"
_BEFORE_UNIT: Final = re.compile(
    r"(?<=\d) (?=(?:dB\w*|[kmunp]?(?:V|A|W|ohm|F|H|Hz|m|s)|cm|%)(?:\W|$))|(?<=dB) (?=SPL)"
)


def paragraph(text: str, *, first: str = "", rest: str = "") -> list[str]:
    """Lines of at most 80 columns; words are kept whole, and a number stays with its unit.

    >>> paragraph("x" * 75 + " 34.7 V")[1]
    '34.7 V'
    """
    lines = textwrap.wrap(
        _BEFORE_UNIT.sub(_NO_BREAK, text),
        WIDTH,
        initial_indent=first,
        subsequent_indent=rest,
        break_on_hyphens=False,
    )
    return [line.replace(_NO_BREAK, " ") for line in lines]


def entry(word: str, text: str) -> list[str]:
    """A word in the margin and a text beside it, as far down as the text goes.

    >>> print(*entry("Cable", "XLR cable, 5 m"))
    Cable   XLR cable, 5 m
    """
    return paragraph(text, first=f"{word:<{GUTTER}}", rest=" " * GUTTER)


def cut(text: str, width: int) -> str:
    """Text in at most ``width`` columns, up to a whole word; an ellipsis says that it goes on.

    >>> cut("Compact mixer, 4 mic channels", 22), cut("lead-xlr-jack-balanced", 12)
    ('Compact mixer, 4...', 'lead-xlr-...')
    """
    if len(text) <= width:
        return text
    start = text[: width - len(_CUT)]
    whole, space, _ = start.rpartition(" ")
    kept = whole if space and text[len(start)] != " " else start
    return kept.rstrip(" .,;:") + _CUT


def cut_front(text: str, width: int) -> str:
    """The same, but of an address, whose end says most.

    >>> cut_front("amplifier-two-channel.ch1.attenuator", 20)
    '...el.ch1.attenuator'
    """
    return text if len(text) <= width else _CUT + text[len(text) - width + len(_CUT) :]


def number(value: float | None, *, signed: bool = True) -> str:
    """A level or a gain to a tenth; a dash for silence and for a limit that does not exist.

    >>> number(4), number(-0.04), number(None), number(6, signed=False)
    ('+4.0', '0.0', '-', '6.0')
    """
    if value is None:
        return "-"
    rounded = round(value, 1) + 0.0  # + 0.0 turns -0.0 into 0.0
    return f"{rounded:+.1f}" if signed and rounded else f"{rounded:.1f}"
