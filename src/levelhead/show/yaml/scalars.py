"""Single values of YAML 1.2: what a plain word means, and how to write one that reads back.

The meanings are those of the core schema (YAML 1.2.2, section 10.3.2), so ``no``, ``on``, ``22:30``
and dates are text.
"""

from __future__ import annotations

import json
import re
from enum import Enum
from typing import Final

__all__ = ["Kind", "plain_kind", "plain_number", "scalar_text"]


class Kind(Enum):
    """What a single value is."""

    TEXT = "text"
    INTEGER = "a whole number"
    NUMBER = "a number"
    BOOLEAN = "true or false"
    NULL = "nothing"


# YAML 1.2.2, section 10.3.2, table of the core schema's tag resolution
_KINDS: Final = (
    (Kind.NULL, re.compile(r"|~|null|Null|NULL")),
    (Kind.BOOLEAN, re.compile(r"true|True|TRUE|false|False|FALSE")),
    (Kind.INTEGER, re.compile(r"[-+]?[0-9]+|0o[0-7]+|0x[0-9a-fA-F]+")),
    (Kind.NUMBER, re.compile(r"[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?")),
    (Kind.NUMBER, re.compile(r"[-+]?\.(?:inf|Inf|INF)|\.(?:nan|NaN|NAN)")),
)
_FIRST: Final = frozenset("~nNtTfF+-.0123456789")  # of a word that one of them takes
_LONGEST_WORD: Final = 64  # characters; no number of a show is longer, and huge ones cost time

# Words that need no quotes inside {} and [] as well as outside: a careful part of what YAML allows.
_PLAIN: Final = re.compile(r"(?:\w|[-+.\u2212](?=\w))(?:[\w.+\-/()=;\u2212]|[ ](?=[^ #]))*")
# Escaped although they may stand in a file: separators and marks that editors lose or hide, and
# what YAML forbids.
_ESCAPED: Final = re.compile(
    "[^\t\n\r\x20-\x7e\xa0-\u2027\u202a-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]"
)
_WIDTHS: Final = ((0xFF, "\\x{:02x}"), (0xFFFF, "\\u{:04x}"), (0x10FFFF, "\\U{:08x}"))


def plain_kind(word: str) -> Kind:
    """What an unquoted word means.

    Examples
    --------
    >>> [plain_kind(word).name for word in ("no", "012", "1e3", ".5", "~", "2026-12-05")]
    ['TEXT', 'INTEGER', 'NUMBER', 'NUMBER', 'NULL', 'TEXT']
    """
    if len(word) > _LONGEST_WORD or (word and word[0] not in _FIRST):
        return Kind.TEXT
    return next((kind for kind, pattern in _KINDS if pattern.fullmatch(word)), Kind.TEXT)


def plain_number(word: str) -> float | None:
    """Value of an unquoted number, ``.inf`` and ``.nan`` too; ``None`` for any other word.

    Examples
    --------
    >>> plain_number("1.50"), plain_number("0x10"), plain_number("ten") is None
    (1.5, 16.0, True)
    """
    kind = plain_kind(word)
    if kind is Kind.INTEGER:
        base = {"0o": 8, "0x": 16}.get(word[:2], 10)
        return float(int(word, base))
    if kind is Kind.NUMBER:
        special = word[-1].isalpha()  # .inf and .nan
        return float(word.replace(".", "") if special else word)
    return None


def scalar_text(value: str | float, *, quote: str = "") -> str:
    """A value as it stands in a file, with quotes where it needs them or had them before.

    Parameters
    ----------
    value : str or float
        Text, or a finite number.
    quote : str
        Style of quotes to keep if text allows it: ``"``, ``'`` or none.

    Examples
    --------
    >>> print(scalar_text("35 dB"), scalar_text("012"), scalar_text("Anna: lead"), scalar_text(2.0))
    35 dB "012" "Anna: lead" 2
    """
    if not isinstance(value, str):
        return str(int(value)) if value == int(value) and abs(value) < 1e15 else repr(value)  # noqa: PLR2004
    if quote == "'" and value.isprintable():
        return "'" + value.replace("'", "''") + "'"
    is_plain = _PLAIN.fullmatch(value) and plain_kind(value) is Kind.TEXT
    if quote != '"' and is_plain and value.isprintable():
        return value
    return _ESCAPED.sub(_escape, json.dumps(value, ensure_ascii=False))


def _escape(match: re.Match[str]) -> str:
    """One character as YAML's double quotes spell it."""
    code = ord(match[0])
    return next(form.format(code) for most, form in _WIDTHS if code <= most)
