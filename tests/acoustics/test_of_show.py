"""From a show to a room, loudspeakers and microphones."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from levelhead.acoustics.heard.heard import heard_by
from levelhead.acoustics.placed.box_signals import playing
from levelhead.acoustics.placed.boxes import boxes_of
from levelhead.acoustics.placed.ears import ears_of, electric_of
from levelhead.acoustics.placed.of_room import crossing_walls, locate
from levelhead.acoustics.rings.rings_of import ringing_of
from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.gear.book import load_book
from levelhead.planning.air.ring_moves import ring_moves
from levelhead.rig.build import build_rig
from levelhead.show.document import parse_show
from levelhead.show.edits import Aim, Move, Retype, Set, apply
from levelhead.show.model import Room, Show
from levelhead.show.shipped import shipped_example

HALL = (
    "\nroom: {corners: [[-4, -3], [4, -3], [4, 9], [-4, 9]], height: 3 m, reverberation: 0.7 s}\n"
    "areas: {tables: {corners: [[-3, 2], [3, 2], [3, 8], [-3, 8]]}}\n"
)


def solved(more: str = HALL, name: str = "duo-in-a-pub") -> Solution:
    """An example with a room."""
    show = parse_show(shipped_example(name).text + more, name).show
    return solve(build_rig(show, load_book()))


@pytest.fixture(scope="module")
def pub() -> Solution:
    """The duo in its pub."""
    return solved()


def test_a_box_room_has_its_volume_and_surface() -> None:
    """8 x 12 x 3 m: 288 m3 and 312 m2; typed numbers come first."""
    walls = ((-4.0, -3.0), (4.0, -3.0), (4.0, 9.0), (-4.0, 9.0))
    room = Room(corners=walls, height="3 m", reverberation="0.7 s")
    found = locate(Show("Pub", room=room)).venue.room
    assert found is not None
    assert [found.volume_m3, found.surface_m2] == pytest.approx([288.0, 312.0])
    typed = locate(Show("Pub", room=Room(corners=walls, height="3 m", volume="250 m3"))).venue.room
    assert typed is not None
    assert typed.volume_m3 == 250.0


def test_octaves_are_joined_by_lines_and_the_air_takes_the_rest() -> None:
    """1.9 s at 125 Hz, 1.2 s at 1 kHz; above the last one it only falls."""
    room = Room(volume="2000 m3", reverberation={"1000": "1.2 s", "125": "1.9 s"})
    found = locate(Show("Hall", room=room)).venue.room
    assert found is not None
    times = found.reverberation_s
    assert [times[8], times[17]] == pytest.approx([1.9, 1.2], abs=0.01)
    assert np.all(np.diff(times[17:]) < 0)


def test_noise_has_the_level_that_was_typed() -> None:
    """38 dB(A), whatever its shape."""
    from levelhead.quantity.bands import mid_hz
    from levelhead.quantity.decibels import power_sum_db
    from levelhead.quantity.weighting import a_weighting_db

    noise = locate(Show("Hall", room=Room(noise="38 dB(A)"))).venue.noise_db
    assert noise is not None
    assert float(power_sum_db(noise + a_weighting_db(mid_hz()))) == pytest.approx(38.0)


@pytest.mark.parametrize(
    ("corners", "crosses"),
    [
        (((0, 0), (4, 0), (4, 3), (0, 3)), False),
        (((0, 0), (4, 0), (4, 2), (2, 2), (2, 4), (0, 4)), False),
        (((0, 0), (4, 3), (4, 0), (0, 3)), True),
        (((0, 0), (4, 0), (2, 0), (2, 3)), True),
        (((0, 0), (4, 0)), True),
        (((0, 0), (4, 0), (4, 3), (0, 3), (4, 3), (0, 4)), True),
    ],
)
def test_walls_that_cross(corners: tuple[tuple[float, float], ...], *, crosses: bool) -> None:
    assert crossing_walls(corners) is crosses


def test_loudspeakers_play_what_the_chain_says(pub: Solution) -> None:
    """The sum over mixes at 1 m is the level of the driver, in bands that the box plays."""
    boxes, remarks = boxes_of(pub)
    assert remarks == []
    assert len(boxes) == 3
    for box in boxes:
        own = [each for each in playing(pub, boxes) if each.name == box.name]
        power = sum(10 ** (each.level_db[17] / 10) for each in own) * 4e-10
        chain = pub.carried.signal_power()[box.number][17]
        assert power == pytest.approx(chain, rel=0.05)


def test_one_mix_interferes_and_two_do_not(pub: Solution) -> None:
    """Left and right of the pub share the voices; the monitor has its own mix."""
    boxes, _ = boxes_of(pub)
    signals: dict[str, set[str]] = {}
    for each in playing(pub, boxes):
        signals.setdefault(each.name, set()).add(each.signal)
    assert signals["Left loudspeaker"] & signals["Right loudspeaker"]


def test_gain_round_the_desk_is_that_of_the_chain(pub: Solution) -> None:
    """1 Pa at a microphone, as the voice that it hears is carried."""
    boxes, _ = boxes_of(pub)
    ears, _ = ears_of(pub)
    gains, _ = electric_of(pub, ears, boxes)
    m = next(i for i, ear in enumerate(ears) if ear.item.id == "vox-mia")
    voice = next(i for i, each in enumerate(pub.graph.components) if each.origin == "mia")
    at = pub.graph.index["mia"]
    carried = pub.carried
    for s, box in enumerate(boxes):
        rows = np.flatnonzero((carried.point == box.number) & (carried.component == voice))
        source = np.flatnonzero((carried.point == at) & (carried.component == voice))
        there = carried.power[rows].sum(0)[17] / carried.power[source].sum(0)[17]
        assert abs(gains[s, m, 17]) ** 2 == pytest.approx(there, rel=0.25)


def test_nearer_seats_are_louder(pub: Solution) -> None:
    heard = heard_by(pub).areas[0]
    near = heard.seats.a_weighted_db[heard.seats.places_m[:, 1] < 4].mean()
    far = heard.seats.a_weighted_db[heard.seats.places_m[:, 1] > 6].mean()
    assert near > far


def test_a_monitor_farther_from_microphones_rings_later(pub: Solution) -> None:
    """2 m instead of 1 m and a bit before the singers: more gain before feedback."""
    before = ringing_of(pub).margin
    show, _ = apply(pub.rig.show, [Move("monitor", (0.0, 1.5, 0.0))])
    after = ringing_of(solve(build_rig(show, load_book()))).margin
    assert before is not None
    assert after is not None
    assert after.median_db > before.median_db + 1


def test_turning_a_microphone_down_is_worth_what_it_was_turned_down(pub: Solution) -> None:
    """Both down by 6 dB: 6 dB more."""
    now, down = ringing_of(pub), ringing_of(pub, down_db={"vox-mia": 6.0, "vox-jon": 6.0})
    assert now.margin is not None
    assert down.margin is not None
    assert down.margin.median_db - now.margin.median_db == pytest.approx(6.0, abs=0.01)


def test_moves_were_made_and_solved(pub: Solution) -> None:
    """Each with the edits that make it, applied again: the same margin."""
    ringing = ringing_of(pub)
    moves = ring_moves(pub, ringing)
    closing = next(each for each in moves if "closed" in each.do)
    show, _ = apply(pub.rig.show, closing.edits)
    again = ringing_of(solve(build_rig(show, load_book())))
    assert ringing.margin is not None
    assert again.margin is not None
    bought = again.margin.median_db - ringing.margin.median_db
    assert bought == pytest.approx(closing.buys_db, abs=0.05)


def test_a_close_directional_microphone_hears_less_bass_from_far(pub: Solution) -> None:
    """5 cm, cardioid: half of 14.9 dB at 100 Hz."""
    ear = next(each for each in ears_of(pub)[0] if each.item.id == "vox-mia")
    assert 10 * np.log10(ear.far_response[7]) == pytest.approx(-7.45, abs=0.05)


def test_a_loudspeaker_plays_no_louder_than_its_most() -> None:
    """A small one that can give 80 dB SPL: it stays there, and that is told."""
    quiet = solved()
    small = replace(quiet.rig.show.items["top-left"], figures={"driver.ceiling": "80 dB SPL"})
    show = replace(quiet.rig.show, items={**quiet.rig.show.items, "top-left": small})
    boxes, remarks = boxes_of(solve(build_rig(show, load_book())))
    left = next(each for each in boxes if each.item.id == "top-left")
    nominal_db = 20 * np.log10(float(quiet.nominal[left.number]) / 20e-6)
    assert nominal_db - left.over_db == pytest.approx(80.0, abs=0.1)
    assert "acoustics.over-its-ceiling" in {each.code for each in remarks}


def test_a_hot_coil_plays_softer() -> None:
    """A passive loudspeaker near its rating: some decibels; with little power none."""
    show = parse_show(shipped_example("village-hall").text, "hall").show
    boxes, _ = boxes_of(solve(build_rig(show, load_book())))
    assert 0.0 < max(each.hot_db for each in boxes) < 0.1
    hot = {"wedge-ruth": replace(show.items["wedge-ruth"], figures={"in.long-term-rating": "2 V"})}
    boxes, _ = boxes_of(solve(build_rig(replace(show, items={**show.items, **hot}), load_book())))
    assert next(each for each in boxes if each.item.id == "wedge-ruth").hot_db > 0.5


def test_a_loudspeaker_down_the_hall_gets_its_delay(pub: Solution) -> None:
    """10 m further back: flight of the difference, and 15 ms."""
    assert heard_by(pub).delays == ()
    moved = [Move("top-right", (2.0, 10.3, 1.8)), Aim("top-right", (0.5, 15.0, 1.2))]
    show, _ = apply(pub.rig.show, moved)
    (delay,) = heard_by(solve(build_rig(show, load_book()))).delays
    place = np.array([2.0, 10.3, 1.8]) + 3.0 * _unit((-1.5, 4.7, -0.6))
    first_m = float(np.linalg.norm(place - np.array([-2.0, 0.3, 1.8])))
    assert delay.set_s == pytest.approx((first_m - 3.0) / 343.2 + 0.015, abs=2e-4)
    assert delay.now_s == pytest.approx(0.0, abs=1e-4)
    assert 5.0 < delay.louder_db < 20.0
    assert delay.may_be_db == 10.0


def _unit(vector: tuple[float, float, float]) -> NDArray[np.float64]:
    return np.array(vector) / np.linalg.norm(vector)


SUPER = "mic-vocal-dynamic-supercardioid"


def test_another_pattern_is_an_edit_as_loud_as_before(pub: Solution) -> None:
    """A supercardioid hears less of the room; the voice comes as before."""
    moves = ring_moves(pub, ringing_of(pub))
    (mia,) = [each for each in moves if Retype("vox-mia", SUPER) in each.edits]
    assert mia.buys_db > 1.0
    show, _ = apply(pub.rig.show, mia.edits)
    after = solve(build_rig(show, load_book()))
    for box in boxes_of(pub)[0]:
        at = pub.graph.points[box.number].address
        assert after.levels(at).nominal == pytest.approx(pub.levels(at).nominal, abs=0.5)


def test_a_hotter_microphone_gets_its_gain_turned_down() -> None:
    """Three times the volts for a pascal: 10 dB less at the preamp; it is in the van."""
    dull = "vox-mia:   {type: mic-vocal-dynamic, figures: {capsule.sensitivity: 0.63 mV/Pa},"
    text = shipped_example("duo-in-a-pub").text.replace(
        "vox-mia:   {type: mic-vocal-dynamic,", dull
    )
    show = parse_show(text.replace("stock:", f"stock:\n  {SUPER}: 1", 1) + HALL, "hot").show
    now = solve(build_rig(show, load_book()))
    moves = ring_moves(now, ringing_of(now))
    (mia,) = [each for each in moves if Retype("vox-mia", SUPER) in each.edits]
    assert "out of the stock" in mia.do
    (turned,) = [edit for edit in mia.edits if isinstance(edit, Set)]
    before_db = now.rig.setting_db(turned.address)
    assert float(turned.value.removesuffix(" dB")) == pytest.approx(before_db - 10.0, abs=0.2)


def test_a_subwoofer_meets_what_plays_to_the_audience() -> None:
    """Not the wedge, whose deep notes go to all sides as well."""
    stage = solved(more="", name="outdoor-stage")
    met = heard_by(stage).subwoofers
    assert all(not each.main.name.startswith("Wedge") for each in met)


def test_a_subwoofer_does_not_meet_what_plays_across_the_stage() -> None:
    """A foldback from the side sees the hall's middle within 90 degrees, and is nobody's main."""
    foldback = """  fold: {type: loudspeaker-powered-8, at: [-5, -1, 1.5], aim: [0, -3, 1.5]}
sources:"""
    text = shipped_example("wedding").text.replace("sources:", foldback, 1)
    text = text.replace("desk.aux1.out, to: garden.in", "desk.aux1.out, to: fold.in")
    text = text.replace("st1: {fader: -6 dB}", "st1: {fader: -6 dB, send1: 10 dB}")
    show = parse_show(text + HALL, "wedding").show
    met = heard_by(solve(build_rig(show, load_book()))).subwoofers
    assert met
    assert {each.main.item.id for each in met} <= {"top-left", "top-right"}
