"""A layout to begin with: symmetrical, opposite, in the room, and only for what has no place."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

import levelhead.examples
from levelhead.gear.book import load_book
from levelhead.planning.first_places import first_place, first_places
from levelhead.rig.build import build_rig
from levelhead.rig.model import Rig
from levelhead.show.document import load_show
from levelhead.show.edits import Aim, Move, apply
from levelhead.show.model import Item, Show
from levelhead.show.rooms import Room

EXAMPLES = Path(levelhead.examples.__path__[0])


def bare(name: str, room: Room | None = None, keep: tuple[str, ...] = ()) -> Rig:
    """An example whose things have lost their places."""
    show = load_show(EXAMPLES / f"{name}.yaml").show
    items = {
        key: each if key in keep else replace(each, at=None, aim=None)
        for key, each in show.items.items()
    }
    return build_rig(replace(show, items=items, room=room), load_book())


def placed(rig: Rig) -> Show:
    return apply(rig.show, first_places(rig))[0]


def test_loudspeakers_stand_left_and_right_and_the_desk_opposite() -> None:
    show = placed(bare("conference"))
    left, right, desk = show.items["left"], show.items["right"], show.items["desk"]
    assert left.at is not None
    assert right.at == (-left.at[0], *left.at[1:])
    assert left.at[0] < 0
    assert left.at[1] == 0.0
    assert left.aim is not None
    assert left.aim[1] > 3
    assert desk.at is not None
    assert desk.at[1] > left.aim[1]
    assert all(each.at is not None for each in show.items.values())


def test_wedges_lie_before_voices_and_look_at_them() -> None:
    show = placed(bare("outdoor-stage"))
    wedge, vox = show.items["wedge-1"], show.items["vox"]
    assert wedge.at is not None and wedge.aim is not None and vox.at is not None  # noqa: PT018
    assert wedge.at[2] == 0.0
    assert wedge.at[1] > vox.at[1] > wedge.aim[1]
    assert wedge.at[0] == vox.at[0]
    sub = show.items["sub"]
    assert sub.at == (0.0, 0.5, 0.0)


def test_a_room_sets_the_sides_and_the_back() -> None:
    corners = ((-3.0, -3.0), (3.0, -3.0), (3.0, 10.0), (-3.0, 10.0))
    show = placed(bare("conference", Room(corners=corners)))
    for item in show.items.values():
        assert item.at is not None
        assert abs(item.at[0]) <= 3.0
        assert -3.0 <= item.at[1] <= 10.0
    assert show.items["left"].at == (-1.5, 0.0, 2.2)
    assert show.items["desk"].at is not None
    assert show.items["desk"].at[1] == 8.0


def test_what_has_a_place_stays_and_a_whole_show_wants_nothing() -> None:
    rig = bare("conference", keep=("left",))
    moved = {each.item for each in first_places(rig) if isinstance(each, (Move, Aim))}
    assert "left" not in moved
    whole = load_show(EXAMPLES / "conference.yaml").show
    assert first_places(build_rig(whole, load_book())) == []


@pytest.mark.parametrize("name", ["desk", "left"])
def test_one_thing_gets_its_own_place_only(name: str) -> None:
    edits = first_place(bare("conference"), name)
    assert {each.item for each in edits if isinstance(each, (Move, Aim))} == {name}


def test_a_choir_stands_in_rows_within_the_walls() -> None:
    """Twenty-eight voices in a hall of 12 m: rows of eight, and nobody stands in a wall."""
    corners = ((-6.0, -6.0), (6.0, -6.0), (6.0, 16.0), (-6.0, 16.0))
    items = {f"v{n}": Item(f"v{n}", "mic-vocal-dynamic") for n in range(28)}
    show = placed(build_rig(Show("Choir", items=items, room=Room(corners=corners)), load_book()))
    places = [each.at for each in show.items.values() if each.at is not None]
    assert len(set(places)) == 28
    assert all(abs(right) < 6.0 and into > -6.0 for right, into, _ in places)
    assert {into for _, into, _ in places} == {-1.0, -2.0, -3.0, -4.0}
