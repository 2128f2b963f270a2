"""Resolving with a rig of before: the same rig, the same errors, and less to do."""

from __future__ import annotations

from dataclasses import fields, replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from levelhead.errors import LevelheadError
from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.rig.model import Rig
from levelhead.show.document import parse_show
from levelhead.show.edits import Unplug, apply
from levelhead.show.model import Cable, Item, Link, Show

HALL = Path(__file__).parents[2] / "src" / "levelhead" / "examples" / "village-hall.yaml"
BOOK = load_book()
SHOW = parse_show(HALL.read_text(encoding="utf-8"), "hall").show
RIG = build_rig(SHOW, BOOK)

addresses = st.sampled_from(sorted(SHOW.settings))
names = st.sampled_from(sorted(SHOW.items))
types = st.sampled_from(["mixer-compact", "mic-vocal-dynamic", "di-passive", "no-such-type"])
texts = st.sampled_from(["-10 dB", "off", "on", "unknown", "centre", "nonsense"])


@st.composite
def changed(draw: st.DrawFn, show: Show) -> Show:
    """A show with one thing changed, whether or not that makes sense."""
    kind = draw(st.sampled_from(["set", "retype", "label", "figure", "unplug", "recable", "move"]))
    if kind == "set":
        return replace(show, settings={**show.settings, draw(addresses): draw(texts)})
    if kind in {"retype", "label", "figure"}:
        item = show.items[draw(names)]
        other = {
            "retype": lambda: replace(item, type=draw(types)),
            "label": lambda: replace(item, label="Something else"),
            "figure": lambda: replace(item, figures={"out.impedance": "600 ohm"}),
        }[kind]()
        return replace(show, items={**show.items, item.id: other})
    number = draw(st.integers(0, max(0, len(show.links) - 1)))
    links = list(show.links)
    link = links.pop(number)
    if kind == "recable":
        links.insert(number, replace(link, via=(Cable("cable-xlr", 33.0),)))
    elif kind == "move":
        links.append(link)
    return replace(show, links=tuple(links))


def outcome(show: Show, previous: Rig | None = None) -> Rig | str:
    """The rig, or what is wrong with the show."""
    try:
        return build_rig(show, BOOK, previous=previous)
    except LevelheadError as error:
        return "\n".join(str(each) for each in error.errors)


def assert_equal(one: Rig | str, other: Rig | str) -> None:
    if isinstance(one, str) or isinstance(other, str):
        assert one == other
        return
    for each in fields(Rig):
        assert getattr(one, each.name) == getattr(other, each.name), each.name
    for mine, theirs in zip(one.items.values(), other.items.values(), strict=True):
        assert mine.plan is theirs.plan


@settings(max_examples=150, deadline=None)
@given(st.data())
def test_a_rig_of_before_changes_nothing_but_the_time(data: st.DataObject) -> None:
    show, rig = SHOW, RIG
    for _ in range(3):
        show = data.draw(changed(show))
        anew = outcome(show)
        assert_equal(outcome(show, rig), anew)
        if isinstance(anew, Rig):
            rig = anew


def test_what_no_edit_touches_is_taken_as_it_is() -> None:
    gain = next(address for address, value in RIG.settings.items() if isinstance(value, float))
    show = replace(SHOW, settings={**SHOW.settings, gain: "unknown"})
    turned = build_rig(show, BOOK, previous=RIG)
    assert turned.controls is RIG.controls
    assert turned.ports is RIG.ports
    assert all(one is other for one, other in zip(turned.links, RIG.links, strict=True))


def test_a_link_that_moves_up_is_counted_anew() -> None:
    """The places on its cables bear its number."""
    shorter, _ = apply(SHOW, [Unplug(SHOW.links[0])])
    assert build_rig(shorter, BOOK, previous=RIG).links == build_rig(shorter, BOOK).links


def test_a_rig_of_another_book_is_of_no_use() -> None:
    other = BOOK.extended({})
    assert build_rig(SHOW, other, previous=RIG).items["desk"] is not RIG.items["desk"]


@pytest.mark.parametrize("links", [2, 3])
def test_two_plugs_in_one_socket_are_found_again(links: int) -> None:
    """Neither of them was wrong before the other came."""
    show = replace(SHOW, items={**SHOW.items, "spare": Item("spare", "mic-vocal-dynamic")})
    first = SHOW.links[0]
    taken = first.ends["b"]
    extra = tuple(Link({"a": "spare.out", "b": taken}) for _ in range(links - 1))
    doubled = replace(show, links=(*SHOW.links, *extra))
    assert outcome(doubled, RIG) == outcome(doubled)
    assert "already has a plug" in str(outcome(doubled, RIG))
