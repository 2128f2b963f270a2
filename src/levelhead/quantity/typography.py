"""The signs that people and word processors put in place of ASCII, and what they stand for.

Files and programs have a plain hyphen before a figure, screens and paper a real minus sign.
"""

from __future__ import annotations

import re
from typing import Final

__all__ = ["MINUS", "in_ascii", "with_minus", "with_minus_between_tags"]

MINUS: Final = "\N{MINUS SIGN}"
_HYPHEN: Final = re.compile(r"(?<![\w.-])-(?=\d)")
_TAGS: Final = re.compile(r"(<textarea\b.*?</textarea>|<[^>]*>)", re.DOTALL)  # their texts stay
_MINUS: Final = "\u2212\u2010\u2011\u2012\u2013\ufe63\uff0d"  # minus sign, hyphens, dashes
_SPACES: Final = (
    "\u00a0\u2000\u2001\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a\u202f\u205f\u3000"
)
_NOTHING: Final = "\u200b\u2060\ufeff"  # zero width
_STANDS_FOR: Final = str.maketrans(
    {
        **dict.fromkeys(_MINUS, "-"),
        **dict.fromkeys(_SPACES, " "),
        **dict.fromkeys(_NOTHING, ""),
        **dict.fromkeys("\u00b5\u03bc", "u"),  # micro sign, Greek mu
        **dict.fromkeys("\u2126\u03a9\u03c9", "ohm"),  # ohm sign, Greek omega
        **dict.fromkeys("\u00b0\u00ba\u02da", "deg"),  # degree sign and its look-alikes
        **dict.fromkeys("\u2032\u2019", "'"),
        **dict.fromkeys("\u2033\u201d", '"'),
        **dict.fromkeys("\u2044\u2215", "/"),
        "\uff0b": "+",
        "\u2103": "degC",
        "\u2109": "degF",
        "\u00b2": "^2",
        "\u00b3": "^3",
        "\u221a": "rt",
        "\u00d7": "x",
        "\u2236": ":",
        "\u33c8": "dB",
        "\u3390": "Hz",
        "\u3391": "kHz",
        "\u338c": "uF",
        "\u339c": "mm",
        "\u339d": "cm",
        "\u339e": "km",
    }
)


def in_ascii(text: str) -> str:
    """Replace the signs that have an ASCII spelling by it; others stay as they are.

    >>> in_ascii("\u221210 \u00b5V"), in_ascii("2.2 k\u03a9"), in_ascii("1.5 mm\u00b2")
    ('-10 uV', '2.2 kohm', '1.5 mm^2')
    """
    return text if text.isascii() else text.translate(_STANDS_FOR)


def with_minus(text: str) -> str:
    """A sentence with real minus signs before its figures, names left as they are.

    >>> with_minus("-40 dB (it was -36 dB), cable-2, pins 2-3")
    '\u221240 dB (it was \u221236 dB), cable-2, pins 2-3'
    """
    return _HYPHEN.sub(MINUS, text)


def with_minus_between_tags(markup: str) -> str:
    """The same of a page or a drawing: what is read, not what tags and fields hold.

    >>> with_minus_between_tags('<g transform="rotate(-17)"><text>-17 dB</text></g>')
    '<g transform="rotate(-17)"><text>\u221217 dB</text></g>'
    """
    parts = _TAGS.split(markup)
    parts[::2] = map(with_minus, parts[::2])
    return "".join(parts)
