"""The line check: every plugged input with patch, phantom power, gain and its reading."""

from __future__ import annotations

from levelhead.exchange.paperwork.work import Paperwork
from levelhead.exchange.sheet.plan import filled
from levelhead.exchange.sheets.line_check import LINE_CHECK, line_keys, lines
from levelhead.exchange.sound_check import sound_check
from levelhead.exchange.tick_keys import step_keys
from levelhead.planning.check import Check
from levelhead.show.edits import Rename, Set
from tests.paper.shows import checked

BAND = "church-band.yaml"


def work_after(*edits: object) -> Paperwork:
    trial = checked(BAND).trial.after(edits) if edits else checked(BAND).trial  # type: ignore[arg-type]
    assert trial is not None
    judged = trial.judgement
    return Paperwork(Check(judged.verdict, judged.findings, (), trial))


def test_every_plugged_input_has_a_row_with_a_box() -> None:
    sheet = filled(LINE_CHECK, work_after())
    assert sheet.has_ticks
    assert len(sheet.rows) == 12
    row = next(each for each in sheet.rows if each["input"].startswith("ch8"))
    assert row["source"] == "acoustic"
    assert "lead 8" in row["patch"]
    assert "lead 9" in row["patch"]
    assert row["phantom"] == "on"


def test_a_meter_reads_what_the_solved_strip_says() -> None:
    """Peak of the strip against the zero of its meter, +4 dBu."""
    work = work_after()
    line = next(each for each in lines(work) if each.port.address == "desk.ch3.mic")
    peak = work.check.trial.solution.levels("desk.ch3.preamp").peak
    assert peak is not None
    assert line.meter == f"{round(peak - 4.0):+d} dB"


def test_an_unset_gain_is_the_one_to_begin_with() -> None:
    """The reading goes with the gain that the sheet tells, not with the default."""
    line = next(
        each for each in lines(work_after(Set("desk.ch3.gain", None))) if "ch3" in each.input
    )
    assert line.knob.startswith("begin at")
    moved = work_after(Set("desk.ch3.gain", f"{line.gain} dB"))
    there = next(each for each in lines(moved) if "ch3" in each.input)
    assert there.meter == line.meter


def test_ticks_are_kept_by_item_and_two_lines_of_one_item_apart() -> None:
    keys = line_keys(work_after())
    assert keys["desk.ch3.mic"] == "vox-1"
    assert keys["desk.ch8.mic"] == "acoustic"
    assert {keys["desk.ch10.mic"], keys["desk.ch11.mic"]} == {"keys.out-left", "keys.out-right"}
    duo = Paperwork(checked("duo-in-a-pub.yaml"))
    assert len(set(line_keys(duo).values())) == len(line_keys(duo))  # a stereo lead has two ends
    assert line_keys(work_after(Rename("vox-1", "anna")))["desk.ch3.mic"] == "anna"


def test_a_row_that_says_something_else_has_another_content() -> None:
    def content(work: Paperwork) -> str:
        return next(each.content for each in lines(work) if "ch3" in each.input)

    assert content(work_after()) == content(work_after(Set("desk.ch4.gain", "20 dB")))
    assert content(work_after()) != content(work_after(Set("desk.ch3.gain", "20 dB")))


def test_steps_of_the_sound_check_keep_their_keys() -> None:
    """Another gain, or another order for it, and the tick stays with its source."""
    before, after = work_after(), work_after(Set("desk.ch3.gain", "20 dB"))
    keys = [set(step_keys(work, sound_check(work))) for work in (before, after)]
    assert keys[0] == keys[1]
    assert "vox-1" in keys[0]


def test_the_return_of_an_effect_is_the_effect_not_the_first_channel_of_its_mix() -> None:
    """Several voices go into the send: none of them is what comes back."""
    work = Paperwork(checked("church-with-band.yaml"))
    line = next(each for each in lines(work) if each.port.address.startswith("desk.ch10."))
    assert line.source == "Reverb"
    assert line.patch[0].startswith("Reverb, lead ")
    assert len(line.patch) == 1
