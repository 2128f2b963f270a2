"""What stands beside the gear in one cell or line: a pad, the length of a cable at the end.

``kick in, condenser, pad -10 dB, 10,5 m`` is a microphone, its pad, and its cable.
"""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Final

from levelhead.exchange.lists.list_rows import Line
from levelhead.exchange.lists.trade import TradeWords

__all__ = ["PAD", "without_remarks"]

PAD: Final = "pad"
_CABLE: Final = "cable"
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


def without_remarks(line: Line, trade: TradeWords) -> Line:
    """The line with a pad, and a length that ends it, in cells of their own.

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
        if kind in cells:
            cells[kind] = text.strip(" ,;")
    return replace(line, cells={kind: text for kind, text in cells.items() if text})
