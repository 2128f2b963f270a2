"""Questions about DI boxes and consumer line levels, with the answers of common practice.

Figures are worked out here from the definitions, never taken from the program.
"""

from __future__ import annotations

import math
from typing import Final

import pytest

from levelhead.show.edits import Set
from levelhead.verdicts.told.severity import Severity
from tests.planning.asking import PLUS_4, asked, point, remedies, sockets, the

DI_LOSS_DB: Final = 20 * math.log10(12)  # a 12:1 transformer, 21.58 dB
MINUS_10_DBV_DBU: Final = 20 * math.log10(10 ** (-10 / 20) / math.sqrt(0.6))  # -7.78 dBu


def test_an_active_di_on_battery_into_a_line_input_is_fine() -> None:
    told = asked("active di on battery", "line mixer", PLUS_4)
    assert told.verdict is Severity.FINE
    assert point(told, "di-active.out").nominal == pytest.approx(4.0, abs=0.5)  # unity gain


def test_on_phantom_only_at_a_socket_that_gives_none_it_is_dead() -> None:
    told = asked("active di on phantom only", "line mixer", PLUS_4)
    assert told.verdict is Severity.FAILS
    assert told.told is the(told, "phantom.missing")
    assert "dead" in told.why


def test_a_battery_is_the_remedy() -> None:
    first = remedies(asked("active di on phantom only", "line mixer", PLUS_4))[0]
    assert first.edits == (Set("di-active.battery", "fitted"),)
    assert first.verdict_after is Severity.FINE


def test_switching_phantom_on_is_no_remedy_at_a_line_socket() -> None:
    """The compact mixer has phantom power, at its microphone sockets only."""
    told = asked("active di on phantom only", "compact mixer line input with gain", PLUS_4)
    assert told.verdict is Severity.FAILS
    alone = [each.edits for each in remedies(told) if len(each.edits) == 1]
    assert (Set("mixer-compact.phantom", "on"),) not in alone


def test_at_a_mic_input_either_will_do() -> None:
    told = asked("active di", "compact mixer mic", PLUS_4)
    assert told.verdict is Severity.CARE
    assert {branch.input for branch in told.depends_on} == {
        "di-active.battery",
        "mixer-compact.phantom",
    }
    assert told.told is None
    assert "fitted or the phantom" in told.why


@pytest.mark.parametrize(
    "into",
    ["line mixer", "compact mixer line input with gain", "stereo line input of compact mixer"],
)
def test_a_passive_di_drops_the_level_by_its_turns(into: str) -> None:
    told = asked("passive di", into, PLUS_4)
    into_di, out = point(told, "di-passive.in").nominal, point(told, "di-passive.out").nominal
    assert into_di is not None
    assert out is not None
    assert into_di - out == pytest.approx(DI_LOSS_DB, abs=0.1)
    assert any("down by 21.6 dB" in note for note in told.notes)


def test_a_line_control_of_minus_20_to_plus_40_reaches_unity_at_about_70_per_cent() -> None:
    """The channel's line input: 0 to 60 dB behind a pad of 20 dB. (21.6 + 20) / 60 = 69 %."""
    told = asked("passive di", "compact mixer line input with gain", PLUS_4)
    assert told.verdict is Severity.FINE
    assert told.gain is not None
    assert told.gain.travel == pytest.approx((DI_LOSS_DB + 20) / 60, abs=0.01)
    assert "69 % of its travel" in told.gain.place
    assert "69 % of its travel" in told.why


def test_a_trim_of_0_to_20_lacks_1_6_db() -> None:
    told = asked("passive di", "line mixer", PLUS_4)
    assert told.verdict is Severity.CARE
    lacking = the(told, "enough.too-low").why[0]
    assert lacking.value is not None
    assert lacking.limit == pytest.approx(20.0)
    assert lacking.value - lacking.limit == pytest.approx(DI_LOSS_DB - 20, abs=0.05)
    assert "1.6 dB are missing" in told.why


def test_a_fixed_line_input_fails() -> None:
    told = asked("passive di", "stereo line input of compact mixer", PLUS_4)
    assert told.verdict is Severity.FAILS
    assert "21.6 dB" in told.why
    assert any("mixer-compact.ch1.mic" in sockets(remedy) for remedy in remedies(told))


def test_the_same_di_into_a_mic_input_is_fine() -> None:
    told = asked("passive di", "compact mixer mic", PLUS_4)
    assert told.verdict is Severity.FINE
    assert told.depends_on == ()


@pytest.mark.parametrize("into", ["stereo line input of compact mixer", "line mixer"])
def test_a_source_of_minus_10_dbv_reads_11_8_db_below_one_of_plus_4(into: str) -> None:
    told = asked("media player", into)
    assert point(told, "converter-left").nominal == pytest.approx(MINUS_10_DBV_DBU, abs=0.02)
    assert any(f"{4 - MINUS_10_DBV_DBU:.1f} dB below" in note for note in told.notes)  # 11.8 dB


def test_it_wants_care_at_a_fixed_input_and_none_at_a_trim() -> None:
    """The fader's last 10 dB and the masters make it up; a trim of 20 dB has it in hand."""
    assert asked("media player", "stereo line input of compact mixer").verdict is Severity.CARE
    assert asked("media player", "line mixer").verdict is Severity.FINE


def test_a_di_box_is_not_offered_for_it() -> None:
    told = asked("media player", "stereo line input of compact mixer")
    assert not any("di-" in remedy.do for each in told.findings for remedy in each.remedies)
