"""The level diagram: to scale, complete, legible, the same bytes each time, and proper SVG."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from itertools import combinations, pairwise
from pathlib import Path
from typing import NamedTuple

import pytest

from levelhead.acoustics.heard.seat_points import seat_points
from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.drawing.diagram_style import DARK, LIGHT
from levelhead.drawing.levels.diagram import CLASS, WIDTH, level_diagram_of
from levelhead.drawing.levels.panels import Panel, panels_of
from levelhead.drawing.svg import WIDEST_LETTER
from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.show.document import parse_show
from levelhead.show.shipped import shipped_example

ROOT = Path(__file__).parents[3]
SHOWS = sorted((ROOT / "src" / "levelhead" / "examples").glob("*.yaml"))
DUO, HALL = (SHOWS[0].with_name(f"{name}.yaml") for name in ("duo-in-a-pub", "village-hall"))

TOO_LOUD = """\
levelhead: 1
show: {name: "Much <too> loud & proud"}
items:
  vox: {type: mic-vocal-dynamic, label: "A microphone with a <label> that goes on and on and on"}
  desk: {type: mixer-compact}
  box: {type: loudspeaker-powered-12}
sources: {ana: {type: voice-singer, at: vox, distance: 2 cm}}
links:
  - {from: vox.out, to: desk.ch1.mic}
  - {from: desk.main-left.out, to: box.in}
settings: {desk: {ch1: {gain: 55 dB, fader: 6 dB}}}
"""


def solved(text: str) -> Solution:
    return solve(build_rig(parse_show(text, "show.yaml").show, load_book()))


@pytest.fixture(scope="module", params=[*SHOWS, None], ids=lambda p: p.stem if p else "too-loud")
def solution(request: pytest.FixtureRequest) -> Solution:
    """Each show that comes with the program, and one that clips and has long names."""
    return solved(request.param.read_text(encoding="utf-8") if request.param else TOO_LOUD)


@pytest.fixture(scope="module")
def too_loud() -> Solution:
    return solved(TOO_LOUD)


def drawn(solution: Solution, *through: str) -> ET.Element:
    return ET.fromstring(level_diagram_of(solution, through))  # noqa: S314  # our own drawing


def of_class(picture: ET.Element, name: str) -> list[ET.Element]:
    return [node for node in picture.iter() if name in node.get("class", "").split()]


def texts(picture: ET.Element) -> list[ET.Element]:
    return [node for node in picture.iter() if node.tag.endswith("}text")]


class Box(NamedTuple):
    """Where a text stands: a generous guess at its width, as the drawing itself makes it."""

    left: float
    top: float
    right: float
    bottom: float
    text: str

    def meets(self, other: Box) -> bool:
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )


def box_of(node: ET.Element) -> Box:
    size, x, y = (float(node.get(key, 0)) for key in ("font-size", "x", "y"))
    text = "".join(node.itertext())
    width = len(text) * size * WIDEST_LETTER
    left = x - {"start": 0.0, "middle": width / 2, "end": width}[node.get("text-anchor", "start")]
    return Box(left, y - 0.78 * size, left + width, y + 0.22 * size, text)


def steps_of(node: ET.Element) -> list[tuple[float, float]]:
    """Corners of a path of ours."""
    steps = node.get("d", "").removeprefix("M").split(" L")
    return [(float(x), float(y)) for x, y in (step.split() for step in steps)]


# ---------------------------------------------------------------- what can be read


def test_no_two_texts_overlap(solution: Solution) -> None:
    boxes = [box_of(node) for node in texts(drawn(solution))]
    assert len(boxes) > 20
    assert [(a.text, b.text) for a, b in combinations(boxes, 2) if a.meets(b)] == []


def test_nothing_lies_outside_the_sheet(solution: Solution) -> None:
    picture = drawn(solution)
    height = float(picture.get("height", 0))
    for box in map(box_of, texts(picture)):
        assert box.left >= 0, box.text
        assert box.right <= WIDTH, box.text
        assert box.top >= 0, box.text
        assert box.bottom <= height, box.text
    for node in picture.iter():
        if node.tag.endswith("}path") and node.get("class") != "hatch":
            assert all(0 <= x <= WIDTH and 0 <= y <= height for x, y in steps_of(node))


def test_no_text_lies_on_a_lane(solution: Solution) -> None:
    """Signs and hatching keep to their lanes, texts to the space beside and between them."""
    picture = drawn(solution)
    lanes = [steps_of(node) for node in of_class(picture, "lane")]
    boxes = [Box(start[0], start[1] - 9, stop[0], start[1] + 9, "lane") for start, stop in lanes]
    assert len(boxes) > 5
    for text in map(box_of, texts(picture)):
        assert not any(text.meets(lane) for lane in boxes), text.text


def test_type_is_large_enough_on_screen(solution: Solution) -> None:
    """15 px and up: docs/visual-language.md."""
    assert min(float(node.get("font-size", 0)) for node in texts(drawn(solution))) >= 15


# ---------------------------------------------------------------- what it says


def test_every_figure_is_that_of_the_solution(solution: Solution) -> None:
    """Row by row: floor, nominal, peak, ceiling, headroom, over noise, to a tenth."""
    figures = [(node.text or "").replace("−", "-") for node in of_class(drawn(solution), "figure")]
    expected: list[float | None] = []
    for panel in panels_of(solution):
        of_way = [solution.levels(point.at) for point in panel.points]
        for one in (*of_way, *panel.seats):
            expected += [one.floor, one.nominal, one.peak, one.ceiling]
            expected += [one.headroom, one.signal_over_noise]
    read = [None if text == "–" else float(text) for text in figures]
    assert len(read) == len(expected)
    for shown, computed in zip(read, expected, strict=True):
        assert (shown is None) == (computed is None)
        assert shown is None or shown == pytest.approx(computed, abs=0.051)


def test_points_are_drawn_or_named_as_left_out(solution: Solution) -> None:
    for panel in panels_of(solution):
        way = [*[point.at for point in panel.points], *panel.left_out]
        assert any(sorted(way) == sorted(path) for path in solution.paths)
        for at in panel.left_out:
            left_out = solution.levels(at)
            assert any(
                point.unit == left_out.unit
                and point.nominal == pytest.approx(left_out.nominal, abs=1.0)
                for point in panel.drawn
            )


def test_each_source_has_one_panel(solution: Solution) -> None:
    starts = {path[0].partition(".")[0] for path in solution.paths}
    panels = panels_of(solution)
    assert sorted(panel.points[0].at.partition(".")[0] for panel in panels) == sorted(starts)


def test_the_least_headroom_and_signal_over_noise_are_framed(solution: Solution) -> None:
    frames = of_class(drawn(solution), "least")
    panels = panels_of(solution)
    assert len(frames) == sum((p.tightest is not None) + (p.noisiest is not None) for p in panels)
    for panel in panels:
        rooms = [solution.levels(point.at).headroom for point in panel.points]
        least = min(room for room in rooms if room is not None)
        assert panel.tightest is not None
        assert panel.tightest.headroom == least


def test_a_source_that_nobody_hears_is_named() -> None:
    hall = solved(HALL.read_text(encoding="utf-8"))
    assert "Ines: no signal gets through" in level_diagram_of(hall)
    assert "Ines" not in level_diagram_of(hall, ["ruth"])


def test_what_clips_is_told_in_word_shape_and_colour(too_loud: Solution) -> None:
    picture = drawn(too_loud)
    panel = panels_of(too_loud)[0]
    assert "Clips by" in level_diagram_of(too_loud)
    over = [point for point in panel.drawn if (point.headroom or 0) < -0.05]
    assert len(of_class(picture, "lost")) == len(over) > 0
    assert len([node for node in of_class(picture, "over") if node.text != ""]) == len(over)


# ---------------------------------------------------------------- how it is drawn


def test_decibels_have_one_length_and_a_unit_one_scale(solution: Solution) -> None:
    """Place of each nominal level against its figure: one slope for all, one line a unit."""
    picture = drawn(solution)
    heads = len(panels_of(solution))
    places = [float(node.get("cx", 0)) for node in of_class(picture, "nominal")]
    points = [point for panel in panels_of(solution) for point in panel.drawn]
    assert len(places) == len(points) + heads
    by_unit: dict[str, list[tuple[float, float]]] = {}
    in_lanes = [x for x in places if x < 640]
    for x, point in zip(in_lanes, points, strict=True):
        by_unit.setdefault(point.unit, []).append((point.nominal or 0.0, x))
    slopes = []
    for pairs in by_unit.values():
        (low, low_x), (high, high_x) = min(pairs), max(pairs)
        if high - low > 1:
            slopes.append((high_x - low_x) / (high - low))
        for level, x in pairs:
            assert not slopes or x == pytest.approx(low_x + slopes[-1] * (level - low), abs=0.05)
    assert slopes == pytest.approx([slopes[0]] * len(slopes), rel=1e-3)


def test_each_change_of_unit_is_a_marked_step(solution: Solution) -> None:
    """A broken rule, the level before and behind, and the new unit's own numbers."""
    picture = drawn(solution)
    changes = [
        (before, behind)
        for panel in panels_of(solution)
        for before, behind in pairwise(panel.drawn)
        if before.unit != behind.unit
    ]
    said = [node.text or "" for node in texts(picture)]
    assert len(of_class(picture, "step")) == len(changes)
    for before, behind in changes:
        assert f"new scale: {behind.unit}" in said
        assert any(f"{before.unit} become" in text and text.endswith(behind.unit) for text in said)


def test_no_thread_crosses_a_change_of_unit(solution: Solution) -> None:
    picture = drawn(solution)
    rules = [steps_of(node)[0][1] for node in of_class(picture, "step")]
    for node in of_class(picture, "thread"):
        (_, top), (_, bottom) = steps_of(node)
        assert not any(top < y < bottom for y in rules)


def test_the_same_show_gives_the_same_bytes() -> None:
    text = DUO.read_text(encoding="utf-8")
    assert level_diagram_of(solved(text)) == level_diagram_of(solved(text))


def test_the_drawing_stands_alone(solution: Solution) -> None:
    """Style within, nothing fetched, no element of it styled outside its own class."""
    text = level_diagram_of(solution)
    assert text.startswith('<svg xmlns="http://www.w3.org/2000/svg"') or "xmlns=" in text[:200]
    assert not re.search(r"(?:href|src|url)\s*=|@import", text)
    style = re.search(r"<style>(.*?)</style>", text, re.DOTALL)
    assert style is not None
    selectors = re.findall(r"([^{}]+)\{", style[1])
    assert all(f".{CLASS}" in each or each.strip().startswith("@media") for each in selectors)


def test_labels_of_people_stay_text(too_loud: Solution) -> None:
    text = level_diagram_of(too_loud)
    assert "Much &lt;too&gt; loud &amp; proud" in text
    assert "<too>" not in text


def test_the_colours_are_those_of_the_page() -> None:
    css = (ROOT / "src" / "levelhead" / "web" / "static" / "page.css").read_text(encoding="utf-8")
    blocks = re.findall(r":root \{(.*?)\}", css, flags=re.DOTALL)
    for palette, block in zip((LIGHT, DARK), blocks, strict=False):
        page = dict(re.findall(r"--([a-z]+): (#[0-9a-f]{6});", block))
        assert palette == {name: page[name] for name in palette}


def test_shape_alone_tells_the_four_levels_apart(solution: Solution) -> None:
    """Without colour: a hatched edge, a disc, an arrowhead, a wall."""
    picture = drawn(solution)
    assert {node.tag.rpartition("}")[2] for node in of_class(picture, "nominal")} == {"circle"}
    assert {len(steps_of(node)) for node in of_class(picture, "peak")} == {4}
    assert {len(steps_of(node)) for node in of_class(picture, "ceiling")} == {2}
    assert of_class(picture, "hatch")


def test_a_chosen_way_is_drawn_alone() -> None:
    duo = solved(DUO.read_text(encoding="utf-8"))
    panels = panels_of(duo, ["mia", "top-right"])
    assert [panel.title for panel in panels] == ["Mia (mia) to Right loudspeaker (top-right)"]
    assert panels[0].others == 0


def test_silence_is_drawn_as_a_sentence() -> None:
    silent = solved('levelhead: 1\nshow: {name: "Empty"}\n')
    assert "No way carries a signal here." in level_diagram_of(silent)
    assert panels_of(silent) == ()


def test_a_panel_of_one_silent_point_has_nothing_tightest() -> None:
    assert Panel("nothing", (), {}).tightest is None
    assert Panel("nothing", (), {}).noisiest is None


def test_a_way_into_the_hall_ends_at_its_seats() -> None:
    """The last lanes are the areas, with what this source brings there: as ``levels`` tells it."""
    solution = solve(build_rig(shipped_example("school-play").document.show, load_book()))
    (keys,) = [each for each in panels_of(solution) if each.points[0].at.startswith("keys")]
    told = {each.at: each for each in seat_points(solution, {"keys"})}
    assert [each.at for each in keys.seats] == ["areas.Parents", "areas.At the desk"]
    first = told["areas.parents"]
    assert keys.seats[0].nominal == pytest.approx(first.nominal, abs=0.1)
    assert keys.seats[0].unit == "dB(A)"
