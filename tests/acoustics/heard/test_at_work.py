"""Desk, stage and ears; hiss and combs at the seats; the handbook's formula from places."""

from __future__ import annotations

import math

import pytest

from levelhead.acoustics.heard.heard import AreaHeard, Heard, heard_by
from levelhead.acoustics.listening.seats import a_weighted_db
from levelhead.acoustics.placed.box_signals import hissing
from levelhead.acoustics.placed.boxes import boxes_of
from levelhead.acoustics.rings.handbook import handbook_of
from levelhead.acoustics.rings.rings_of import ringing_of
from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.show.document import parse_show
from tests.verdicts.air.halls import HALL, show_text


def solved(text: str) -> Solution:
    return solve(build_rig(parse_show(text, "talk.yaml").show, load_book()))


def outdoors(**how: str) -> Solution:
    """One loudspeaker 4 m before the only seat, on its axis."""
    given = {
        "room": "{where: outdoors}",
        "areas": "{seat: {at: [0, 4, 2]}}",
        "box": "at: [0, 0, 2], aim: [0, 4, 2]",
    }
    return solved(show_text(**(given | how)))  # type: ignore[arg-type]


def test_hiss_falls_with_distance() -> None:
    """Outdoors on the axis: what it is at 1 m, less 20 lg 4 (and what air takes of it)."""
    solution = outdoors()
    heard = heard_by(solution)
    (noisy,) = hissing(solution, boxes_of(solution)[0])
    at_1_m_db = float(a_weighted_db(noisy.level_db))
    assert heard.areas[0].hiss_dba == pytest.approx(at_1_m_db - 20 * math.log10(4), abs=0.4)


def test_hiss_is_in_the_noise_of_the_place() -> None:
    """Where the place is quiet, hiss decides; where nobody told its noise, nothing is said."""
    loud = show_text(room="{where: outdoors, noise: 5 dB(A)}", areas="{seat: {at: [0, 4, 2]}}")
    heard = heard_by(solved(loud)).areas[0]
    assert heard.hiss_dba is not None
    assert heard.signal_to_noise_db is not None
    both_db = 10 * math.log10(10 ** (heard.hiss_dba / 10) + 10**0.5)
    assert heard.signal_to_noise_db == pytest.approx(heard.level_db - both_db, abs=0.1)
    assert heard_by(outdoors()).areas[0].signal_to_noise_db is None


@pytest.mark.reference("CV-73: Sound System Design Reference Manual, ch. 4; after Boner and Boner")
def test_needed_and_potential_gain_of_a_show() -> None:
    """The printed case: Ds 1, D0 7, D1 4, D2 6 m, one microphone: 7.36 and 7.38 dB."""
    right_m = math.sqrt(16 - (4 / 3) ** 2)
    text = show_text(
        room="{where: outdoors}",
        areas="{last: {at: [0, 6, 1.2]}}",
        vox="at: [0, 0, 1.2]",
        box=f"at: [{right_m:.4f}, {4 / 3:.4f}, 1.2], aim: [0, 6, 1.2]",
    ).replace("distance: 5 cm", "distance: 1 m")
    told = handbook_of(ringing_of(solved(text)))
    assert told is not None
    ways = told.distances
    assert (ways.ds, ways.d0, ways.d1, ways.d2) == pytest.approx((1, 7, 4, 6), abs=0.001)
    assert told.gain.needed_db == pytest.approx(7.36, abs=0.005)
    assert told.gain.potential_db == pytest.approx(7.38, abs=0.005)
    assert any("patterns" in each for each in told.gain.doubts)


def two_boxes(apart_m: float) -> Heard:
    """A mono mix on two boxes, this far apart."""
    half = apart_m / 2
    place = f"at: [{half}, 0, 2.5], aim: [0, 9, 1.2]"
    more = f"  other: {{type: loudspeaker-powered-12, label: Other, {place}}}"
    text = show_text(
        room="{where: outdoors}",
        areas="{lawn: {corners: [[-4, 3], [4, 3], [4, 9], [-4, 9]]}}",
        box=f"at: [{-half}, 0, 2.5], aim: [0, 9, 1.2]",
        more=more,
    )
    wire = "  - {from: desk.main-right.out, to: other.in, via: [cable-xlr 10 m]}\nsettings:"
    level = "  other: {level: -20.0 dB}\n  box: {level"
    return heard_by(solved(text.replace("settings:", wire).replace("  box: {level", level)))


def test_two_boxes_of_one_mix_colour_each_other() -> None:
    """Side by side they do; as one source not, nor from two sides, where ears hear width."""
    (comb,) = two_boxes(0.8).combs
    assert {comb.one, comb.other} == {"Box", "Other"}
    assert comb.share > 0.25
    assert comb.null_hz is not None
    assert comb.null_hz[0] < 700.0
    assert two_boxes(0.05).combs == ()
    assert two_boxes(6.0).combs == ()


def test_who_works_gets_what_is_there() -> None:
    """A wedge turned to the talker is told by itself; at the desk the level is that of a seat."""
    text = show_text(
        room="{where: outdoors}",
        areas="{seat: {at: [0, 8, 1.6]}}",
        box="at: [0, 0, 0.3], aim: [0, -2, 1.5]",
        vox="at: [0, -1.5, 1.5]",
    ).replace("label: Desk", "label: Desk, at: [0, 8, 1.2]")
    heard = heard_by(solved(text))
    told = {each.kind: each for each in heard.at_work}
    assert told["desk"].level_db == pytest.approx(heard.areas[0].level_db, abs=0.1)
    assert told["performer"].wedge_db == pytest.approx(told["performer"].level_db, abs=0.1)
    assert told["performer"].level_db > told["desk"].level_db + 6
    assert told["desk"].wedge_db is None


def test_who_sings_into_two_microphones_is_one_performer() -> None:
    """A choir before a pair has one pair of ears in the doses, common practice."""
    text = show_text(more="  far: {type: mic-vocal-dynamic, at: [2, -2, 1.5]}")
    text = text.replace("distance: 5 cm}", "distance: 5 cm, also: {far: 30 cm}}")
    text = text.replace("settings:", "  - {from: far.out, to: desk.ch2.mic}\nsettings:")
    told = [each.name for each in heard_by(solved(text)).at_work]
    assert told.count("Ada") == 1


def test_signal_to_noise_beside_the_index_is_that_of_the_voice() -> None:
    """IEC 60268-16: the index of a voice under loud music suffers of the noise as without music."""

    def told(fader: str) -> AreaHeard:
        text = show_text(
            more="  band: {type: player-media}", room=f"{HALL[:-1]}, noise: 50 dB(A)}}"
        )
        text = text.replace(
            "settings:", "  - {from: band.out-left, to: desk.ch2.line}\nsettings:"
        ).replace("ch1: {", f"ch2: {{fader: {fader}}}, ch1: {{")
        return heard_by(solved(text)).areas[0]

    plain, loud = told("-40 dB"), told("10 dB")
    assert loud.level_db > plain.level_db + 6
    assert loud.signal_to_noise_db == pytest.approx(plain.signal_to_noise_db, abs=0.1)
