"""The usual questions at the side of a stage, with the answers of common practice.

Figures are worked out here from the definitions, never taken from the program.
"""

from __future__ import annotations

import math
from typing import Final

import pytest

from levelhead.errors import AskError
from levelhead.gear.book import GearBook
from levelhead.planning import ask
from levelhead.planning.ask import Answer, Question, answer
from levelhead.show.edits import Set
from levelhead.verdicts.finding import Finding
from levelhead.verdicts.severity import Severity
from tests.planning.asking import BOOK, asked, asked_with, point, remedies, sockets

DI_LOSS_DB: Final = 20 * math.log10(12)  # a 12:1 transformer, 21.58 dB
MINUS_10_DBV_DBU: Final = 20 * math.log10(10 ** (-10 / 20) / math.sqrt(0.6))  # -7.78 dBu
PLUS_4: Final = "+4 dBu"


def the(told: Answer, code: str) -> Finding:
    """The finding of a code that somebody would act on."""
    worse = (each for each in told.findings if each.severity is not Severity.FINE)
    (finding,) = (each for each in worse if each.code == code)
    return finding


# ---------------------------------------------------------------- loudspeaker outputs


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


# ---------------------------------------------------------------- laptop


def laptop_volume_db(told: Answer) -> float:
    return told.trial.solution.rig.setting_db("laptop.volume")


def test_a_laptop_goes_in_with_its_volume_full() -> None:
    told = asked("laptop headphones", "stereo line input of compact mixer")
    assert told.verdict is Severity.FINE
    assert laptop_volume_db(told) == 0.0


def test_it_is_turned_down_where_the_input_clips() -> None:
    """A mic input of +30 dB clips at -10 dBu: only the laptop's own volume stands before it."""
    told = asked("laptop headphones", "powered loudspeaker mic input")
    trim = point(told, ".trim")
    assert told.verdict is Severity.FINE
    assert trim.headroom == pytest.approx(6.0, abs=0.1)
    assert -30.0 < laptop_volume_db(told) < -10.0


def book_with_a_faint_laptop() -> GearBook:
    """The same laptop, whose output distorts from 0.4 V on."""
    return BOOK.extended(
        {
            "laptop-faint": {
                "like": "laptop",
                "label": "Faint notebook",
                "words": ["faint notebook"],
                "path": {
                    "sides": ["left", "right"],
                    "from": [
                        {
                            "generator": {
                                "level": "-9 dBFS",
                                "peak-to-rms": "11.5 dB",
                                "spectrum": "programme",
                                "shared": "0.7",
                            }
                        }
                    ],
                    "stages": [
                        {"stage": "volume", "control": "volume", "ceiling": "0 dBFS"},
                        {
                            "stage": "converter",
                            "full-scale": "1.8 V",
                            "ceiling": "0.4 V",
                            "noise": "-90 dBV",
                        },
                    ],
                    "to": "phones",
                },
            }
        }
    )


def test_it_is_turned_down_where_its_own_output_distorts() -> None:
    """Peaks of -0.5 dBFS are 1.70 V: 12.5 dB over 0.4 V, and 6 dB of reserve."""
    question = Question("faint notebook", "stereo line input of compact mixer")
    told = answer(question, book_with_a_faint_laptop())
    peak_db = -9 + 11.5 - 3.0103 + 20 * math.log10(1.8 / 0.4)
    assert told.trial.solution.rig.setting_db("laptop-faint.volume") == pytest.approx(
        -(peak_db + 6.0), abs=0.1
    )


def test_a_volume_that_somebody_has_set_stays() -> None:
    down = {"laptop.volume": "-12 dB"}
    told = asked_with("laptop headphones", "stereo line input of compact mixer", down)
    assert laptop_volume_db(told) == -12.0


def test_a_quarter_of_its_volume_is_worse_by_12_db_at_the_desks_output() -> None:
    """20 lg 4 = 12.04 dB: the signal falls, the noise of the converter stays."""
    into = "stereo line input of compact mixer"
    full = asked("laptop headphones", into).levels[-1]
    quarter = asked_with("laptop headphones", into, {"laptop.volume": "-12 dB"}).levels[-1]
    assert full.at == quarter.at
    assert full.unit == "dBu"
    assert full.signal_over_noise is not None
    assert quarter.signal_over_noise is not None
    lost_db = full.signal_over_noise - quarter.signal_over_noise
    assert lost_db == pytest.approx(20 * math.log10(4), abs=0.5)


def test_that_figure_is_printed() -> None:
    told = asked("laptop headphones", "stereo line input of compact mixer")
    assert any("At a quarter" in note and "12.0 dB worse" in note for note in told.notes)


# ---------------------------------------------------------------- active DI


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


# ---------------------------------------------------------------- passive DI


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


# ---------------------------------------------------------------- -10 dBV


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


# ---------------------------------------------------------------- microphones


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


# ---------------------------------------------------------------- the answer itself


QUESTIONS: Final = [
    ("amp speaker out", "powered loudspeaker line input", None),
    ("laptop headphones", "stereo line input of compact mixer", None),
    ("active di", "compact mixer mic", PLUS_4),
    ("passive di", "stereo line input of compact mixer", PLUS_4),
    ("media player", "line mixer", None),
]


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda each: each[0])
def test_json_has_every_field_of_the_frozen_form(question: tuple[str, str, str | None]) -> None:
    told = asked(*question).to_json()
    assert set(told) == {
        "from", "to", "verdict", "why", "depends_on", "cable", "gain", "levels", "findings",
        "links", "cautions", "notes", "others", "conditions", "not_used",
    }  # fmt: skip
    assert set(told["cable"]) == {"type", "label", "length_m", "pins"}
    assert told["links"][-1] or told["links"]
    for levels in told["levels"]:
        assert set(levels) == {"at", "unit", "nominal", "peak", "ceiling", "floor", "headroom"}


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda each: each[0])
def test_an_answer_costs_few_solves(
    question: tuple[str, str, str | None], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Some 2 ms each: an answer stays under a tenth of a second."""
    solves = []
    solve = ask.try_show.__globals__["solve"]
    monkeypatch.setitem(
        ask.try_show.__globals__, "solve", lambda *given: solves.append(1) or solve(*given)
    )
    from_text, to_text, at = question
    answer(Question(from_text, to_text, at=at), BOOK)
    assert 1 <= len(solves) <= 30


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda each: each[0])
def test_what_is_read_names_things_by_their_words(question: tuple[str, str, str | None]) -> None:
    """Addresses are for ``where`` and remedies; sentences and doubts are for people."""
    told = asked(*question)
    for each in told.findings:
        assert not any(port in each.what for port in told.trial.solution.rig.ports)
        assert all("." not in flip.input for flip in each.flips)


def test_nothing_that_fits_is_refused_with_a_way_out() -> None:
    with pytest.raises(AskError, match=r"nothing in the gear book fits 'zither'.*gear --search"):
        asked("zither", "compact mixer mic")


def test_other_readings_are_named() -> None:
    others = asked("media player", "stereo line input of compact mixer").others
    assert any("out-right" in other for other in others)


# ---------------------------------------------------------------- plug-in power, lines


def test_a_capsule_on_plug_in_power_is_fine() -> None:
    """A two-pole plug holds the right channel to ground: that is no signal too low."""
    told = asked("plug-in power lavalier", "pocket recorder mic")
    assert told.verdict is Severity.FINE


def test_a_line_amplifier_on_a_ceiling_loudspeaker_is_fine() -> None:
    assert asked("100 V amplifier", "100 V ceiling speaker").verdict is Severity.FINE


# --- a headphone output, whose path ends at a socket of the whole mixer ---


def test_a_headphone_output_plays_what_the_mixer_hears() -> None:
    """The stereo jack goes into the pair by a Y lead, and the picture runs to the recorder."""
    told = asked("analogue mixer headphone output", "recorder line input left")
    assert told.verdict is Severity.FINE
    assert told.cable is not None
    assert told.cable.type == "lead-stereo-two-phonos"
    assert told.levels[-1].at == "recorder-line.converter-left"


def test_a_level_behind_another_gain_is_set_for_what_then_comes() -> None:
    """The recording level is planned again once the mixer's gain stands: -16 dBFS at the meter.

    A stage before that control (its input) limits no setting of it.
    """
    told = asked("analogue mixer headphone output", "recorder line input left")
    assert told.levels[-1].nominal == pytest.approx(-16.0, abs=0.1)
    assert told.gain is not None
    assert told.gain.low < told.gain.set < told.gain.high


def test_what_else_was_meant_shows_both_sides_first() -> None:
    giver, taker, *_ = asked("di box", "mixer line input").others
    assert giver.startswith("DI box")
    assert "ixer" in taker


# ---------------------------------------------------------------- into an amplifier, into an output


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
