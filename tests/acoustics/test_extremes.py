"""Rooms, areas and places at their ends: an answer, or a finding in words.

Whatever a file may say goes through seats, feedback, verdicts and the map; nothing of it is
infinite or no number, and numpy warns of nothing.
"""

from __future__ import annotations

import json
import warnings

import pytest

from levelhead.acoustics.heard.heard import Heard, heard_by
from levelhead.acoustics.heard.seat_points import seat_points
from levelhead.acoustics.rings.rings_of import ringing_of
from levelhead.chain.solve import solve
from levelhead.drawing.seats.seat_map import seat_map_svg
from levelhead.gear.book import load_book
from levelhead.planning.air.ring_moves import ring_moves
from levelhead.rig.build import build_rig
from levelhead.show.document import parse_show
from levelhead.verdicts.judge import judge
from tests.verdicts.air.halls import show_text


def told(text: str) -> tuple[Heard, set[str]]:
    """What is heard, and all codes: of remarks, and of verdicts that are worse than fine."""
    show = parse_show(text, "extreme.yaml").show
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        solution = solve(build_rig(show, load_book()))
        heard, ringing = heard_by(solution), ringing_of(solution)
        moves = ring_moves(solution, ringing)
        findings = judge(solution).findings
        drawn = seat_map_svg(heard, show) if heard.areas else ""
    answers = [heard, ringing, *moves, *(each for each in findings if each.family == "air")]
    for each in answers:
        json.dumps(each.to_json(), allow_nan=False)
    assert "nan" not in drawn
    assert "inf" not in drawn
    seat_points(solution)
    codes = {each.code for each in (*heard.remarks, *ringing.remarks)}
    return heard, codes | {each.code for each in findings if each.severity.value != "fine"}


@pytest.mark.parametrize(
    ("room", "code"),
    [
        ("{corners: [[0, 0], [1, 0], [1, 1], [0, 1]], height: 1 m}", "air.room"),
        ("{corners: [[-9e3, -9e3], [9e3, -9e3], [9e3, 9e3]], height: 100 m}", "air.room"),
        ("{volume: 300 m3, absorption: 0}", "air.room"),
        ("{volume: 300 m3, absorption: 1}", None),
        ("{corners: [[-4, 0], [4, 9], [4, 0], [-4, 9]], height: 3 m}", "air.room"),
        ("{volume: 5 m3, reverberation: 30 s, humidity: 0 %, temperature: -50 °C}", None),
        ("{volume: 300 m3, floor: -100}", "acoustics.no-reverberation"),
        ("{where: outdoors, noise: 0 dB(A)}", None),
    ],
)
def test_rooms_at_their_ends(room: str, code: str | None) -> None:
    heard, codes = told(show_text(room=room))
    assert code is None or code in codes
    assert heard.areas


@pytest.mark.parametrize(
    ("areas", "seats", "code"),
    [
        ("{seat: {at: [0, 0, 2.5]}}", 1, "air.inside-loudspeaker"),
        pytest.param(
            "{big: {corners: [[-50, 1], [50, 1], [50, 201], [-50, 201]]}}",
            20_000,
            None,
            marks=pytest.mark.long,
        ),
        ("{big: {corners: [[-50, 1], [50, 1], [50, 202], [-50, 202]]}}", 0, "acoustics.no-area"),
        ("{row: {corners: [[0, 1], [5, 1], [10, 1]]}}", 0, "air.room"),
        ("{bow: {corners: [[-4, 2], [4, 9], [4, 2], [-4, 9]]}}", None, "air.room"),
        ("{one: {at: [0, 9999, 1.2]}}", 1, "acoustics.beyond-walls"),
    ],
)
def test_areas_at_their_ends(areas: str, seats: int | None, code: str | None) -> None:
    heard, codes = told(show_text(areas=areas))
    assert code is None or code in codes
    count = sum(len(each.seats.places_m) for each in heard.areas)
    assert seats is None or count == seats


@pytest.mark.parametrize(
    ("box", "code"),
    [
        ("note: in the van", "acoustics.no-loudspeaker"),
        ("at: [0, 0, 2.5], aim: [0, 0, 2.5]", "acoustics.no-aim"),
        ("at: [0, -2, 1.5], aim: [0, 9, 1.2]", "air.inside-loudspeaker"),
        ("at: [0, 0, -9], aim: [0, 9, 1.2]", "acoustics.beyond-walls"),
        ("at: [0, 0, 2.5], aim: [0, 0, -2.5]", None),
    ],
)
def test_loudspeakers_at_strange_places(box: str, code: str | None) -> None:
    _, codes = told(show_text(box=box))
    assert code is None or code in codes
