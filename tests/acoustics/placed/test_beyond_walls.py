"""Places against the walls: by hand in a room of 8 m by 12 m with its corner cut off."""

from __future__ import annotations

import pytest

from levelhead.acoustics.placed.beyond_walls import beyond_walls
from levelhead.show.document import parse_show
from levelhead.show.model import Show


def show_in(where: str = "indoors") -> Show:
    corners = "[[-4, -3], [4, -3], [4, 9], [0, 9], [-4, 5]]"
    text = f"levelhead: 1\nshow: {{name: t}}\nroom: {{where: {where}, corners: {corners}}}\n"
    return parse_show(text, "test.yaml").show


@pytest.mark.parametrize(
    ("at", "told"),
    [
        ((0.0, 0.0, 2.0), None),
        ((4.9, 0.0, 2.0), None),  # in a door or a niche
        ((-40.0, 0.5, 1.5), "36 m"),  # a digit too many
        ((-4.0, 9.0, 1.0), "2.83 m"),  # the cut corner: 4 m over the root of 2
        ((7.0, 13.0, 1.0), "5 m"),  # 3 m and 4 m from a corner
    ],
)
def test_how_far_beyond_the_walls(at: tuple[float, float, float], told: str | None) -> None:
    remarks = beyond_walls(show_in(), [("Left", at)])
    assert [each.what.split(";")[0] for each in remarks] == (
        [] if told is None else [f"beyond the walls: Left by {told}"]
    )


def test_outdoors_has_no_walls() -> None:
    assert beyond_walls(show_in("outdoors"), [("Left", (-40.0, 0.0, 2.0))]) == ()
