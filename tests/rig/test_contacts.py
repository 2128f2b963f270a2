"""Which contacts of sockets are closed as a show is plugged."""

from __future__ import annotations

from typing import Any

import pytest

from levelhead.errors import ShowError
from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.rig.model import Rig
from levelhead.show.model import Cable, Item, Link, Show

ITEMS = {
    "feed": "feed-line",
    "desk": "mixer-analogue-16",
    "small": "mixer-compact",
    "bay": "patch-bay-trs",
    "rec": "recorder-line",
    "phones": "headphone-amplifier",
}


def rig(*links: Link, **settings: str) -> Rig:
    items = {name: Item(name, each) for name, each in ITEMS.items()}
    addresses = {name.replace("__", "."): value for name, value in settings.items()}
    return build_rig(Show("contacts", items=items, links=links, settings=addresses), load_book())


def jack(start: str, end: str, **more: Any) -> Link:
    return Link({"a": start, "b": end}, (Cable("lead-phono-jack", 3.0),), **more)


def joined(one: str, other: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """A contact between two pins: ``desk.ch1.insert.tip``."""
    (first, its), (second, others) = (each.rsplit(".", 1) for each in (one, other))
    return ("port", first, its), ("port", second, others)


INSERT = "desk.ch1.insert"
NORMAL = joined(f"{INSERT}.tip", f"{INSERT}.ring")


def test_where_nothing_is_plugged_nothing_is_drawn() -> None:
    assert rig().contacts == ()


def test_a_plug_elsewhere_in_the_strip_leaves_the_contacts_closed() -> None:
    other = rig(Link({"a": "feed.out", "b": "desk.ch1.mic"}))
    assert other.contacts == (NORMAL,)


def test_a_plug_pushed_home_opens_the_contact() -> None:
    assert rig(jack(INSERT, "rec.in-left")).contacts == ()


def test_a_plug_at_its_first_click_leaves_it_and_rests_on_the_ring() -> None:
    half = rig(jack(INSERT, "rec.in-left", plugged="half"))
    assert half.contacts == (NORMAL,)
    (link,) = half.links
    assert link.half == INSERT
    met = {(port[2], plug[4]) for port, plug in link.contacts if port[1] == INSERT}
    assert met == {("ring", "tip"), ("sleeve", "sleeve")}


def test_the_insert_is_the_one_that_is_half_in() -> None:
    """Whatever other three-pole sockets the link has."""
    ends = {"a": "bay.pair1.front", "b": INSERT}
    link = Link(ends, (Cable("cable-jack", 1.0),), plugged="half")
    assert rig(link).links[0].half == INSERT


def test_half_in_needs_a_three_pole_jack_socket() -> None:
    link = Link({"a": "feed.out", "b": "desk.ch1.mic"}, plugged="half")
    with pytest.raises(ShowError, match="no jack of this link can stand half in"):
        rig(link)


def test_an_xlr_plug_into_an_insert_is_a_misfit_half_in_or_not() -> None:
    link = Link({"a": INSERT, "b": "desk.ch2.mic"}, (Cable("cable-xlr", 3.0),), plugged="half")
    assert [each.at for each in rig(link).misfits] == [INSERT]


def test_a_contact_of_a_stereo_channel_joins_the_sides_until_the_right_one_is_plugged() -> None:
    left = jack("small.st1.in-left", "rec.in-left")
    right = jack("small.st1.in-right", "rec.in-right")
    sides = "small.st1.in-left", "small.st1.in-right"
    tips = tuple(joined(*(f"{side}.{pin}" for side in sides)) for pin in ("tip", "ring"))
    assert rig(left).contacts == tips
    assert rig(left, right).contacts == ()
