"""What stands beside the gear in one cell or line: a pad, phantom power, how many, a length.

``kick in, condenser, pad -10 dB, 10,5 m`` is a microphone, its pad, and its cable; ``2x DI, no
phantom`` are two boxes that get none.
"""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Final

from levelhead.exchange.lists.list_rows import Line
from levelhead.exchange.lists.numbers import counted
from levelhead.exchange.lists.phrases import words_of
from levelhead.exchange.lists.spoken import spoken
from levelhead.exchange.lists.trade import TradeWords

__all__ = ["PAD", "without_remarks"]

PAD: Final = "pad"
_CABLE: Final = "cable"
_PHANTOM: Final = "phantom"
_DB: Final = r"[-−–]?\s*\d{1,2}\s*db"  # of a pad
_WORD: Final = r"(?:pad|dämpfung|atténuateur|atenuador|attenuatore|demper)"
# A pad for drumming ("drum pad", "pads") is an instrument: ours stands behind "with" or a comma,
# or has its decibels.
_PAD: Final = re.compile(
    rf"(?:\s*[,;(+&]\s*|\s+)(?:with|w/|and|mit|und|avec|con|e|met|en)\s*(?:a\s+|an\s+|{_DB}\s*)?{_WORD}"
    rf"(?:\s*{_DB})?\b\)?"
    rf"|\s*[,;(]\s*(?:{_DB}\s*)?{_WORD}(?:\s+(?:in|on|an|ein))?(?:\s*{_DB})?(?=\s*(?:[,;)]|$))\)?"
    rf"|\s+{_DB}\s*{_WORD}\b|\s+{_WORD}\s*{_DB}(?!\w)",
    re.IGNORECASE,
)
_ALONE: Final = re.compile(rf"(?:{_DB}\s*)?{_WORD}(?:\s+(?:in|on))?(?:\s*{_DB})?", re.IGNORECASE)
_LENGTH_LAST: Final = re.compile(
    r"(?:^|\s*[,;]\s*)((?:(?:xlr|jack|cable|lead|kabel|câble|cavo|cable de)\s+)?"
    r"\d{1,3}(?:[.,]\d+)?\s*(?:m|metres?|meters?|mtr|ft|feet))\s*$",
    re.IGNORECASE,
)
_POWER: Final = (
    r"(?:\+?\s*48\s*v(?:olts?)?|\+48|p\s?48|phantom(?:\s*power|speisung)?|phantomspeisung"
    r"|(?:alimentation\s+)?fant[ôo]me|(?:alimentaci[óo]n\s+)?fantasma|fantoom(?:voeding)?)"
)
_NO_POWER: Final = re.compile(
    r"[\s,;(]*\b(?:no|not|without|w/o|never|kein|keine|ohne|sans|pas\s+de|sin|senza|niente|geen|zonder)"
    rf"\s+(?:the\s+)?{_POWER}(?:\s+please)?(?!\w)|[\s,;(]*(?<!\w){_POWER}\s*:?\s+(?:off|no|aus|nein|non)\b",
    re.IGNORECASE,
)
_WITH_POWER: Final = re.compile(
    rf"[\s,;(+&]*(?<!\w)(?:(?:needs?|with|w/|mit|braucht|avec|con|met)\s+(?:{_POWER}|48)|{_POWER})"
    r"(?:\s+(?:on|please|an|ein))?(?!\w)",
    re.IGNORECASE,
)
_MANY: Final = re.compile(r"([2-8])\s+(?=[^\W\d])")  # "2 DI", "2 small condensers"


def without_remarks(line: Line, trade: TradeWords) -> Line:
    """The line with its remarks in cells of their own, and how many microphones or boxes it says.

    A column for pads says it with a cross. Only of a plain line is the end a length: in a table
    that is a column's business.
    """
    cells = dict(line.cells)
    if cells.get(PAD) and (trade.is_mark("no", cells[PAD]) or cells[PAD].strip() in {"-", "0"}):
        cells[PAD] = ""
    for kind in ("gear", "name"):
        text = cells.get(kind, "")
        length = _LENGTH_LAST.search(text) if line.is_plain and not cells.get(_CABLE) else None
        if length is not None:
            cells[_CABLE], text = length[1], text[: length.start()]
        pad = _PAD.search(text)
        if line.is_plain and kind == "gear" and _ALONE.fullmatch(text.strip(" ,;")):
            cells[PAD], text = text, ""
        elif pad is not None:
            cells[PAD], text = pad[0].strip(" ,;("), _PAD.sub("", text)
        if not cells.get(_PHANTOM):
            cells[_PHANTOM], text = _power(text, is_name=kind == "name")
        if kind in cells:
            cells[kind] = text.strip(" ,;")
    if not cells.get(_PHANTOM):
        cells[_PHANTOM] = _power(cells.get("note", ""))[0]
    times, cells["gear"] = _many(cells.get("gear", ""), trade)
    kept = {kind: text for kind, text in cells.items() if text}
    return replace(line, cells=kept, of_gear=times)


def _power(text: str, *, is_name: bool = False) -> tuple[str, str]:
    """Whether a text says that there is phantom power, or none, and the text without it.

    A name may be that of a character: there the bare word says nothing.
    """
    none = _NO_POWER.search(text)
    if none is not None:
        return "no", text[: none.start()] + text[none.end() :]
    some = _WITH_POWER.search(text)
    if some is None or (is_name and words_of(some[0]) == ("phantom",)):
        return "", text
    return "yes", text[: some.start()] + text[some.end() :]


def _many(text: str, trade: TradeWords) -> tuple[int, str]:
    """How many of a microphone or box a cell says, and the cell without it.

    A bare number counts only before words that are all known: else it is part of a name.
    """
    times, rest = counted(text)
    if rest != text:
        return times, rest
    bare = _MANY.match(text.strip())
    after = spoken(text.strip()[bare.end() :], trade) if bare else None
    if bare is None or after is None or after.strange or not after.traits:
        return 1, text
    return int(bare[1]), text.strip()[bare.end() :]
