"""Readings typed back: a fact replaces a guess, the gain is turned, and what follows it is told."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from levelhead.chain.meters import meter_reading_db
from levelhead.errors import AskError
from levelhead.exchange.seen_words import seen_words
from levelhead.planning.gains.planned.ends import MeterMark
from levelhead.planning.seen import answer_seen, read_seen
from levelhead.planning.seen.facts import FAR_DB
from levelhead.planning.seen.reading import predicted_db
from levelhead.planning.trial import Trial
from levelhead.show.edits import ChangeSource, SetFigure
from levelhead.show.read.schema import ShowFile
from tests.paper.shows import checked

CHURCH = "church-band.yaml"
STAGE = "outdoor-stage.yaml"


def trial_of(name: str) -> Trial:
    return checked(name).trial


@settings(max_examples=20, deadline=None)
@given(
    st.sampled_from(["desk.ch1", "desk.ch2", "desk.ch3", "desk.ch7", "desk.ch8"]),
    st.sampled_from(["vu", "ppm", "peak", "true peak", "rms"]),
    st.integers(-12, 12),
)
def test_the_rig_then_reads_what_was_seen(place: str, detector: str, off_db: int) -> None:
    """Closed loop: with the fact in place, that meter shows just what somebody saw there."""
    trial = trial_of(STAGE)
    expected = predicted_db(
        trial.solution, read_seen(f"{place}: 0 dBFS {detector}", trial.solution)
    )
    assert expected is not None
    seen_db = round(expected + off_db, 1)
    assume(seen_db < -1.0)  # at full scale no meter tells how loud a source is
    answer = answer_seen(trial, [f"{place}: {seen_db} dBFS {detector}"])
    after = predicted_db(answer.trial.solution, answer.readings[0].seen)
    assert after == pytest.approx(seen_db, abs=0.1)
    assert answer.readings[0].fact.off_db == pytest.approx(off_db, abs=0.11)


@pytest.mark.parametrize(
    ("typed", "at", "detector"),
    [
        ("desk.ch1.converter: -9 dBFS peak", "desk.ch1.converter", "peak"),
        ("ch1.converter: -9 dBFS", "desk.ch1.converter", "peak"),
        ("desk.ch1: -9 dBFS sample peak", "desk.ch1.converter", "peak"),
        ("desk.ch1.preamp:-9 dBFS peak", "desk.ch1.converter", "peak"),
        ("  desk.ch1.preamp :  +4 dBu  VU ", "desk.ch1.preamp", "vu"),
        ("desk.ch1.preamp: 1.228 V rms", "desk.ch1.preamp", "rms"),
        ("desk.ch1: \N{MINUS SIGN}3 dB true peak", "desk.ch1.converter", "true-peak"),
    ],
)
def test_what_people_type(typed: str, at: str, detector: str) -> None:
    """An address, its end or a strip alone; full scale is read where numbers begin."""
    seen = read_seen(typed, trial_of(STAGE).solution)
    assert (seen.at, seen.detector) == (at, detector)


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("desk.ch1 -9 dBFS", "is no reading"),
        ("desk.ch1:", "is no reading"),
        ("desk.ch77.preamp: -9 dBFS", "no point 'desk.ch77.preamp'"),
        ("preamp: -9 dBu", "is several places"),
        ("desk.ch1: loud", "'loud' is no level"),
        ("desk.ch1: -9", "'-9' is no level"),
        ("desk.ch1: +40 dBFS", "is above full scale"),
        ("desk.ch1.fader: -9 dBu", "is not shown at desk.ch1.fader"),
        ("vox.out: -3 dB peak", "no meter is at vox.out"),
        ("desk.ch32.preamp: -9 dBu", "nothing is expected at desk.ch32.preamp"),
    ],
)
def test_what_cannot_be_read_is_refused(typed: str, says: str) -> None:
    with pytest.raises(AskError, match=says.replace("(", r"\(")):
        answer_seen(trial_of(STAGE), [typed])


def test_zero_of_the_meter_is_honoured() -> None:
    """0 dB on a meter with its zero at +4 dBu is +4 dBu; at -20 dBFS it is -20 dBFS."""
    church, stage = trial_of(CHURCH).solution, trial_of(STAGE).solution
    assert read_seen("desk.ch3.preamp: 0 dB", church).level_db == pytest.approx(4.0, abs=0.01)
    assert read_seen("desk.ch3: 0 dB", stage).level_db == pytest.approx(-20.0, abs=0.01)


@pytest.mark.reference("ITU-R BS.645-2: true peaks of programme stand up to 3 dB over a PPM")
def test_a_ppm_reads_a_singer_3_db_under_her_peaks() -> None:
    """Peak to rms of 14 dB: within the dB by which the model goes on to percussion."""
    trial = trial_of(STAGE)
    peak = answer_seen(trial, ["desk.ch1: -9 dBFS peak"]).readings[0].fact.off_db
    ppm = answer_seen(trial, ["desk.ch1: -12 dBFS ppm"]).readings[0].fact.off_db
    assert ppm == pytest.approx(peak, abs=1.0)


def test_a_voice_gets_its_level_at_1_m() -> None:
    answer = answer_seen(trial_of(STAGE), ["desk.ch1: -3 dBFS peak"])
    (edit,) = answer.facts
    assert isinstance(edit, ChangeSource)
    was_db = 92.0  # of a loud singer in the gear book
    off_db = answer.readings[0].fact.off_db
    assert edit.source.level == f"{was_db + off_db:.1f} dB SPL +- 1 dB"


def test_an_item_with_a_signal_of_its_own_gets_its_figure() -> None:
    answer = answer_seen(trial_of(STAGE), ["desk.ch8: -3 dBFS peak"])
    (edit,) = answer.facts
    assert isinstance(edit, SetFigure)
    assert (edit.item, edit.figure) == ("keys", "generator.level")


def test_two_readings_of_one_source_are_one_fact() -> None:
    """Their mean: a keyboard has one level, whichever of its two channels was looked at."""
    trial = trial_of(STAGE)
    one, other = "desk.ch8: -3 dBFS peak", "desk.ch9: -5 dBFS peak"
    apart = [answer_seen(trial, [each]).readings[0].fact.off_db for each in (one, other)]
    answer = answer_seen(trial, [one, other])
    assert len(answer.facts) == 1
    for each in answer.readings:
        assert each.fact.off_db == pytest.approx(sum(apart) / 2)


def test_the_gain_goes_where_the_meter_reads_its_mark() -> None:
    trial = trial_of(STAGE)
    mark = MeterMark("desk.ch1.converter", "Desk, ch1", "peak", "rms", 9.0, 3.0, 12.0, alone="ada")
    answer = answer_seen(trial, ["desk.ch1: -2 dBFS peak"], [mark])
    turn = answer.readings[0].turn
    assert turn is not None
    assert turn.by_db == pytest.approx(9.0 - 18.0, abs=0.1)
    after = answer.trial.after([turn.edit])
    assert after is not None
    meter = after.solution.point(mark.at).meter
    assert meter is not None
    assert meter_reading_db(after.solution.levels(mark.at), meter) == pytest.approx(9.0, abs=0.1)


def test_a_reading_within_its_range_turns_nothing() -> None:
    mark = MeterMark("desk.ch1.converter", "Desk, ch1", "peak", "rms", 9.0, 3.0, 12.0, alone="ada")
    answer = answer_seen(trial_of(STAGE), ["desk.ch1: -12 dBFS peak"], [mark])
    assert answer.readings[0].turn is None
    assert not answer.turns


def test_the_ends_that_move_move_by_as_much() -> None:
    """Solved anew: with the other channels shut, each end gets just what is told."""
    from levelhead.show.edits import Set

    answer = answer_seen(trial_of(STAGE), ["desk.ch1: -2 dBFS peak"])
    (one,) = answer.readings
    assert one.turn is not None
    told = {each.end: each for each in one.moves}
    assert told["wedge-1"].is_before_fader
    assert told["wedge-1"].by == "desk.ch1.send1"
    assert not told["left"].is_before_fader
    assert told["left"].by == "desk.ch1.fader"
    shut = [Set(f"desk.ch{n}.gain", "-20 dB") for n in range(2, 10)]
    shut = [each for each in shut if answer.trial.after([each]) is not None] or [
        Set(f"desk.ch{n}.mute", "on") for n in range(2, 10)
    ]
    alone = answer.trial.after(shut)
    assert alone is not None
    turned = alone.after([one.turn.edit])
    assert turned is not None
    for end, point in (("wedge-1", "wedge-1.driver"), ("left", "left.level")):
        before, after = (each.solution.levels(point).nominal for each in (alone, turned))
        assert before is not None
        assert after is not None
        assert after - before == pytest.approx(told[end].by_db, abs=0.3)


def test_a_locked_gain_is_not_turned_and_what_is_missing_is_told() -> None:
    from levelhead.show.edits import Lock

    locked = trial_of(STAGE).after([Lock("desk.ch1.gain")])
    assert locked is not None
    (one,) = answer_seen(locked, ["desk.ch1: -2 dBFS peak"]).readings
    assert one.turn is None
    assert one.left_db < -3.0


def test_facts_can_be_written_into_a_show_file() -> None:
    assert ShowFile.model_fields["sources"] is not None
    answer = answer_seen(trial_of(STAGE), ["desk.ch2: -3 dBFS peak"])
    assert answer.trial.show.sources["max"].level is not None
    air = next(each for each in answer.trial.solution.rig.sources if each.id == "max").air
    assert air.at_m == 1.0
    assert 20 * math.log10(air.level_pa.high / air.level_pa.value) == pytest.approx(1.0)


def test_what_no_such_source_gives_is_doubted() -> None:
    """A voice within 8 dB of its type: 31 dB too soft is a fault of the way, and turns nothing."""
    trial = trial_of(STAGE)
    near, far = (
        answer_seen(trial, [f"desk.ch1: {level} dBFS peak"]).readings[0] for level in (-18, -60)
    )
    assert near.is_believed
    assert not far.is_believed
    answer = answer_seen(trial, ["desk.ch1: -60 dBFS peak"])
    assert not answer.facts
    assert not answer.turns
    assert answer.trial is trial
    says = " ".join(seen_words(far).sentences)
    assert "levelhead walk SHOW desk.ch1 --symptom thin" in says
    assert far.to_json()["doubted"] is True


@pytest.mark.parametrize("by_db", [-0.2, 0.2])
@pytest.mark.parametrize("end", [0, 1])
def test_doubt_begins_10_db_beyond_the_range_of_the_type(end: int, by_db: float) -> None:
    trial = trial_of(STAGE)
    known = answer_seen(trial, ["desk.ch1: -30 dBFS rms"]).readings[0].fact
    side = (-1, 1)[end]
    at_db = known.predicted_db + side * (known.range_db[end] + FAR_DB + by_db)
    fact = answer_seen(trial, [f"desk.ch1: {at_db:.3f} dBFS rms"]).readings[0].fact
    assert fact.is_doubted is (by_db > 0)


@pytest.mark.parametrize(("level", "clips"), [(-0.6, False), (-0.4, True), (0.0, True)])
def test_a_stage_at_its_end_says_only_at_least_so_loud(level: float, clips: bool) -> None:  # noqa: FBT001
    """A converter ends at full scale: nothing is written or turned for what may be louder still."""
    answer = answer_seen(trial_of(STAGE), [f"desk.ch3: {level} dBFS peak"])
    (one,) = answer.readings
    assert one.fact.clips is clips
    assert bool(answer.facts) is not clips
    assert ("at least so loud" in " ".join(seen_words(one).sentences)) is clips


def test_a_meter_of_a_mix_says_nothing_of_one_source() -> None:
    answer = answer_seen(trial_of(STAGE), ["desk.main-left.level: -10 dBFS peak"])
    assert not answer.facts
    assert not answer.turns
    assert "this source alone" in " ".join(seen_words(answer.readings[0]).sentences)
