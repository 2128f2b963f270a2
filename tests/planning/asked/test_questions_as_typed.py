"""Questions as people type them: the socket that was meant, and the answer that helps."""

from __future__ import annotations

import pytest

from levelhead.cli import main
from levelhead.errors import AskError
from levelhead.gear.book import load_book
from levelhead.planning.asked.answer import Answer, Question, answer
from levelhead.verdicts.told.severity import Severity
from tests.verdicts.shows import judged_text


def asked(first: str, second: str) -> Answer:
    """The answer to a question of two texts."""
    return answer(Question(first, second), load_book())


def remedies(told: Answer) -> list[str]:
    """Everything that is offered."""
    return [remedy.do for finding in told.findings for remedy in finding.remedies]


@pytest.mark.parametrize(
    "question",
    ["keyboard into desk line input", "keyboard to desk line input", "keyboard -> mixer"],
)
def test_one_sentence_is_a_question(question: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["ask", question]) == 0
    assert "Into" in (told := " ".join(capsys.readouterr().out.split()))
    assert "line input with" in told


def test_a_sentence_without_a_way_says_what_is_missing(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit, match="2"):
        main(["ask", "keyboard desk"])
    assert "'into' between" in " ".join(capsys.readouterr().err.split())


def test_a_desk_into_a_camera_wants_a_pad_in_the_lead() -> None:
    """33 dB too much on everyday peaks: no fader is pulled down so far for a camera."""
    told = asked("desk main output", "camera mic input")
    assert told.verdict is Severity.FAILS
    assert any("lead-xlr-mini-pad" in each for each in remedies(told))


def test_what_was_said_of_phantom_power_counts() -> None:
    on = asked("condenser mic", "desk mic input, phantom on")
    off = asked("condenser mic", "desk mic input without phantom")
    assert (on.verdict, off.verdict) == (Severity.FINE, Severity.FAILS)
    assert not on.depends_on


def test_phantom_power_that_nobody_needs_is_told_with_what_flows() -> None:
    """IEC 61938: both legs of a winding stand at one voltage, so that no current flows."""
    notes = asked("ribbon mic", "desk mic input, phantom on").notes
    assert any("needs none" in each and "none of it flows" in each for each in notes)


def test_phantom_power_at_the_jack_of_a_receiver_is_held_against_its_capacitor() -> None:
    """Pin 3 tied to pin 1 leaves 48 V at the tip; a capacitor of 16 V is usual there."""
    told = asked("wireless receiver jack", "desk mic input, phantom on")
    assert told.verdict is Severity.HARM
    assert "48 V" in told.why
    assert "wireless-handheld.out" in remedies(told)[0]


@pytest.mark.parametrize("player", ["laptop headphone output", "phone", "keyboard"])
def test_line_level_goes_into_a_line_input(player: str) -> None:
    """Where nobody says which socket of a mixer, the one in which all is fine."""
    told = asked(player, "mixer")
    assert told.verdict is Severity.FINE
    assert "line" in told.to_label


def test_what_fits_nothing_is_told_its_neighbour() -> None:
    nearest = r"The nearest: Keyboard.*; Vocal microphone.*mic-vocal-dynamic"
    with pytest.raises(AskError, match=nearest):
        asked("church organ mic", "mixer")


def test_a_bass_di_is_a_box() -> None:
    assert asked("bass DI", "desk mic input").from_label.startswith("DI box")


def test_an_aux_output_plays() -> None:
    """Its send is opened: who asks about an aux means one that is turned up."""
    told = asked("desk aux output", "powered wedge")
    assert told.levels[-1].unit == "dB SPL"
    assert "dB SPL at 1 m" in told.why


def test_what_is_worn_is_told_at_the_ear() -> None:
    assert "at the ear" in asked("in-ear transmitter output", "headphones").why


def test_joined_outputs_are_told_as_joined_and_not_as_clipping() -> None:
    """That others leave an output no current is one fact; no knob mends it."""
    codes = {
        each.code
        for each in judged_text("""
            items: {one: {type: feed-line}, two: {type: feed-line}, desk: {type: mixer-compact}}
            links:
              - ends: {first: one.out, second: two.out, b: desk.ch1.mic}
                via: [lead-y-xlr-join 1 m]
        """).worse_than_fine()
    }
    assert "loading.joined" in codes
    assert "enough.clips-as-set" not in codes
