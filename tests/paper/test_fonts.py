"""The typeface: what it covers, and what happens to the rest."""

from __future__ import annotations

import string

import numpy as np
import pytest
import typst

from levelhead.paper.fonts import covered, font_folder, printable

ALPHABETS = {
    "English": string.ascii_letters + string.digits,
    "French": "àâæçéèêëîïôœùûüÿ«»",
    "German": "äöüßÄÖÜ„“",
    "Polish": "ąćęłńóśźżĄĆĘŁŃÓŚŹŻ",
    "Czech": "áčďéěíňóřšťúůýž",
    "Turkish": "çğıİöşü",
    "Icelandic": "ðþæö",
    "Hungarian": "őűŐŰ",
    "Vietnamese": "ạảấầẩẫậắằẳẵặđơư",
    "Greek": "αβγδεζηθικλμνξοπρσςτυφχψωάέήίόύώΩ",
    "Russian": "абвгдеёжзийклмнопрстуфхцчшщъыьэюя",
    "Ukrainian": "ґєіїҐЄІЇ",
    "Serbian": "ђјљњћџ",
}


@pytest.mark.parametrize("language", ALPHABETS)
def test_alphabets_are_covered(language: str) -> None:
    assert printable(ALPHABETS[language]) == (ALPHABETS[language], frozenset())


@pytest.mark.parametrize("signs", ["−±×÷≤≥≈∞", "Ωµ°%‰", "→←↑↓", "–—…·•€£"])
def test_signs_of_the_trade_are_covered(signs: str) -> None:
    assert printable(signs)[1] == frozenset()


def can_be_set(letter: str) -> bool:
    """Whether the typesetter finds a glyph: under PDF/UA it refuses text that it cannot show."""
    fonts = typst.Fonts(
        include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(font_folder())]
    )
    source = '#set document(title: "t")\n#set text(font: "IBM Plex Sans")\n#sys.inputs.letter'
    compiler = typst.Compiler(source.encode(), font_paths=fonts)
    try:
        compiler.compile(format="pdf", sys_inputs={"letter": letter}, pdf_standards="ua-1")
    except typst.TypstError:
        return False
    return True


def test_coverage_agrees_with_the_typesetter() -> None:
    """Our reading of the font's character map against an independent one, on both sides of it."""
    chance = np.random.default_rng(5)
    visible = [c for c in sorted(covered()) if chr(c).isprintable() and c > ord(" ")]
    lacking = [c for c in range(0x370, 0x3000) if c not in covered() and chr(c).isprintable()]
    for code in chance.choice(visible, 40, replace=False):
        assert can_be_set(chr(code)), f"U+{code:04X}"
    for code in chance.choice(lacking, 20, replace=False):
        assert not can_be_set(f"a{chr(code)}"), f"U+{code:04X}"


def test_a_letter_and_its_loose_accent_become_one() -> None:
    assert printable("Zoe\u0308") == ("Zoë", frozenset())


def test_what_has_no_shape_is_dropped() -> None:
    assert printable("a\u200db\ufe0fc\x00") == ("abc", frozenset())


def test_what_cannot_be_shown_is_written_as_code_point() -> None:
    text, missing = printable("琴 🎸")
    assert text == "[U+7434] [U+1F3B8]"
    assert missing == {"琴", "🎸"}
