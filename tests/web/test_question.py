"""What comes in from a browser."""

from __future__ import annotations

from typing import Any

import pytest

from levelhead.errors import AskError, LevelheadError
from levelhead.web.question import LONGEST_TEXT, question_from_form, question_from_json

ENDS = {"from": "keys", "to": "line"}
EMPTY = {"cable": None, "length_m": None, "at": None, "settings": {}}


def test_what_is_left_out_is_none() -> None:
    assert question_from_json(ENDS) == {**ENDS, **EMPTY}


def test_blanks_are_nothing() -> None:
    blank = {"from": " keys ", "to": "line", "cable": "  ", "at": "", "length_m": " "}
    assert question_from_json(blank) == {**ENDS, **EMPTY}


@pytest.mark.parametrize(
    ("typed", "length_m"),
    [
        ("10", 10.0),
        ("10 m", 10.0),
        ("2,5 m", 2.5),
        ("50 cm", 0.5),
        (3, 3.0),
        (0.5, 0.5),
        (None, None),
    ],
)
def test_lengths_are_read_as_people_write_them(typed: Any, length_m: float | None) -> None:
    assert question_from_json({**ENDS, "length_m": typed})["length_m"] == length_m


@pytest.mark.parametrize(
    "typed",
    [
        "-3 m",
        "0",
        "1e9 m",
        "10 kg",
        "long",
        "m",
        -1,
        0,
        float("nan"),
        float("inf"),
        True,
        [],
        "9" * 300,
    ],
)
def test_what_is_no_length_is_refused(typed: Any) -> None:
    with pytest.raises(LevelheadError, match="expected"):
        question_from_json({**ENDS, "length_m": typed})


@pytest.mark.parametrize("missing", ["from", "to"])
def test_both_ends_are_needed(missing: str) -> None:
    with pytest.raises(AskError, match=f"'{missing}': nothing is written"):
        question_from_json({**ENDS, missing: " "})


def test_a_long_text_is_refused() -> None:
    with pytest.raises(AskError, match=f"{LONGEST_TEXT + 1} characters; expected at most"):
        question_from_json({**ENDS, "at": "x" * (LONGEST_TEXT + 1)})


def test_unknown_fields_are_refused_in_json() -> None:
    with pytest.raises(AskError, match="unknown fields colour"):
        question_from_json({**ENDS, "colour": "red"})


@pytest.mark.parametrize("settings", [[], "x", {"a.b": 3}, {str(n): "1" for n in range(65)}])
def test_settings_are_texts_by_address(settings: Any) -> None:
    with pytest.raises(AskError, match=r"'settings'|'a\.b': not a text"):
        question_from_json({**ENDS, "settings": settings})


def test_a_form_holds_settings_under_their_prefix() -> None:
    form = {**ENDS, "set.desk.ch1.gain": "35 dB", "set.desk.ch1.pad": " ", "utm": "x"}
    assert question_from_form(form)["settings"] == {"desk.ch1.gain": "35 dB"}
