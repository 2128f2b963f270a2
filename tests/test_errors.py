"""Errors are made of four parts, can be widened, collected and sent to another process."""

from __future__ import annotations

import pickle

import pytest

from levelhead.errors import GearError, LevelheadError, QuantityError, ShowError


def an_error(what: str = "unit 'dBq' is not known") -> QuantityError:
    return QuantityError(what, where="value '4 dBq'", expected="a unit", remedy="Write dBu.")


def test_message_says_what_where_what_was_expected_and_what_to_do() -> None:
    """All four parts are in the text and apart."""
    error = an_error()
    assert str(error) == ("value '4 dBq': unit 'dBq' is not known; expected a unit. Write dBu.")
    assert (error.what, error.remedy) == ("unit 'dBq' is not known", "Write dBu.")


def test_place_is_widened_from_the_outside() -> None:
    """A file knows its line, a value only itself."""
    error = an_error().at("friday.yaml:4:2")
    assert isinstance(error, QuantityError)
    assert error.where == "friday.yaml:4:2, value '4 dBq'"


def test_errors_of_a_file_are_collected() -> None:
    """People mend ten at once: the text lists them, the list keeps them."""
    singles = [an_error("first"), an_error("second")]
    error = ShowError.collected(singles, where="friday.yaml")
    assert error.errors == tuple(singles)
    assert str(error).splitlines() == [str(single) for single in singles]


def test_collecting_collected_errors_keeps_every_single_one() -> None:
    """Two files of two errors each are four errors."""
    file = GearError.collected([an_error("a"), an_error("b")], where="gear.yaml")
    both = ShowError.collected([file, an_error("c")], where="friday.yaml")
    assert [single.what for single in both.errors] == ["a", "b", "c"]


def test_single_error_stands_for_itself() -> None:
    """No list of one, but the kind that the caller catches."""
    single = ShowError("no date", where="friday.yaml", expected="a date", remedy="Add one.")
    assert ShowError.collected([single], where="friday.yaml") is single
    assert single.errors == (single,)
    with pytest.raises(ShowError, match="value '4 dBq'"):
        raise ShowError.collected([an_error()], where="friday.yaml")


def test_error_survives_a_trip_to_another_process() -> None:
    """By pickle, with text, parts and single errors."""
    error = ShowError.collected([an_error("a"), an_error("b")], where="friday.yaml")
    back = pickle.loads(pickle.dumps(error))  # noqa: S301  our own bytes
    assert isinstance(back, LevelheadError)
    assert str(back) == str(error)
    assert [single.what for single in back.errors] == ["a", "b"]
