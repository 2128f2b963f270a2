"""What each field may hold."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from levelhead.errors import ShowError
from levelhead.show import checks, lengths
from levelhead.show.model import Cable


@pytest.mark.parametrize(
    ("check", "given_value", "message"),
    [
        (checks.checked_id, "Vox 1", "'Vox 1' is no id; expected small letters"),
        (checks.checked_id, 5, "'5' is no text"),
        (checks.checked_label, "x" * 121, "121 characters; expected at most 120"),
        (checks.checked_label, "a\nb", r"the control character U\+000A"),
        (checks.checked_label, "\ud83c", r"the control character U\+D83C"),
        (checks.checked_label, "a\x1b[31m", r"the control character U\+001B"),
        (checks.checked_name, "  ", "an empty text"),
        (checks.checked_note, "x" * 10_001, "10001 characters"),
        (checks.checked_note, "bell \x07", r"U\+0007"),
        (checks.checked_date, "2026-02-30", "'2026-02-30' is no date; expected year-month-day"),
        (checks.checked_date, "20261205", "is no date"),
        (checks.checked_date, "5.12.2026", "Write it like 2026-12-05"),
        (checks.checked_count, -1, "is no such number; expected a whole number from 0"),
        (checks.checked_count, True, "is no such number"),
        (checks.checked_count, 2.5, "is no such number"),
        (checks.checked_count, 10**9, "is no such number"),
        (checks.checked_version, 0, "from 1"),
        (checks.checked_value, "", "is no value"),
        (checks.checked_value, "   ", "is no value"),
        (checks.checked_value, "x" * 101, "is no value"),
        (checks.checked_value, "3,5 dB", "has a comma in its number; .*Write 3.5 dB"),
        (checks.checked_value, "1,000 Hz", "nothing between thousands"),
        (checks.checked_value, "nan", "is not finite"),
        (checks.checked_value, "-.inf", "is not finite"),
        (checks.checked_value, "Infinity dB", "is not finite"),
        (checks.checked_value, "\u2212\u221e dB", "is not finite; .*Write off for a closed fader"),
        (checks.checked_value, "1e999 dB", "is not finite"),
        (checks.checked_value, "a\x00b", r"U\+0000"),
        (checks.checked_figure, "ch power", "names no figure"),
        (checks.checked_figure, "a." * 101 + "a", "names no figure"),
        (checks.checked_pin, "pin 2", "is no pin"),
        (checks.checked_pin, "", "is no pin"),
        (checks.checked_setting, "desk", "is no address of a control"),
        (checks.checked_setting, "desk.lock", "is no address of a control"),
        (checks.checked_setting, "desk.a.b.c.d", "is no address of a control"),
        (checks.checked_speaks_into, "Anna", "is no item and no address"),
        (lengths.checked_place_m, float("nan"), "is no coordinate"),
        (lengths.checked_place_m, float("inf"), "is no coordinate"),
        (lengths.checked_place_m, 10_001, "is no coordinate"),
        (lengths.checked_place_m, True, "is no coordinate"),
        (lengths.checked_place_m, "2,5 m", "decimal commas are not read"),
        (lengths.checked_place_m, "5", "the number has no unit"),
        (lengths.checked_length_m, 0, "is no length"),
        (lengths.checked_distance_m, "9 km", "at most 1000 m"),
        (lengths.checked_length_m, "-1 m", "is no length; expected a length with its unit"),
        (lengths.checked_length_m, float("nan"), "is no length"),
        (lengths.checked_length_m, "nan m", "not a finite number"),
        (lengths.checked_length_m, "5 kg", "a mass in kg was read"),
        (lengths.checked_length_m, "1" * 200 + " m", "expected a length with its unit"),
        (lengths.checked_cable, "Cable 10 m", "is no cable; expected a type of the gear book"),
        (lengths.checked_cable, "cable-xlr 10", "the number has no unit"),
        (lengths.checked_cable, "", "is no cable"),
    ],
)  # fmt: skip
def test_what_does_not_fit_is_refused_with_words(
    check: Callable[[object], object], given_value: object, message: str
) -> None:
    with pytest.raises(ShowError, match=message):
        check(given_value)


@pytest.mark.parametrize("text", ["Anna", "Ümit − 2", "🎤", "👩‍🎤", "naïve\u00a0space", ""])
def test_any_script_is_a_label(text: str) -> None:
    assert checks.checked_label(text) == text


@pytest.mark.parametrize(
    "text", ["35 dB", "on", "unknown", "off", "-6 dB", "1.20", "info", "nanotube", "L, R"]
)
def test_values_stay_text(text: str) -> None:
    assert checks.checked_value(text) == text


def test_notes_have_lines() -> None:
    assert checks.checked_note("two\n\tlines\n") == "two\n\tlines\n"


@pytest.mark.parametrize(
    ("text", "length_m"), [("10 m", 10), ("5 cm", 0.05), ("250 mm", 0.25), ("10 ft", 3.048)]
)
def test_lengths_have_units(text: str, length_m: float) -> None:
    """A foot is 0.3048 m exactly (international yard and pound agreement of 1959)."""
    assert lengths.checked_length_m(text) == pytest.approx(length_m, rel=1e-15)


@given(length_m=st.floats(1e-6, 10_000))
def test_a_written_length_is_exactly_the_length(length_m: float) -> None:
    assert lengths.checked_length_m(lengths.length_text(length_m)) == length_m


@given(
    kind=st.from_regex(r"[a-z0-9][a-z0-9-]{0,9}", fullmatch=True),
    length_m=st.none() | st.floats(1e-3, 10_000),
)
def test_a_written_cable_is_the_cable(kind: str, length_m: float | None) -> None:
    cable = Cable(kind, length_m)
    assert lengths.checked_cable(lengths.cable_text(cable)) == cable


@pytest.mark.parametrize(
    ("length_m", "text"),
    [(10.0, "10 m"), (0.3, "30 cm"), (0.05, "5 cm"), (1.5, "1.5 m"), (0.015, "1.5 cm")],
)
def test_lengths_are_written_as_people_do(length_m: float, text: str) -> None:
    assert lengths.length_text(length_m) == text


@pytest.mark.parametrize("given", ["30 mA", "0.3 A", "10mA"])
def test_residual_currents_are_kept_as_typed(given: str) -> None:
    assert checks.checked_residual(given) == given


@pytest.mark.parametrize("given", ["30 V", "30", "-30 mA", "0 A", "16 A", "", "x" * 200, 30])
def test_what_is_no_residual_current_is_refused(given: object) -> None:
    with pytest.raises(ShowError, match="expected"):
        checks.checked_residual(given)


def test_an_earth_is_sound_or_lost() -> None:
    assert [checks.checked_earth(each) for each in ("sound", "lost")] == ["sound", "lost"]
    with pytest.raises(ShowError, match="expected sound or lost"):
        checks.checked_earth("lifted")
