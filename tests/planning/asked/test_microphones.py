"""Questions about microphones, with the answers of common practice."""

from __future__ import annotations

from levelhead.show.edits import Set
from levelhead.verdicts.told.severity import Severity
from tests.planning.asking import asked, asked_with, remedies, sockets


def test_a_dynamic_microphone_into_a_mic_input_is_fine() -> None:
    assert asked("dynamic vocal mic", "compact mixer mic").verdict is Severity.FINE


def test_a_dynamic_microphone_into_a_fixed_line_input_fails() -> None:
    told = asked("dynamic vocal mic", "stereo line input of compact mixer")
    assert told.verdict is Severity.FAILS
    assert any("mixer-compact.ch1.mic" in sockets(remedy) for remedy in remedies(told))


def test_a_condenser_microphone_hangs_on_the_phantom_switch() -> None:
    told = asked("vocal condenser microphone", "compact mixer mic")
    assert told.verdict is Severity.CARE
    (branch,) = told.depends_on
    assert dict(branch.branches) == {"off": Severity.FAILS, "on": Severity.FINE}
    assert (branch.input, branch.taken) == ("mixer-compact.phantom", "on")
    assert told.why.startswith("Works with the phantom 48 V of ")
    assert "dead" in told.why


def test_a_switch_that_was_named_stays() -> None:
    off = {"mixer-compact.phantom": "off"}
    told = asked_with("vocal condenser microphone", "compact mixer mic", off)
    assert told.verdict is Severity.FAILS
    assert told.depends_on == ()
    assert Set("mixer-compact.phantom", "on") in remedies(told)[0].edits


def test_phantom_does_not_matter_to_a_dynamic_one() -> None:
    on = {"mixer-compact.phantom": "on"}
    assert asked_with("dynamic vocal mic", "compact mixer mic", on).verdict is Severity.FINE
