"""Microphones that ring: their low cuts and their faders, and nobody else's."""

from __future__ import annotations

from typing import Final

import pytest

from levelhead.acoustics.rings.rings_of import Ringing, ringing_of
from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.gear.book import load_book
from levelhead.planning.air.cures import air_cures
from levelhead.planning.air.low_cuts import low_cut_edits, strips_of, voice_cut_edits
from levelhead.planning.air.open_microphones import closings
from levelhead.planning.air.ring_moves import ring_moves
from levelhead.planning.remedy.remedies import remedies_for
from levelhead.planning.trial import Trial, try_show
from levelhead.rig.build import build_rig
from levelhead.show.document import parse_show
from levelhead.show.edits import ChangeSource, Edit, Lock, Set, apply
from levelhead.verdicts.air.words import RINGS, TOO_LOW
from levelhead.verdicts.told.finding import Severity
from tests.verdicts.air.halls import CHAIRS, show_text

CONCERT: Final = """levelhead: 1
show: {name: Concert}
items:
  vox: {type: mic-vocal-dynamic, label: Vocal, at: [0, 0.5, 1.6]}
  left: {type: mic-instrument-condenser, label: Choir left, at: [-1.5, -1, 2.2]}
  right: {type: mic-instrument-condenser, label: Choir right, at: [1.5, -1, 2.2]}
  desk: {type: mixer-compact, label: Desk, at: [0, 15, 1.2]}
  pa: {type: loudspeaker-powered-12, label: PA, at: [-4, 1, 2.2], aim: [-1, 9, 1.2]}
sources:
  ada: {type: voice-singer, at: vox, distance: 5 cm}
  choir: {type: voice-choir, at: left, distance: 2 m}
links:
  - {from: vox.out, to: desk.ch1.mic, via: [cable-xlr 10 m]}
  - {from: left.out, to: desk.ch2.mic, via: [cable-xlr 10 m]}
  - {from: right.out, to: desk.ch3.mic, via: [cable-xlr 10 m]}
  - {from: desk.main-left.out, to: pa.in, via: [cable-xlr 15 m]}
settings:
  desk: {ch1: {gain: 20 dB}, ch2: {gain: 40 dB}, ch3: {gain: 40 dB}, phantom: on}
  pa: {level: -10 dB}
room: {corners: [[-6, -4], [6, -4], [6, 16], [-6, 16]], height: 5 m, reverberation: 1.4 s}
areas: {hall: {label: Hall, corners: [[-5, 3], [5, 3], [5, 14], [-5, 14]]}}
"""


@pytest.fixture(scope="module")
def concert() -> Trial:
    document = parse_show(CONCERT, "concert.yaml")
    return try_show(document.show, load_book(), document)


def after(solution: Solution, edits: tuple[Edit, ...]) -> Solution:
    show, _ = apply(solution.rig.show, list(edits))
    return solve(build_rig(show, load_book()))


def sure_db(ringing: Ringing) -> float:
    assert ringing.margin is not None
    return ringing.margin.sure_db


def test_each_microphone_comes_into_the_strip_that_it_is_plugged_into(concert: Trial) -> None:
    """No sum and no headphone bus is a strip; one that no source plays into counts too."""
    found = {
        ear.name: [block.name for _, block in strips_of(concert.solution, ear)]
        for ear in ringing_of(concert.solution).ears
    }
    assert found == {"Vocal": ["ch1"], "Choir left": ["ch2"], "Choir right": ["ch3"]}


def test_low_cuts_that_are_out_go_in_unless_they_are_locked(concert: Trial) -> None:
    solution = after(concert.solution, (Set("desk.ch1.low-cut", "on"), Lock("desk.ch3.low-cut")))
    edits = low_cut_edits(solution, ringing_of(solution).ears)
    assert edits == (Set("desk.ch2.low-cut", "on"),)


def test_a_low_cut_buys_what_the_solved_copy_says(concert: Trial) -> None:
    """The loop rings at 100 Hz first; a low cut at 80 Hz, third order, takes 1.7 dB there."""
    ringing = ringing_of(concert.solution)
    move = next(
        each for each in ring_moves(concert.solution, ringing) if each.do.startswith("low cut")
    )
    assert move.do == "low cut in at Desk ch1, ch2, ch3"
    then = ringing_of(after(concert.solution, move.edits))
    assert then.margin is not None
    assert ringing.margin is not None
    assert move.buys_db == pytest.approx(then.margin.median_db - ringing.margin.median_db)
    assert 0.3 < move.buys_db < 2.0


def test_only_those_that_ring_are_turned_down(concert: Trial) -> None:
    """The choir's microphones ring, the vocal does not: its fader stays, and nothing rings."""
    finding = next(each for each in concert.judgement.findings if each.code == RINGS)
    cures = [each.edits for each in air_cures(concert, finding)]
    faders = next(
        edits
        for edits in cures
        if all(isinstance(each, Set) and each.address.endswith(".fader") for each in edits)
    )
    assert {each.address for each in faders if isinstance(each, Set)} == {
        "desk.ch2.fader",
        "desk.ch3.fader",
    }
    assert sure_db(ringing_of(concert.solution)) < 0
    assert sure_db(ringing_of(after(concert.solution, faders))) >= 0


def council(count: int, more: str = "") -> Solution:
    """So many talkers, each before a microphone of their own, all alike."""
    each = range(1, count + 1)
    lines = [
        "levelhead: 1",
        "show: {name: Council}",
        "items:",
        "  desk: {type: mixer-digital-32, label: Desk, at: [0, 9, 1]}",
        "  pa: {type: loudspeaker-powered-12, label: PA, at: [0, 2, 2.6], aim: [0, 8, 1.2]}",
        *(f"  m{i}: {{type: mic-vocal-dynamic, label: Seat {i}, at: [0, -1, 1.2]}}" for i in each),
        "sources:",
        *(f"  t{i}: {{type: voice-talker, at: m{i}, distance: 10 cm}}" for i in each),
        "links:",
        *(f"  - {{from: m{i}.out, to: desk.ch{i}.mic, via: [cable-xlr 10 m]}}" for i in each),
        "  - {from: desk.main-left.out, to: pa.in, via: [cable-xlr 15 m]}",
        "settings:",
        f"  desk: {{{', '.join(f'ch{i}: {{gain: 40 dB}}' for i in each)}}}",
        "room: {corners: [[-6, -4], [6, -4], [6, 10], [-6, 10]], height: 4 m, reverberation: 1 s}",
        more,
    ]
    return solve(build_rig(parse_show("\n".join(lines), "council.yaml").show, load_book()))


def test_one_of_eight_open_microphones_wins_what_their_number_does() -> None:
    """Davis and Patronis: 10 lg of the open microphones, 9 dB for eight that are alike."""
    now = council(8)
    moves = ring_moves(now, ringing_of(now))
    (alone,) = [each for each in moves if "open alone" in each.do]
    assert alone.buys_db == pytest.approx(9.0, abs=0.2)
    assert {each.address for each in alone.edits if isinstance(each, Set)} == {
        f"desk.ch{i}.mute" for i in range(2, 9)
    }
    assert sure_db(ringing_of(after(now, alone.edits))) > sure_db(ringing_of(now)) + 8.0


def test_a_microphone_of_many_is_no_voice_that_waits_for_its_turn(concert: Trial) -> None:
    """A choir sings into all of its microphones at once; one person uses a close one."""
    moves = ring_moves(concert.solution, ringing_of(concert.solution))
    assert not [each for each in moves if "open alone" in each.do]


def test_half_the_distance_wins_no_more_than_the_gain_that_comes_down() -> None:
    """Inverse square, textbook: 20 lg 2 is 6.02 dB; the equaliser of the voice stays as it is."""
    now = council(1)
    (nearer,) = [each for each in ring_moves(now, ringing_of(now)) if "half as far" in each.do]
    assert nearer.buys_db == pytest.approx(6.02, abs=0.1)


def test_a_low_cut_goes_up_to_what_speech_needs() -> None:
    """150 Hz, common practice of speech (100 to 160 Hz); switched in where it is out."""
    now = council(2)
    edits = voice_cut_edits(now, ringing_of(now).ears)
    assert Set("desk.ch1.low-cut-at", "150 Hz") in edits
    assert Set("desk.ch2.low-cut", "on") in edits
    margin = ringing_of(after(now, edits)).margin
    assert margin is not None
    assert margin.mean_db[5] < margin.mean_db[8]  # 63 Hz, and 125 Hz


def test_a_low_cut_that_is_locked_or_high_enough_stays() -> None:
    high = council(1)
    rig = after(high, (Set("desk.ch1.low-cut", "on"), Set("desk.ch1.low-cut-at", "160 Hz")))
    assert not voice_cut_edits(rig, ringing_of(rig).ears)
    locked = after(high, (Lock("desk.ch1.low-cut-at"),))
    assert not voice_cut_edits(locked, ringing_of(locked).ears)


def test_no_remedy_lets_what_fails_miss_by_more() -> None:
    """It rings and is too soft at once: turning up what rings mends nothing, common practice."""
    text = show_text(
        areas=f"{{chairs: {{label: Chairs, {CHAIRS}, level: 86 dB(A)}}}}",
        vox="at: [0, 0.6, 2.5]",
        level_db=-9.0,
    )
    document = parse_show(text, "talk.yaml")
    trial = try_show(document.show, load_book(), document)
    found = {each.code: each for each in trial.judgement.worse_than_fine()}
    assert found[RINGS].severity is Severity.FAILS
    assert found[TOO_LOW].margin is not None
    assert remedies_for(trial, found[RINGS])
    for remedy in remedies_for(trial, found[TOO_LOW]):
        louder = trial.after(remedy.edits)
        assert louder is not None
        (ring,) = [each for each in louder.judgement.findings if each.code == RINGS]
        assert ring.margin is not None
        assert found[RINGS].margin is not None
        assert ring.margin > found[RINGS].margin - 0.5


@pytest.mark.parametrize(("level_db", "is_offered"), [(-13.0, True), (-8.0, False)])
def test_half_the_distance_is_a_remedy_of_what_lacks_less_than_6_db(
    *, level_db: float, is_offered: bool
) -> None:
    """Inverse square, textbook: 20 lg 2; what lacks more is mended by something else."""
    document = parse_show(show_text(vox="at: [0, 0.6, 2.5]", level_db=level_db), "talk.yaml")
    trial = try_show(document.show, load_book(), document)
    (ring,) = [each for each in trial.judgement.findings if each.code == RINGS]
    nearer = [
        each
        for each in air_cures(trial, ring)
        if any(isinstance(edit, ChangeSource) for edit in each.edits)
    ]
    sure = ring.why[1].value
    assert sure is not None
    assert (sure > -6.0) is is_offered
    assert bool(nearer) is is_offered


def test_microphones_of_one_choir_are_closed_together_in_its_pauses() -> None:
    """Nobody closes one of two that hear a choir, nor either of them while it sings."""
    text = CONCERT.replace(
        "at: left, distance: 2 m}", "at: left, distance: 2 m, also: {right: 2 m}}"
    )
    document = parse_show(
        text.replace("type: voice-choir,", "type: voice-choir, label: Choir,"), "x"
    )
    solution = try_show(document.show, load_book(), document).solution
    ringing = ringing_of(solution)
    assert ringing is not None
    said = [do for do, _ in closings(solution, ringing)]
    assert [each for each in said if "Choir" in each] == [
        "Choir left and Choir right closed while Choir has a pause"
    ]
