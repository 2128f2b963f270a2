"""The show as values."""

from __future__ import annotations

import copy
import pickle

from levelhead.show.document import parse_show
from levelhead.show.model import Cable, Item, Link, Source
from tests.show.hall import HALL

SHOW = parse_show(HALL, "f").show


def test_what_the_crew_calls_a_thing() -> None:
    assert Item("vox-1", "mic", "Anna").called == "Anna"
    assert Item("vox-1", "mic").called == "vox-1"
    assert Source("s", "voice", "vox-1", label="Anna").called == "Anna"
    assert Source("s", "voice", "vox-1").called == "s"


def test_links_are_equal_by_value_and_can_be_counted() -> None:
    """Also when their ends were named in another order."""
    one = Link({"a": "x.y", "b": "x.z"}, (Cable("c", 1.0),), {"2": "open"})
    other = Link({"b": "x.z", "a": "x.y"}, (Cable("c", 1.0),), {"2": "open"})
    assert one == other
    assert len({one, other, Link(one.ends)}) == 2


def test_a_link_knows_its_items_and_a_show_its_plugs() -> None:
    assert SHOW.links[1].items == {"desk", "comp"}
    assert SHOW.link_at("comp.in") is SHOW.links[1]
    assert SHOW.link_at("comp.side") is None


def test_a_show_goes_to_another_process() -> None:
    assert pickle.loads(pickle.dumps(SHOW)) == SHOW  # noqa: S301 - our own bytes
    assert copy.deepcopy(SHOW) == SHOW
