"""Seats as the last points of the chain."""

from __future__ import annotations

import math

import pytest

from levelhead.acoustics.heard.heard import heard_by
from levelhead.acoustics.heard.seat_points import seat_points
from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.show.document import parse_show
from tests.cli.conftest import EXAMPLES
from tests.verdicts.air.halls import show_text

PLAY = EXAMPLES / "school-play.yaml"


@pytest.fixture(scope="module")
def play() -> Solution:
    """The school play, with four voices, a keyboard and effects."""
    text = PLAY.read_text(encoding="utf-8")
    return solve(build_rig(parse_show(text, "play.yaml").show, load_book()))


def test_seats_are_those_of_the_seats_command(play: Solution) -> None:
    told = {each.at: each for each in seat_points(play)}
    heard = heard_by(play).areas
    assert list(told) == ["areas.parents", "areas.desk"]
    for each, area in zip(told.values(), heard, strict=True):
        assert each.nominal == pytest.approx(area.level_db, abs=1e-9)
        assert each.unit == "dB(A)"
        assert each.floor is not None
        assert each.floor >= 37.9  # the hall alone has 38 dB(A)


def test_headroom_at_the_seats_is_that_of_the_loudspeaker(play: Solution) -> None:
    seat, box = seat_points(play)[0], play.levels("left.driver")
    assert seat.headroom == pytest.approx(box.headroom, abs=0.2)


def test_sources_by_themselves_add_up_to_all(play: Solution) -> None:
    """As power: they have nothing in common."""
    begins = {way[0].partition(".")[0] for way in play.paths}
    whole = seat_points(play)[0].nominal
    parts = [seat_points(play, {each}) for each in begins]
    levels = [points[0].nominal for points in parts if points]
    assert whole is not None
    power = sum(10 ** (level / 10) for level in levels if level is not None)
    assert 10 * math.log10(power) == pytest.approx(whole, abs=0.1)


def test_a_show_that_names_no_area_has_no_seat() -> None:
    show = parse_show(show_text(areas=None), "talk.yaml").show
    assert seat_points(solve(build_rig(show, load_book()))) == []
