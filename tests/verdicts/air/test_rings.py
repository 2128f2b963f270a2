"""Feedback as a finding: both chances, on both sides, and remedies that were solved."""

from __future__ import annotations

import math
from typing import Any

import pytest

from levelhead.acoustics.rings.rings_of import ringing_of
from levelhead.chain.solve import solve
from levelhead.gear.book import load_book
from levelhead.planning.remedy.remedies import remedies_for
from levelhead.planning.trial import try_show
from levelhead.rig.build import build_rig
from levelhead.show.document import parse_show
from levelhead.verdicts.air.words import INSIDE, NO_WALLS, RINGS
from levelhead.verdicts.told.finding import Severity
from tests.verdicts.air.halls import CARE, FAILS, FINE, HALL, judged, one, show_text

GAIN_DB = 55.0
PLACES_ALONE = {"room": None, "areas": None, "box": "at: [0, -3, 1.5], aim: [0, 9, 1.2]"}
"""The loudspeaker behind the talker, and nothing told of walls and chairs."""


def chances(level_db: float, **where: Any) -> tuple[float, float, Severity]:
    """Even odds, nineteen of twenty, and what is told. [dB]"""
    found = one(show_text(level_db=level_db, gain_db=GAIN_DB, **where), RINGS)
    assert found is not None
    return float(found.why[0].value or 0), float(found.why[1].value or 0), found.severity


@pytest.fixture(scope="module")
def quiet() -> tuple[float, float, Severity]:
    """As it stands at -20 dB."""
    return chances(-20.0)


def test_a_decibel_of_level_is_a_decibel_of_margin(quiet: tuple[float, float, Severity]) -> None:
    louder = chances(-15.0)
    assert louder[0] == pytest.approx(quiet[0] - 5, abs=0.1)
    assert louder[1] == pytest.approx(quiet[1] - 5, abs=0.1)


@pytest.mark.parametrize(
    ("which", "side_db", "severity"),
    [(1, -0.2, FINE), (1, 0.2, CARE), (0, -0.2, CARE), (0, 0.2, FAILS)],
)
def test_it_turns_at_both_chances(
    quiet: tuple[float, float, Severity], which: int, side_db: float, severity: Severity
) -> None:
    """Just under and just over the gain at which one in twenty and one in two ring."""
    margin_db = float(quiet[which])  # type: ignore[arg-type]
    assert chances(-20.0 + margin_db + side_db)[2] is severity


@pytest.mark.parametrize("where", [{}, PLACES_ALONE], ids=["hall", "places alone"])
def test_the_remedy_turns_it_down_and_was_solved(where: dict[str, Any]) -> None:
    """By no more than is missing and a step of a knob; and nobody falls silent."""
    level_db = -20.0 + chances(-20.0, **where)[0] + 3
    text = show_text(level_db=level_db, gain_db=GAIN_DB, **where)
    trial = try_show(parse_show(text, "t").show, load_book())
    found = next(each for each in trial.judgement.findings if each.code == RINGS)
    assert found.severity is FAILS
    remedies = remedies_for(trial, found)
    assert remedies
    assert remedies[0].verdict_after is FINE
    after = trial.after(remedies[0].edits)
    assert after is not None
    mended = next(each for each in after.judgement.findings if each.code == RINGS)
    assert mended.severity is FINE
    assert 0 <= float(mended.why[1].value or 0) <= 1.1


def test_a_microphone_inside_a_loudspeaker_is_told() -> None:
    """Both typed to one place: no margin of the loop means anything there."""
    found = one(show_text(box="at: [0, -2, 1.5], aim: [0, 9, 1.2]"), INSIDE)
    assert found is not None
    assert found.severity is FAILS
    assert "Microphone stands inside Box" in found.what


@pytest.mark.parametrize("level_db", [-30.0, -12.0, 0.0])
def test_without_a_room_it_is_what_feedback_says(level_db: float) -> None:
    """The same loop, judged by its two chances; that walls would add to it is told."""
    text = show_text(room=None, areas=None, level_db=level_db, gain_db=GAIN_DB)
    found = one(text, RINGS)
    margin = ringing_of(solve(build_rig(parse_show(text, "t").show, load_book()))).margin
    assert found is not None
    assert margin is not None
    assert found.margin == pytest.approx(margin.median_db)
    wanted = FINE if margin.sure_db >= 0 else CARE if margin.median_db >= 0 else FAILS
    assert found.severity is wanted
    assert found.what.endswith(NO_WALLS)


def test_walls_only_bring_it_nearer() -> None:
    """With the room told the same rig has less left, and the sentence speaks of no missing one."""
    rooms = [one(show_text(room=each, areas=None), RINGS) for each in (None, HALL)]
    free, hall = (each for each in rooms if each is not None)
    assert hall.margin < free.margin
    assert NO_WALLS not in hall.what


def test_outdoors_there_are_no_walls_to_speak_of() -> None:
    found = one(show_text(room="{where: outdoors}", areas=None), RINGS)
    assert found is not None
    assert NO_WALLS not in found.what


def test_what_is_worn_at_the_ears_rings_with_nothing() -> None:
    """A microphone with a place, earphones with one, and nothing that plays into the room."""
    text = """levelhead: 1
show: {name: Ears}
items:
  vox: {type: mic-vocal-dynamic, at: [0, -2, 1.5]}
  desk: {type: mixer-analogue-16}
  ears: {type: headphones, at: [0, -2, 1.7]}
sources: {ada: {type: voice-singer, at: vox, distance: 5 cm}}
links:
  - {from: vox.out, to: desk.ch1.mic, via: [cable-xlr 10 m]}
  - {from: desk.phones, to: ears.in}
settings: {desk: {ch1: {gain: 50 dB, fader: 0 dB}}}
"""
    assert not [each for each in judged(text).findings if each.family == "air"]


def lectern_text(level_db: float) -> str:
    """A lectern 2 m straight under a hung loudspeaker that is aimed at it; no room, no areas."""
    return f"""levelhead: 1
show: {{name: Lectern}}
items:
  lectern: {{type: mic-gooseneck-condenser, at: [0, 0, 1.2], aim: [0, -1, 1.2],
    figures: {{capsule.sensitivity: 15 mV/Pa, out.impedance: 200 ohm}}}}
  desk: {{type: mixer-compact, figures: {{ch.mic.impedance: 2.2 kohm}}}}
  box: {{type: loudspeaker-powered-12, at: [0, 0, 3.2], aim: [0, 0, 1.2],
    figures: {{driver.sensitivity.level: 121 dB SPL, driver.sensitivity.at: +8 dBu}}}}
sources: {{rosa: {{type: voice-talker, at: lectern, distance: 40 cm}}}}
links:
  - {{from: lectern.out, to: desk.ch1.mic, via: [cable-xlr 10 m]}}
  - {{from: desk.main-left.out, to: box.in, via: [cable-xlr 10 m]}}
settings:
  desk: {{phantom: "on", ch1: {{gain: 36 dB, fader: 0 dB, pan: left}}}}
  box: {{level: {level_db} dB}}
"""


@pytest.mark.parametrize(("level_db", "severity"), [(0.0, FAILS), (-16.0, FINE)])
def test_a_lectern_under_a_loudspeaker_by_hand(level_db: float, severity: Severity) -> None:
    """1 Pa in: 15 mV, 36 dB, 121 dB SPL for +8 dBu at 1 m, 2 m off, from a cardioid's side.

    Inverse distance; a cardioid is 6 dB down at its side (IEC 60268-4); a loop rings at a gain of
    one (textbook). It looks bad at either level, and is fine 16 dB lower: 8 dB are left.
    """
    found = one(lectern_text(level_db), RINGS)
    at_input_dbu = 20 * math.log10(0.015 / math.sqrt(0.6)) + 20 * math.log10(2200 / 2400) + 36
    comes_back_db = at_input_dbu + level_db - 8 + 121 - 20 * math.log10(2) - 6.02
    assert found is not None
    assert found.margin == pytest.approx(20 * math.log10(1 / 20e-6) - comes_back_db, abs=0.5)
    assert found.severity is severity
