"""Questions about outputs of amplifiers, and what is plugged into outputs and amplifiers."""

from __future__ import annotations

import pytest

from levelhead.errors import AskError
from levelhead.show.edits import Set
from levelhead.verdicts.told.severity import Severity
from tests.planning.asking import asked, asked_with, remedies, sockets, the


@pytest.mark.parametrize("input_", ["line", "mic"])
def test_a_loudspeaker_output_into_a_powered_loudspeaker_harms(input_: str) -> None:
    """The switch stands behind the socket: line or mic, the volts are the same."""
    told = asked("amp speaker out", f"powered loudspeaker {input_} input")
    assert told.verdict is Severity.HARM
    assert told.told is the(told, "harm.level")
    assert "will be damaged" in told.why
    assert told.cautions


@pytest.mark.parametrize("input_", ["line", "mic"])
def test_the_solved_remedy_is_the_link_output_of_that_amplifiers_input(input_: str) -> None:
    first = remedies(asked("amp speaker out", f"powered loudspeaker {input_} input"))[0]
    assert sockets(first) == {"amplifier-two-channel.ch1.link", "loudspeaker-powered-12.in"}
    assert first.verdict_after is Severity.FINE


def test_the_mic_switch_goes_to_line_with_it() -> None:
    first = remedies(asked("amp speaker out", "powered loudspeaker mic input"))[0]
    assert Set("loudspeaker-powered-12.input", "line") in first.edits


@pytest.mark.parametrize("input_", ["line", "mic"])
def test_turning_something_down_is_no_remedy_for_harm(input_: str) -> None:
    """A knob that is down is one touch away from full; trim and switch stand behind the socket."""
    told = asked("amp speaker out", f"powered loudspeaker {input_} input")
    turned = {
        edit.address for each in told.findings for remedy in each.remedies for edit in remedy.edits
        if isinstance(edit, Set)
    }  # fmt: skip
    assert turned <= {"loudspeaker-powered-12.input"}
    down = {"amplifier-two-channel.ch1.level": "-40 dB"}
    assert asked_with("amp speaker out", f"powered loudspeaker {input_} input", down).verdict is (
        Severity.HARM
    )


def test_beside_harm_nothing_is_said_about_how_well_it_would_do() -> None:
    told = asked("amp speaker out", "powered loudspeaker line input")
    assert [each.code for each in told.findings if each.severity is not Severity.FINE] == [
        "harm.level"
    ]
    assert told.notes == ()


def test_that_link_output_is_fine() -> None:
    told = asked("amp link output", "powered loudspeaker line input")
    assert told.verdict is Severity.FINE
    assert told.depends_on == ()


def test_a_microphone_straight_into_an_amplifier_is_no_louder() -> None:
    """Common practice: 2 mV are 50 dB short of line level, and an amplifier has no such gain."""
    given = asked("vocal mic", "power amplifier line input")
    assert given.verdict is Severity.FAILS
    assert "next to nothing" in given.why


def test_a_level_that_has_to_come_down_is_told() -> None:
    notes = asked("compact mixer main output", "power amplifier line input").notes
    assert any("stands at -13" in note and "o'clock" not in note[:40] for note in notes)


def test_an_output_into_an_output_is_told_as_that() -> None:
    codes = {each.code for each in asked("electric guitar", "amp speaker out").findings}
    assert any("output" in code for code in codes), codes


def test_a_box_plugged_output_to_output_fails_whatever_its_switches() -> None:
    """A pad keeps the currents small; all the same nothing listens."""
    given = asked("passive di", "amp speaker out")
    assert given.verdict is Severity.FAILS
    assert given.depends_on == ()


def test_gear_without_an_input_is_told_as_that() -> None:
    with pytest.raises(AskError, match="'laptop' has no input: Laptop"):
        asked("compact mixer main output", "laptop")
