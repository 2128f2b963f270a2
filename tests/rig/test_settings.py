"""Settings read against their controls, and written back."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from levelhead.errors import ShowError
from levelhead.gear.plan import ControlPlan
from levelhead.rig.settings import read_setting, setting_text


def control(kind: str, low: float = -math.inf, high: float = 10.0) -> ControlPlan:
    """A control."""
    options = ("off", "on", "auto") if kind == "switch" else ()
    return ControlPlan("c", "c", kind, low, high, 0.0, "even", options, 0.0)  # type: ignore[arg-type]


FADER, PAN, SWITCH = control("range"), control("pan", -1, 1), control("switch")


def read(text: str, of: ControlPlan) -> float | str:
    """A setting at some place of a file."""
    return read_setting(text, of, where="show.yaml:7:3")


@pytest.mark.parametrize(
    ("text", "of", "value"),
    [
        ("-6 dB", FADER, -6.0),
        ("+3.5 dB", FADER, 3.5),
        ("off", FADER, -math.inf),
        ("10 dB", FADER, 10.0),
        ("left", PAN, -1.0),
        ("centre", PAN, 0.0),
        ("0.25", PAN, 0.25),
        ("auto", SWITCH, "auto"),
    ],
)
def test_what_a_panel_allows(text: str, of: ControlPlan, value: float | str) -> None:
    assert read(text, of) == value


@pytest.mark.parametrize(
    ("text", "of", "said"),
    [
        ("10.1 dB", FADER, r"show\.yaml:7:3: '10\.1 dB' is outside.*expected off to 10 dB"),
        ("off", control("range", 0, 60), r"'off' is outside.*expected 0 dB to 60 dB"),
        ("loud", FADER, r"'loud' is no setting.*expected a setting in dB, off to 10 dB"),
        ("900 dB", FADER, r"'900 dB' is no setting.*expected a setting in dB, off to 10 dB"),
        ("3 V", FADER, r"'3 V' is no setting"),
        ("middle", PAN, r"expected left, centre, right, or a number from -1 \(left\) to 1"),
        ("1.2", PAN, r"'1\.2' is outside the control's range; expected left to right"),
        ("nan", PAN, r"'nan' is outside"),
        ("atuo", SWITCH, r"'atuo' is none of its positions.*Did you mean 'auto'"),
        ("sideways", SWITCH, r"expected one of off, on, auto\. Name one of them"),
    ],
)
def test_what_it_does_not(text: str, of: ControlPlan, said: str) -> None:
    with pytest.raises(ShowError, match=said):
        read(text, of)


@given(st.floats(-90, 10).map(lambda level: round(level, 1)))
def test_what_is_written_is_read_back(level_db: float) -> None:
    assert read(setting_text(level_db, FADER), FADER) == pytest.approx(level_db, abs=1e-9)


@given(st.floats(-1, 1).map(lambda position: round(position, 2)))
def test_a_pan_too(position: float) -> None:
    assert read(setting_text(position, PAN), PAN) == pytest.approx(position, abs=1e-9)


def test_words_of_settings() -> None:
    assert setting_text("on", SWITCH) == "on"
    assert setting_text(-math.inf, FADER) == "off"
    assert setting_text(1.0, PAN) == "right"
