"""Plain text in 80 columns."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from levelhead.cli.reports.columns import WIDTH, cut, cut_front, entry, number, paragraph


@given(st.text(), st.integers(min_value=4, max_value=100))
def test_a_cut_text_fits_and_says_that_it_goes_on(text: str, width: int) -> None:
    short = cut(text, width)
    assert len(short) <= width
    assert short == text or short.endswith("...")
    assert text.startswith(short.removesuffix("..."))


@given(st.text(), st.integers(min_value=4, max_value=100))
def test_a_cut_address_keeps_its_end(text: str, width: int) -> None:
    short = cut_front(text, width)
    assert len(short) <= width
    assert text.endswith(short.removeprefix("...")) or short == text


@given(st.text())
def test_no_line_is_longer_than_80_columns(text: str) -> None:
    assert all(len(line) <= WIDTH for line in (*paragraph(text), *entry("FAILS", text)))


@pytest.mark.parametrize("figure", ["34.7 V", "+4.0 dBu", "96 dB SPL", "2.2 kohm", "41 %", "5 cm"])
@pytest.mark.parametrize("before", range(66, 80))
def test_a_number_stays_with_its_unit(figure: str, before: int) -> None:
    assert any(figure in line for line in paragraph(f"{'x' * before} {figure}, and more of it"))


@given(st.lists(st.text("abc-.", min_size=1, max_size=60), min_size=1))
def test_no_word_is_lost(words: list[str]) -> None:
    assert " ".join(entry("FAILS", " ".join(words))).split() == ["FAILS", *words]


@pytest.mark.parametrize(
    ("value", "signed", "text"),
    [
        (4.0, True, "+4.0"), (-12.34, True, "-12.3"), (0.04, True, "0.0"), (-0.04, True, "0.0"),
        (None, True, "-"), (4.0, False, "4.0"), (-10.7, False, "-10.7"), (94, False, "94.0"),
    ],
)  # fmt: skip
def test_numbers(value: float | None, signed: bool, text: str) -> None:  # noqa: FBT001 - a column of the table
    assert number(value, signed=signed) == text
