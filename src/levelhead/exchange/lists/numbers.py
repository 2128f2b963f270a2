"""Numbers in lists: channels (``1/2``, ``9+10``, ``Ch 3``, ``IN 4``), counts, lengths."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

__all__ = ["channels_of", "counted", "decimal", "length_m", "numbered_line"]

_MOST_CHANNELS: Final = 16  # behind one row: "33-40" are eight singers, "1-64" is a heading
_HIGHEST: Final = 512
_CHANNEL: Final = re.compile(
    r"['’]?(?:(?:foh|stage ?box|sb|box)\s*)?"
    r"(?:#|n[o°º.]*|nr\.?|ch(?:an(?:nel)?)?\.?|in(?:put)?\.?|ip|line|k(?:anal|an)?\.?|eing(?:ang)?\.?"
    r"|canale|canal|can\.?|voie|tranche|entr[ée]e|entrada|ingresso|kanaal|ingang|pult)?\s*[-:]?\s*"
    r"(\d{1,3})(?:\.0)?"
    r"(?:\s*(?:([/+&,]|and|und|et|y|e|en)|([-–]|\.\.|to|bis|à|a|tot))\s*(?:ch\.?\s*|in\s*)?(\d{1,3})(?:\.0)?)?"
    r"\s*[.):]?(?:,\s*[^\d,].*)?",  # "ch1, mic input" is how our own lists have it
    re.IGNORECASE,
)
_SIDES: Final = re.compile(r"(?:ch\.?\s*)?(\d{1,3})\s*(?:l\s*[/+]?\s*r|st(?:ereo)?)", re.IGNORECASE)
_COUNT: Final = re.compile(
    r"(\d{1,2})\s*[x×]\s*(?=\S)|(?<=\S)\s*[x×]\s*(\d{1,2})(?!\d)", re.IGNORECASE
)
_LINE: Final = re.compile(
    r"\s*((?:#|ch(?:an(?:nel)?)?\.?|in(?:put)?|kanal|canal|canale|kanaal|voie)?\s*\d{1,3}(?:\s*(?:[/+&–-]|\.\.)\s*\d{1,3})?)"
    r"(?:\s*[.):=]+\s*|\s+[-–]\s+|\s+|\s*(?=-\s))(?![x×]\s)(\D.*|\d+\s*[x×-].*)",
    re.IGNORECASE,
)
_LENGTH: Final = re.compile(
    r"(\d+(?:[.,]\d+)?)\s*(m|meters?|metres?|meter|mtr|ft|feet|'|cm)\b", re.IGNORECASE
)
_METRES: Final = {"f": 0.3048, "'": 0.3048, "c": 0.01}
_DECIMAL: Final = re.compile(r"[+−–-]?\s*\d+(?:[.,]\d+)?")


@dataclass(frozen=True, slots=True)
class Numbers:
    """Channels of a row; ``is_pair`` where it says two sides."""

    channels: tuple[int, ...]
    is_pair: bool = False


def channels_of(text: str) -> Numbers | None:
    """Channels that a cell names; ``None`` when it is something else.

    >>> [channels_of(each).channels for each in ("1/2", "9+10", "Ch 3", "IN 4", "33-36")]
    [(1, 2), (9, 10), (3,), (4,), (33, 34, 35, 36)]
    >>> channels_of("12 strings") is None
    True
    """
    sides = _SIDES.fullmatch(text.strip())
    if sides is not None:
        return Numbers((int(sides[1]),), is_pair=True)
    match = _CHANNEL.fullmatch(text.strip())
    if match is None:
        return None
    first, last = int(match[1]), int(match[4] or match[1])
    if not 0 < first <= last <= _HIGHEST or last - first >= _MOST_CHANNELS:
        return None
    if match[2]:
        return Numbers((first, last) if last > first else (first,))
    return Numbers(tuple(range(first, last + 1)))


def counted(text: str) -> tuple[int, str]:
    """How many of a thing a text says, and the text without it; 1 where it says nothing.

    >>> counted("3 x vocal mic"), counted("vox x2"), counted("kick")
    ((3, 'vocal mic'), (2, 'vox'), (1, 'kick'))
    """
    match = _COUNT.search(text)
    if match is None:
        return 1, text
    number = int(match[1] or match[2])
    if not 0 < number <= _MOST_CHANNELS:
        return 1, text
    return number, " ".join((text[: match.start()] + " " + text[match.end() :]).split())


def numbered_line(text: str) -> tuple[str, str]:
    """Number and rest of a plain line; the number is empty where it has none.

    >>> numbered_line("1. kick - dynamic"), numbered_line("9/10 keys"), numbered_line("Drums")
    (('1', 'kick - dynamic'), ('9/10', 'keys'), ('', 'Drums'))
    """
    match = _LINE.fullmatch(text)
    if match is None or channels_of(match[1]) is None:
        return "", text.strip()
    return match[1].strip(), match[2].strip(" -–:\t")


def length_m(text: str) -> float | None:
    """The length that a text names, decimal commas too. [m]

    >>> length_m("XLR 7,5 m"), length_m("16 ft"), length_m("long")
    (7.5, 4.877, None)
    """
    match = _LENGTH.search(text)
    if match is None:
        return None
    value = float(match[1].replace(",", ".")) * _METRES.get(match[2][0].lower(), 1.0)
    return round(value, 3) or None


def decimal(text: str) -> float | None:
    """The number that a text begins with, decimal commas too.

    >>> decimal("32,5 dB"), decimal("-10"), decimal("full")
    (32.5, -10.0, None)
    """
    match = _DECIMAL.match(text.strip())
    if match is None:
        return None
    return float(match[0].replace(",", ".").replace("−", "-").replace("–", "-").replace(" ", ""))
