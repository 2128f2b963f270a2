"""Seats: level against what is wanted, evenness, speech; and shows that nobody can answer."""

from __future__ import annotations

import pytest

from levelhead.acoustics.rings.rings_of import ringing_of
from levelhead.chain.solve import solve
from levelhead.gear.book import load_book
from levelhead.planning.remedy.remedies import remedies_for
from levelhead.planning.trial import try_show
from levelhead.rig.build import build_rig
from levelhead.show.document import parse_show
from levelhead.verdicts.air.limits import APART_DB, OFF_DB, STI_FAILS, STI_SPREAD
from levelhead.verdicts.air.words import (
    INSIDE,
    NOWHERE,
    RINGS,
    SPEECH,
    TOO_LOUD,
    TOO_LOW,
    UNEVEN,
    WALLS,
)
from levelhead.verdicts.told.finding import Severity
from tests.verdicts.air.halls import (
    CARE,
    CHAIRS,
    FAILS,
    FINE,
    HALL,
    judged,
    level_at,
    one,
    show_text,
)

WANTED = "{{chairs: {{label: Chairs, {corners}, level: {level:.2f} dB(A)}}}}"


def wanted(target_db: float, level_db: float = -20.0) -> str:
    """A talk where so much is wanted."""
    return show_text(areas=WANTED.format(corners=CHAIRS, level=target_db), level_db=level_db)


@pytest.fixture(scope="module")
def now_db() -> float:
    """What the chairs get."""
    return level_at(wanted(70.0), "chairs")


def test_a_show_without_a_place_is_told_nothing_of_the_air() -> None:
    """But whether it rings, where a microphone and a loudspeaker have one."""
    found = judged(show_text(room=None, areas=None)).findings
    assert {each.code for each in found if each.family == "air"} == {RINGS}
    for missing in ({"box": "aim: [0, 9, 1.2]"}, {"vox": "aim: [0, -9, 1.5]"}):
        found = judged(show_text(room=None, areas=None, **missing)).findings
        assert [each for each in found if each.family == "air"] == []


def test_level_follows_the_control_of_the_loudspeaker(now_db: float) -> None:
    """10 dB up at the box are 10 dB at the chairs."""
    assert level_at(wanted(70.0, level_db=-10.0), "chairs") == pytest.approx(now_db + 10, abs=0.05)


@pytest.mark.parametrize(
    ("off_db", "code", "severity"),
    [
        (0.0, TOO_LOW, FINE),
        (OFF_DB - 0.1, TOO_LOW, FINE),
        (OFF_DB + 0.1, TOO_LOW, CARE),
        (-OFF_DB + 0.1, TOO_LOW, FINE),
        (-OFF_DB - 0.1, TOO_LOUD, CARE),
    ],
)
def test_level_against_what_is_wanted(
    now_db: float, off_db: float, code: str, severity: Severity
) -> None:
    """Just this and just that side of 3 dB, both ways."""
    found = one(wanted(now_db + off_db), code)
    assert found is not None
    assert found.severity is severity
    assert found.margin == pytest.approx(OFF_DB - abs(off_db), abs=0.02)


def test_what_nothing_can_reach_fails(now_db: float) -> None:
    """The box ends some 35 dB further up; on both sides of what is left of it."""
    told = [one(wanted(now_db + each), TOO_LOW) for each in (10, 20, 30, 40, 50)]
    severities = [each.severity for each in told if each is not None]
    assert severities == sorted(severities, key=lambda each: each.rank)
    assert (severities[0], severities[-1]) == (CARE, FAILS)


def test_how_far_it_can_be_turned_up_is_told(now_db: float) -> None:
    """10 dB of it are there; of 40 dB only what the box has left, and no more."""
    near, far = one(wanted(now_db + 10), TOO_LOW), one(wanted(now_db + 40), TOO_LOW)
    assert near is not None
    assert "It works turned up by that." in near.what
    assert far is not None
    assert "It works" not in far.what


def test_what_rings_before_it_is_loud_enough_is_no_way_out() -> None:
    """A loudspeaker behind the talker: even odds come sooner than the level that is wanted."""
    behind = "at: [0, -4, 2], aim: [0, 9, 1.2]"
    text = show_text(
        areas=WANTED.format(corners=CHAIRS, level=84.0), box=behind, talker="voice-talker"
    )
    found = one(text, TOO_LOW)
    assert found is not None
    assert found.severity is CARE
    assert "Turned up it rings before" in found.what
    ringing = ringing_of(solve(build_rig(parse_show(text, "talk.yaml").show, load_book())))
    assert ringing.margin is not None
    assert f"even odds {max(ringing.margin.median_db, 0.0):.1f} dB up" in found.what


def test_the_amplifier_counts_as_what_is_left() -> None:
    """On a line of 100 V it ends before its horns: 21.8 V of it, 26.8 dB of gain."""
    text = """levelhead: 1
show: {name: Fete}
items:
  vox: {type: mic-vocal-dynamic}
  desk: {type: mixer-compact}
  amp: {type: amplifier-line-100v}
  horn: {type: loudspeaker-horn-100v, at: [0, 0, 3], aim: [0, 30, 1.5]}
sources: {ada: {type: voice-talker-loud, at: vox, distance: 5 cm}}
links:
  - {from: vox.out, to: desk.ch1.mic}
  - {from: desk.main-left.out, to: amp.in, via: [lead-xlr-jack-balanced 2 m]}
  - {from: amp.out-100v, to: horn.in, via: [cable-loudspeaker-bare 40 m]}
settings: {desk: {ch1: {gain: 40 dB, pan: left}}, amp: {level: -10 dB}}
room: {where: outdoors}
areas: {lawn: {at: [0, 30, 1.6], level: LEVEL dB(A)}}
"""
    solution = solve(build_rig(parse_show(text.replace("LEVEL", "80"), "t").show, load_book()))
    left = solution.levels("amp.power").headroom
    horn = solution.levels("horn.driver").headroom
    assert left is not None
    assert horn is not None
    assert 0 < left < horn - 1.0
    now_db = level_at(text.replace("LEVEL", "80"), "lawn")
    found = one(text.replace("LEVEL", f"{now_db + (left + horn) / 2:.2f}"), TOO_LOW)
    assert found is not None
    told_db = float(found.what.partition("turned up by ")[2].split()[0])
    assert told_db == pytest.approx(left, abs=0.4)  # its current may end a little before its volts


def _with_depth(back_m: float) -> str:
    corners = f"corners: [[-1, 1], [1, 1], [1, {back_m}], [-1, {back_m}]]"
    return show_text(room="{where: outdoors}", areas=f"{{lawn: {{{corners}, spacing: 50 cm}}}}")


def test_evenness_turns_at_six_decibels() -> None:
    """Outdoors a short lawn is even, a long one is not; in between it turns at the threshold."""
    told = [one(_with_depth(back), UNEVEN) for back in (4.0, 6.0, 9.0, 14.0, 30.0)]
    apart = [each.why[0].value for each in told if each is not None]
    assert len(apart) == len(told)
    assert apart == sorted(apart, key=float)  # type: ignore[arg-type]
    for each in told:
        assert each is not None
        assert (each.severity is CARE) == (float(each.why[0].value or 0) > APART_DB + 0.05)
    assert {each.severity for each in told if each} == {FINE, CARE}


def _room_of(seconds: float) -> str:
    return HALL.replace("reverberation: 1 s", f"reverberation: {seconds:g} s")


def test_speech_by_the_room() -> None:
    """Better in a dry room; fine, care and fails in that order, each on its side of its number."""
    order = []
    for seconds in (0.6, 1.0, 2.2, 2.6, 3.0, 3.6, 5.0, 8.0):
        found = one(show_text(room=_room_of(seconds)), SPEECH)
        assert found is not None
        index = float(found.why[0].value or 0)
        order.append(index)
        wanted_severity = FINE if index >= STI_FAILS + 2 * STI_SPREAD else CARE
        assert found.severity is (FAILS if index < STI_FAILS else wanted_severity)
    assert order == sorted(order, reverse=True)
    assert order[0] > STI_FAILS + 2 * STI_SPREAD
    assert order[-1] < STI_FAILS


def test_noise_is_named_where_it_is_the_reason() -> None:
    found = one(show_text(room=HALL.replace("}", ", noise: 85 dB(A)}")), SPEECH)
    assert found is not None
    assert found.severity is not FINE
    assert "because noise is" in found.what


def test_singers_are_not_judged_by_speech() -> None:
    """What is to be understood says so by how its level is set."""
    assert one(show_text(talker="voice-singer"), SPEECH) is None


def test_a_seat_inside_a_loudspeaker() -> None:
    found = one(show_text(areas="{seat: {at: [0, 0.1, 2.5]}}"), INSIDE)
    assert found is not None
    assert (found.severity, found.where) == (FAILS, "areas.seat")
    assert one(show_text(areas="{seat: {at: [0, 0.5, 2.5]}}"), INSIDE) is None


@pytest.mark.parametrize(
    ("room", "said"),
    [
        (HALL.replace("reverberation: 1 s", "absorption: 0"), "sound"),
        ("{corners: [[-6, -4], [6, 16], [6, -4], [-6, 16]], height: 6 m}", "walls cross"),
    ],
)
def test_rooms_that_cannot_be(room: str, said: str) -> None:
    """Nothing that swallows, walls that cross: a clear word, and no number beside it."""
    found = one(show_text(room=room), WALLS)
    assert found is not None
    assert found.severity is FAILS
    assert said in found.what.lower()


def test_areas_without_a_loudspeaker_that_has_a_place() -> None:
    found = one(show_text(box="note: somewhere"), NOWHERE)
    assert found is not None
    assert found.severity is CARE
    assert one(show_text(), NOWHERE) is None


def test_too_loud_is_turned_down_and_too_soft_up(now_db: float) -> None:
    """The first remedy was solved: the level is then within 3 dB, and all is well."""
    for off_db, code in ((8.0, TOO_LOW), (-8.0, TOO_LOUD)):
        trial = try_show(parse_show(wanted(now_db + off_db), "talk.yaml").show, load_book())
        found = next(each for each in trial.judgement.findings if each.code == code)
        (first, *_) = remedies_for(trial, found)
        assert first.verdict_after is FINE
        after = trial.after(first.edits)
        assert after is not None
        told = next(each for each in after.judgement.findings if each.where == found.where)
        assert told.severity is FINE
        assert abs(float(told.why[0].value or 0) - now_db - off_db) < 1.0


_ROWS = (("a", 5), ("b", 9))


def test_two_areas_of_one_label_are_told_apart() -> None:
    """Findings stand at ids, whatever the crew calls an area."""
    rows = (f"{name}: {{label: Row, at: [0, {y}, 1.2], level: 30 dB(A)}}" for name, y in _ROWS)
    text = show_text(areas=f"{{{', '.join(rows)}}}")
    assert level_at(text, "a") > level_at(text, "b")


def test_walls_that_cross_silence_what_nobody_can_tell() -> None:
    """No evenness and no speech of a room that cannot be; the walls alone are told."""
    crossed = HALL.replace("[-6, -4], [6, -4], [6, 16]", "[-6, -4], [6, 16], [6, -4]")
    codes = [each.code for each in judged(show_text(room=crossed)).findings]
    assert codes.count(WALLS) == 1
    assert not {UNEVEN, SPEECH} & set(codes)


def test_what_stands_outside_the_walls_is_told_once_with_how_far() -> None:
    """A loudspeaker 3 m outside, geometry; a metre is a niche or a door, common practice."""
    found = one(show_text(box="at: [-9, 0, 2.5], aim: [0, 9, 1.2]"), WALLS)
    assert found is not None
    assert found.severity is Severity.CARE
    assert "Box by 3 m" in found.what
    assert one(show_text(box="at: [-6.9, 0, 2.5], aim: [0, 9, 1.2]"), WALLS) is None


def test_the_noise_that_an_index_suffers_from_is_that_against_the_voice() -> None:
    """Noise far over a voice: so much above it, no number below zero; IEC 60268-16."""
    room = HALL.removesuffix("}") + ", noise: 85 dB(A)}"
    found = one(show_text(room=room, level_db=-40.0), SPEECH)
    assert found is not None
    assert "above it" in found.what
    assert "-" not in found.what.partition("because")[2]
