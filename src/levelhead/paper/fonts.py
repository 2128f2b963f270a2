"""The typeface of everything printed, and which characters it has.

The font comes with a package, never from the machine, so that every machine prints the same page.
A character that the font lacks would come out as an empty box without a word; `printable` writes
its code point instead and says that it did.
"""

from __future__ import annotations

import struct
import unicodedata
from collections.abc import Iterator
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Final

FONT_PACKAGE: Final = "fontpkg_ibm_plex_sans"
UPRIGHT_FILE: Final = "IBMPlexSans[wdth,wght].ttf"
WHITE_SPACE: Final = frozenset("\t\n\r\v\f\u0085\u2028\u2029")

# The two forms of character map that Unicode fonts use: ISO/IEC 14496-22 (OpenType), table "cmap".
SEGMENTS_16_BIT: Final = 4
GROUPS_32_BIT: Final = 12


def font_folder() -> Path:
    """Folder with the typeface's files."""
    return Path(str(files(FONT_PACKAGE) / "files"))


@cache
def covered() -> frozenset[int]:
    """Code points for which the typeface has a glyph."""
    font = (font_folder() / UPRIGHT_FILE).read_bytes()
    return frozenset(code for table in _subtables(font) for code in _codes(table))


def printable(text: str) -> tuple[str, frozenset[str]]:
    r"""Text as the typeface can show it, and the characters that had to be written as code points.

    Accents are composed, line breaks and tabs become spaces (a no-break space stays one),
    characters without any shape (joiners, direction marks) are dropped.

    Examples
    --------
    >>> printable("Zoë\tΩ Ж")
    ('Zoë Ω Ж', frozenset())
    >>> printable("Ensemble 天")
    ('Ensemble [U+5929]', frozenset({'天'}))
    """
    composed = unicodedata.normalize("NFC", text)
    spaced = "".join(" " if letter in WHITE_SPACE else letter for letter in composed)
    shown = "".join(letter for letter in spaced if not _is_shapeless(letter))
    missing = frozenset(letter for letter in shown if ord(letter) not in covered())
    return "".join(f"[U+{ord(c):04X}]" if c in missing else c for c in shown), missing


def _is_shapeless(letter: str) -> bool:
    """Controls, joiners and the variation selectors that follow pictographs."""
    return unicodedata.category(letter) in {"Cc", "Cf", "Cs"} or "\ufe00" <= letter <= "\ufe0f"


def _subtables(font: bytes) -> Iterator[bytes]:
    """The character maps of a font file."""
    (table_count,) = struct.unpack_from(">H", font, 4)
    for index in range(table_count):
        tag, _, offset, length = struct.unpack_from(">4sLLL", font, 12 + 16 * index)
        if tag != b"cmap":
            continue
        table = font[offset : offset + length]
        (map_count,) = struct.unpack_from(">H", table, 2)
        for number in range(map_count):
            (start,) = struct.unpack_from(">L", table, 4 + 8 * number + 4)
            yield table[start:]


def _codes(table: bytes) -> Iterator[int]:
    """Code points that one character map leads to a glyph."""
    (form,) = struct.unpack_from(">H", table, 0)
    if form == SEGMENTS_16_BIT:
        yield from _codes_in_segments(table)
    elif form == GROUPS_32_BIT:
        (group_count,) = struct.unpack_from(">L", table, 12)
        for index in range(group_count):
            first, last, glyph = struct.unpack_from(">LLL", table, 16 + 12 * index)
            yield from (code for code in range(first, last + 1) if glyph + code - first)


def _codes_in_segments(table: bytes) -> Iterator[int]:
    """Format 4: four parallel arrays (end, start, delta, range offset), one entry a segment."""
    count = struct.unpack_from(">H", table, 6)[0] // 2
    last, first, delta, reach = (
        struct.unpack_from(f">{count}H", table, start)
        for start in (14, 16 + 2 * count, 16 + 4 * count, 16 + 6 * count)
    )
    for index in range(count):
        for code in range(first[index], last[index] + 1):
            if reach[index] == 0:
                glyph = (code + delta[index]) & 0xFFFF
            else:  # the offset counts from its own place in the array
                place = 16 + 6 * count + 2 * index + reach[index] + 2 * (code - first[index])
                (glyph,) = struct.unpack_from(">H", table, place)
            if glyph:
                yield code
