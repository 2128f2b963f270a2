"""Microphones that ring: their low cuts and their faders, and nobody else's."""

from __future__ import annotations

from typing import Final

import pytest

from levelhead.acoustics.rings_of import Ringing, ringing_of
from levelhead.chain.solution import Solution, solve
from levelhead.gear.book import load_book
from levelhead.planning.air_cures import air_cures
from levelhead.planning.low_cuts import low_cut_edits, strips_of
from levelhead.planning.ring_moves import ring_moves
from levelhead.planning.trial import Trial, try_show
from levelhead.rig.build import build_rig
from levelhead.show.document import parse_show
from levelhead.show.edits import Edit, Lock, Set, apply
from levelhead.verdicts.air.words import RINGS

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
