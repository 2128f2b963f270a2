"""The seats map: what it tells without colour, and that its colours can be read."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest

from levelhead.acoustics.heard.heard import Heard, heard_by
from levelhead.chain.solve import solve
from levelhead.drawing.seats.seat_map import ground_of, seat_map_svg
from levelhead.drawing.seats.steps import Quantity, Steps, steps_of, values_of
from levelhead.drawing.seats.style import STEPS
from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.show.document import parse_show
from levelhead.show.model import Show
from tests.cli.conftest import EXAMPLES
from tests.web.test_colours import contrast, luminance

ROOM = """
room: {corners: [[-4, -3], [4, -3], [4, 9], [-4, 9]], height: 3 m, reverberation: 0.7 s}
areas:
  tables: {label: "Tables & chairs", corners: [[-3, 2], [3, 2], [3, 8], [-3, 8]]}
  bar: {label: Bar, at: [3.5, 6, 1.6]}
"""
TEXTS = {"light": "#14181b", "dark": "#f2f1ec", "print": "#000000"}


@pytest.fixture(scope="module")
def pub() -> tuple[Heard, Show]:
    """The pub with a room, tables and a bar."""
    text = (EXAMPLES / "duo-in-a-pub.yaml").read_text(encoding="utf-8")
    show = parse_show(text + ROOM, "pub.yaml").show
    return heard_by(solve(build_rig(show, load_book()))), show


@pytest.mark.reference("WCAG 2.1, 1.4.6: 7 to 1 for text")
@pytest.mark.parametrize("scheme", list(STEPS))
def test_numbers_can_be_read_on_every_tone(scheme: str) -> None:
    """On light, on dark and on paper; and tones go one way in lightness, so grey print tells."""
    tones = STEPS[scheme]
    assert min(contrast(TEXTS[scheme], tone) for tone in tones) >= 7.0
    lights = [luminance(tone) for tone in tones]
    assert lights == sorted(lights, reverse=scheme != "dark")
    assert min(contrast(a, b) for a, b in pairwise(tones)) > 1.08


def test_every_seat_has_its_cell_and_every_place_its_disc(pub: tuple[Heard, Show]) -> None:
    heard, show = pub
    drawing = seat_map_svg(heard, show)
    tables, bar = heard.areas
    assert len(re.findall(r'<rect[^>]* class="s\d"><title>', drawing)) == len(
        values_of(tables, "level")
    )
    assert len(re.findall(r'<circle[^>]* class="s\d">', drawing)) == len(values_of(bar, "level"))


def test_the_map_is_seen_from_above_and_not_in_a_mirror(pub: tuple[Heard, Show]) -> None:
    """Into the hall is up, to the right of who looks there is right, loudspeakers look up."""
    heard, show = pub
    ground = ground_of(heard, show, left=0, top=0, width=400)
    assert ground.x(1.0) > ground.x(0.0)
    assert ground.y(5.0) < ground.y(0.0)
    drawing = seat_map_svg(heard, show)
    looks = re.findall(r'<path d="M([^"]*)z" class="box halo"', drawing)
    for d in looks[:2]:  # the wedge looks back to the stage
        point, *others = [float(each.split()[1]) for each in d.split(" L")]
        assert point < max(others)
    middles = re.findall(
        r'<rect[^>]* y="([\d.]+)"[^>]* height="([\d.]+)"[^>]* class="s\d"><title>', drawing
    )
    stage = float(re.search(r'd="M[\d.]+ ([\d.]+)[^"]*" class="stage"', drawing).group(1))  # type: ignore[union-attr]
    assert all(float(y) + float(high) < stage for y, high in middles)


def test_the_map_names_loudspeakers_areas_and_steps(pub: tuple[Heard, Show]) -> None:
    """Texts of users are escaped; means are those of the command, rounded."""
    heard, show = pub
    drawing = seat_map_svg(heard, show)
    for box in heard.boxes:
        assert box.name in drawing
    assert f"Tables &amp; chairs: {heard.areas[0].level_db:.0f} dB(A), from " in drawing
    assert "dB(A)</text>" in drawing


def test_a_number_is_in_the_step_that_the_legend_says() -> None:
    """The lower limit of a step belongs to it."""
    steps = Steps((84.0, 87.0))
    assert [steps.of(each) for each in (83.0, 84.0, 86.0, 87.0)] == [0, 1, 1, 2]


def test_no_more_steps_than_tones(pub: tuple[Heard, Show]) -> None:
    quantities: tuple[Quantity, ...] = ("level", "speech")
    for quantity in quantities:
        steps = steps_of(pub[0], quantity)
        assert len(steps.limits) < len(STEPS["light"])
        assert {steps.of(float(v)) for a in pub[0].areas for v in values_of(a, quantity)} <= set(
            range(6)
        )


def test_on_paper_there_is_no_variable_and_no_colour(pub: tuple[Heard, Show]) -> None:
    """Printing programs know neither; all that is left are greys."""
    drawing = seat_map_svg(*pub, on_paper=True)
    assert "var(" not in drawing
    for colour in re.findall(r"#([0-9a-f]{6})", drawing):
        assert colour[:2] == colour[2:4] == colour[4:]


def test_names_of_loudspeakers_side_by_side_stand_apart() -> None:
    """A wedge at the foot of a column is named under it."""
    text = (EXAMPLES / "church-with-band.yaml").read_text(encoding="utf-8")
    show = parse_show(text, "church.yaml").show
    drawing = seat_map_svg(heard_by(solve(build_rig(show, load_book()))), show, size=(480.0, 600.0))
    found = re.findall(
        r'<text x="([\d.]+)" y="([\d.]+)" class="words item halo"[^>]*>([^<]+)<', drawing
    )
    names = [(float(x), float(y), 4.0 * len(name)) for x, y, name in found]
    assert len(names) == 3
    for i, (x, y, half) in enumerate(names):
        for other_x, other_y, wide in names[:i]:
            assert abs(y - other_y) > 10 or abs(x - other_x) > half + wide
