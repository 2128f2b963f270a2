"""What single words mean in YAML 1.2, and how values are written so that they read back."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from ruamel.yaml import YAML

from levelhead.show.yaml.scalars import Kind, plain_kind, plain_number, scalar_text

# Text that a YAML file can hold at all, in any of its spellings.
texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=40)


@pytest.mark.reference("YAML 1.2.2, section 10.3.2, example 10.9 (core tag resolution)")
@pytest.mark.parametrize(
    ("words", "kind", "values"),
    [
        (["null", ""], Kind.NULL, None),
        (["true", "True", "false", "FALSE"], Kind.BOOLEAN, None),
        (["0", "0o7", "0x3A", "-19"], Kind.INTEGER, [0, 7, 0x3A, -19]),
        (["0.", "-0.0", ".5", "+12e03", "-2E+05"], Kind.NUMBER, [0, 0, 0.5, 12000, -200000]),
        ([".inf", "-.Inf", "+.INF"], Kind.NUMBER, [math.inf, -math.inf, math.inf]),
    ],
)
def test_words_mean_what_the_core_schema_says(
    words: list[str], kind: Kind, values: list[float] | None
) -> None:
    assert [plain_kind(word) for word in words] == [kind] * len(words)
    if values is not None:
        assert [plain_number(word) for word in words] == values


@pytest.mark.reference("YAML 1.2.2, section 10.3.2, example 10.9 (core tag resolution)")
def test_nan_is_a_number_that_is_none() -> None:
    assert plain_kind(".NAN") is Kind.NUMBER
    assert math.isnan(plain_number(".NAN") or 0.0)


@pytest.mark.parametrize(
    "word", ["no", "on", "yes", "y", "22:30", "2026-12-05", "1_000", "0b1", "35 dB", "+", "."]
)
def test_words_that_older_yaml_took_for_something_else_are_text(word: str) -> None:
    """Their meanings were in YAML 1.1 and are gone from the core schema of 1.2."""
    assert plain_kind(word) is Kind.TEXT
    assert plain_number(word) is None


@given(
    text=texts,
    quote=st.sampled_from(["", '"', "'"]),
    frame=st.sampled_from(["k: {}", "{{k: {}}}", "[{}]"]),
)
def test_written_text_reads_back(text: str, quote: str, frame: str) -> None:
    """An independent reader gets the same text from every context; it also resolves plain words."""
    read = YAML(typ="safe", pure=True).load(frame.format(scalar_text(text, quote=quote)))
    assert (read[0] if isinstance(read, list) else read["k"]) == text


@given(value=st.floats(allow_nan=False, allow_infinity=False))
def test_written_numbers_read_back(value: float) -> None:
    assert plain_number(scalar_text(value)) == value


@pytest.mark.parametrize(
    ("value", "written"),
    [
        ("35 dB", "35 dB"), ("-6 dB", "-6 dB"), ("desk.ch1.mic", "desk.ch1.mic"), ("on", "on"),
        ("012", '"012"'), ("null", '"null"'), ("a: b", '"a: b"'), ("a #b", '"a #b"'), ("", '""'),
        ("box.out[1-4]", '"box.out[1-4]"'), (" x", '" x"'), ("x ", '"x "'),
        ("-", '"-"'), ("a\tb", '"a\\tb"'),
        ("\u2028", '"\\u2028"'), ("\x07", '"\\u0007"'), ("\ufeff", '"\\ufeff"'), ("Ümit", "Ümit"),
        (2.0, "2"), (-0.5, "-0.5"), (6, "6"),
    ],
)  # fmt: skip
def test_quotes_stand_only_where_they_are_needed(value: str | float, written: str) -> None:
    assert scalar_text(value) == written


def test_quotes_stay_as_they_were() -> None:
    assert scalar_text("Anna", quote='"') == '"Anna"'
    assert scalar_text("it's", quote="'") == "'it''s'"
    assert scalar_text("two\nlines", quote="'") == '"two\\nlines"'
