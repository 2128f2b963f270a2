"""Signs of word processors stand for ASCII, and nothing else is touched."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from levelhead.quantity.typography import in_ascii


@given(st.text(alphabet=st.characters(max_codepoint=127)))
def test_ascii_stays_as_it_is(text: str) -> None:
    assert in_ascii(text) is text


@pytest.mark.parametrize(
    ("text", "ascii_text"),
    [
        ("\u22123\u00a0dB", "-3 dB"),
        ("4.7\u202fk\u2126", "4.7 kohm"),
        ("5 nV/\u221aHz", "5 nV/rtHz"),
        ("20\u00a0\u00baC", "20 degC"),
        ("6\u2032 2\u2033", "6' 2\""),
        ("1\u200b0 m", "10 m"),
        ("3 \u5c3a", "3 \u5c3a"),
    ],
)
def test_usual_signs(text: str, ascii_text: str) -> None:
    assert in_ascii(text) == ascii_text
