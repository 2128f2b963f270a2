"""The room and the areas of a show: read, refused, written back."""

from __future__ import annotations

from dataclasses import replace

import pytest

from levelhead.errors import EditError, ShowError
from levelhead.show.document import parse_show
from levelhead.show.edits import SetArea, SetRoom, apply
from levelhead.show.fingerprint import fingerprint
from levelhead.show.model import Area, Room, Show
from levelhead.show.rooms import Surface
from levelhead.show.wording import sentence

HEAD = "levelhead: 1\nshow: {name: Hall}\n"
HALL = (
    HEAD
    + """room:
  corners: [[-6, -4], [6, -4], [6, 16], [-6, 16]]   # measured by tape
  height: 5 m
  floor: -0.8
  reverberation: {125: 1.9 s, 1000: 1.2 s}
  surfaces: {floor: {area: 240 m2, absorption: 0.05}}
  noise: 38 dB(A)
areas:
  stalls: {corners: [[-5, 3], [5, 3], [5, 15], [-5, 15]], ears: 1.2 m, back-ears: 2 m}
  desk: {at: [0, 14, 1.2], stay: 5 h}
"""
)


def test_a_room_is_read() -> None:
    """Quantities stay as typed."""
    show = parse_show(HALL, "hall.yaml").show
    assert show.room is not None
    assert show.room.corners[2] == (6.0, 16.0)
    assert show.room.reverberation == {"125": "1.9 s", "1000": "1.2 s"}
    assert show.room.surfaces["floor"].absorption == "0.05"
    assert show.areas["desk"] == Area("desk", at=(0.0, 14.0, 1.2), stay="5 h")


def test_an_edit_touches_its_line_only() -> None:
    """Comments stay, undo gives the same bytes."""
    document = parse_show(HALL, "hall.yaml")
    assert document.show.room is not None
    room = Room(**{**_fields(document.show.room), "height": "6 m"})
    after, back = apply(document.show, [SetRoom(room)])
    assert document.with_show(after).text() == HALL.replace("height: 5 m", "height: 6 m")
    assert document.with_show(apply(after, back)[0]).text() == HALL


@pytest.mark.parametrize(
    "corners",
    [
        ((-6, -4), (6, -4), (7, 16), (-6, 16)),
        ((-6, -4), (6, -4), (6, 16)),
        ((-6, -4), (6, -4), (6, 8), (9, 8), (9, 16), (-6, 16)),
        ((0, 0), (1, 0), (1, 1)),
    ],
)
def test_corners_are_moved_added_and_taken_away_in_the_text(
    corners: tuple[tuple[float, float], ...],
) -> None:
    """What is written is read again as it was meant, the comment stays, undo gives the same."""
    document = parse_show(HALL, "hall.yaml")
    assert document.show.room is not None
    room = replace(document.show.room, corners=corners)
    area = replace(document.show.areas["stalls"], corners=corners)
    after, back = apply(document.show, [SetRoom(room), SetArea("stalls", area)])
    text = document.with_show(after).text()
    assert parse_show(text, "hall.yaml").show == after
    assert "# measured by tape" in text
    assert parse_show(text, "hall.yaml").with_show(apply(after, back)[0]).show == document.show


def _fields(room: Room) -> dict[str, object]:
    return {name: getattr(room, name) for name in Room.__dataclass_fields__}


@pytest.mark.parametrize(
    ("typed", "message"),
    [
        ("room: {height: 5}", r"hall.yaml:3:16, room.height: .*unit"),
        ("room: {volume: 1200 m2}", r"room.volume: .*expected"),
        ("room: {volume: 1 m3}", "no volume that a place has; expected 5 to 1e"),
        ("areas: {a: {at: [0, 1, 1], level: 85 dB}}", "no level for listeners; expected 30 to 130"),
        ("room: {reverberation: 90 s}", "no reverberation that a place has; expected 0.05 to 30 s"),
        ("room: {reverberation: {130: 1 s}}", "'130' is no octave; expected one of 63, 125"),
        ("room: {noise: 38 dB}", "no noise of a place; expected 0 to 120"),
        ("room: {humidity: 130 %}", "no humidity that a place has"),
        ("room: {where: outside}", "none of the words known here; expected .*indoors or outdoors"),
        ("room: {corners: [[1, 2, 3]]}", "expected 2: to the right, into the hall"),
        ("room: {corners: [[1]]}", "expected two: to the right, into the hall"),
        ("room: {hight: 5 m}", "Did you mean 'height'"),
        ("areas: {stalls: {}}", "neither corners nor a place; expected one of both"),
        (
            "areas: {stalls: {at: [0, 1, 1], corners: [[0, 0], [1, 0], [1, 1]]}}",
            "corners and a place; expected one of both",
        ),
        ("areas: {stalls: {at: [0, 1, 1], stay: 3}}", "areas.stalls.stay: .*unit"),
    ],
)
def test_what_is_wrong_is_told_at_its_place(typed: str, message: str) -> None:
    with pytest.raises(ShowError, match=message):
        parse_show(f"{HEAD}{typed}\n", "hall.yaml")


def test_an_edit_is_checked_like_a_file() -> None:
    show = Show("Hall")
    with pytest.raises(EditError, match="no volume that a place has"):
        apply(show, [SetRoom(Room(volume="2 m3"))])
    with pytest.raises(EditError, match="neither corners nor a place"):
        apply(show, [SetArea("stalls", Area("stalls"))])
    with pytest.raises(EditError, match="My floor"):
        apply(show, [SetRoom(Room(surfaces={"My floor": Surface("9 m2", "0.1")}))])
    with pytest.raises(EditError, match="no coordinate"):
        apply(show, [SetRoom(Room(corners=((0.0, 1e9),)))])


def test_nothing_known_of_a_room_is_no_room() -> None:
    """So that an empty section changes nothing."""
    assert parse_show(HEAD + "room:\nareas:\n", "hall.yaml").show == Show("Hall")
    assert apply(Show("Hall"), [SetRoom(Room())])[0] == Show("Hall")


def test_fingerprint_tells_rooms_apart_but_not_their_notes() -> None:
    bare, hall = Show("Hall"), Show("Hall", room=Room(height="5 m"))
    noted = Show("Hall", room=Room(height="5 m", note="Curtains."))
    assert fingerprint(bare) != fingerprint(hall) == fingerprint(noted)


def test_edits_in_words() -> None:
    """As the crew says it."""
    show = parse_show(HALL, "hall.yaml").show
    room = SetRoom(Room(volume="900 m3", reverberation="1.2 s"))
    assert sentence(room, show) == "Note the room: 900 m3, 1.2 s"
    assert sentence(SetRoom(None), show) == "Leave the room open"
    area = SetArea("desk", Area("desk", at=(0.0, 12.0, 1.2)))
    assert sentence(area, show).startswith("Note the listening area desk: ")
    assert sentence(SetArea("desk", None), show) == "Take the listening area desk away"
