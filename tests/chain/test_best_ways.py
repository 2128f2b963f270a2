"""Ways that somebody asks for, and the strongest of each source."""

from __future__ import annotations

from pathlib import Path

import pytest

from levelhead.chain.best_ways import named_points, silent_sources, strongest_ways, ways_through
from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.errors import SolveError
from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.show.document import load_show

EXAMPLES = Path(__file__).parents[2] / "src" / "levelhead" / "examples"


def example(name: str) -> Solution:
    return solve(build_rig(load_show(EXAMPLES / f"{name}.yaml").show, load_book()))


@pytest.fixture(scope="module")
def hall() -> Solution:
    return example("village-hall")


def test_a_name_stands_for_what_begins_with_it_whole(hall: Solution) -> None:
    assert named_points(hall, "desk.ch1") == {
        address for address in hall.graph.index if address.startswith("desk.ch1.")
    }
    assert named_points(hall, "ruth") == {"ruth"}


def test_a_name_that_is_none_may_be_a_beginning(hall: Solution) -> None:
    assert {"desk.ch1.mic", "desk.ch4.fader"} <= named_points(hall, "desk.c")


def test_an_unknown_name_is_refused_with_the_nearest(hall: Solution) -> None:
    with pytest.raises(SolveError, match=r"no point begins with 'dsek'.*Did you mean 'desk'"):
        named_points(hall, "dsek")


def test_ways_pass_every_point_that_is_named(hall: Solution) -> None:
    ways = ways_through(hall, ["ruth", "pa-left"])
    assert len(ways) == 1
    assert (ways[0][0], ways[0][-1]) == ("ruth", "pa-left.driver")
    assert ways_through(hall, []) == hall.paths


def test_the_strongest_way_is_the_first_to_the_air(hall: Solution) -> None:
    """The keyboard's right output hears nobody: its left one is drawn."""
    chosen = {way[0].partition(".")[0]: way for way in strongest_ways(hall, hall.paths)}
    assert chosen["keys"][0] == "keys.volume-left"
    assert all(hall.point(way[-1]).unit == "Pa" for way in chosen.values())
    assert chosen["ruth"][-1] == "pa-left.driver"


def test_sources_without_a_way_are_known(hall: Solution) -> None:
    """The singer with the dead microphone."""
    assert silent_sources(hall) == ("ines",)
