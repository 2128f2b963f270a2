"""The flow drawing: nothing on anything, each lead from socket to socket, always the same."""

from __future__ import annotations

import random
import re
from collections import Counter
from collections.abc import Iterator
from functools import cache
from itertools import combinations, pairwise
from pathlib import Path

import pytest

from levelhead.drawing.flow.chart import View, chart_of
from levelhead.drawing.flow.columns import columns_of, returns_of
from levelhead.drawing.flow.layout import Layout, layout_of
from levelhead.drawing.flow.legend import legend_of
from levelhead.drawing.flow.model import Box, Chart, Lead, Row
from levelhead.drawing.flow.sheet import VERDICT_COLOURS, flow_sheet
from levelhead.gear.book import load_book
from levelhead.planning.trial import Trial, try_show
from levelhead.show.document import load_show

HERE = Path(__file__).parents[1]
RIGS = sorted((HERE / "rigs").glob("*.yaml"))
EXAMPLES = sorted((HERE.parent / "src" / "levelhead" / "examples").glob("*.yaml"))
WIDTH_OF_LETTER = 0.58  # mean of a sans serif at the weights used, measured in a browser
TEXT = re.compile(r'<text x="([\d.]+)" y="([\d.]+)"([^>]*)>([^<]*)</text>')


@cache
def tried(path: Path) -> Trial:
    return try_show(load_show(path).show, load_book())


def drawn(path: Path, view: View = "flow", fold: tuple[str, ...] = ()) -> tuple[Chart, Layout, str]:
    trial = tried(path)
    chart = chart_of(trial.solution.rig, trial.judgement.findings, view, fold)
    layout = layout_of(chart)
    return chart, layout, flow_sheet(chart, layout, title=path.stem)


def large(seed: int = 1, boxes: int = 60, leads: int = 150) -> Chart:
    """A rig of this size from chance: mostly forward, some returns."""
    dice = random.Random(seed)  # noqa: S311 - a rig from chance
    names = [f"item-{number}" for number in range(boxes)]
    left: dict[str, int] = dict.fromkeys(names, 0)
    right: dict[str, int] = dict.fromkeys(names, 0)
    ways = []
    for number in range(leads):
        one, other = sorted(dice.sample(range(boxes), 2))
        if number % 37 == 36:
            one, other = other, one
        start, end = names[one], names[other]
        ways.append(Lead(f"lead-{number}", (start, right[start]), (end, left[end])))
        right[start] += 1
        left[end] += 1
    return Chart(
        {
            name: Box(
                name,
                name.title(),
                ("kind of gear",),
                rows("in", left[name]),
                rows("out", right[name]),
            )
            for name in names
        },
        tuple(ways),
    )


def rows(word: str, count: int) -> tuple[Row, ...]:
    return tuple(Row(f"{word}{number}", f"{word} {number + 1}") for number in range(count))


Area = tuple[float, float, float, float]


def texts(svg: str) -> Iterator[Area]:
    for x, y, rest, words in TEXT.findall(svg):
        size = 17.0 if "title" in rest else 15.0
        wide = len(words) * WIDTH_OF_LETTER * size
        left = float(x) - (wide if 'text-anchor="end"' in rest else 0.0)
        yield (left, float(y) - 0.75 * size, left + wide, float(y) + 0.2 * size)


def overlap(one: Area, other: Area, by: float = 0.5) -> bool:
    return (
        one[0] + by < other[2]
        and other[0] + by < one[2]
        and one[1] + by < other[3]
        and other[1] + by < one[3]
    )


def areas(layout: Layout) -> list[Area]:
    return [
        (spot.x, spot.y, spot.x + spot.size.width, spot.y + spot.size.height)
        for spot in layout.spots.values()
    ]


def check_geometry(chart: Chart, layout: Layout, svg: str) -> None:
    boxes = areas(layout)
    assert not [pair for pair in combinations(boxes, 2) if overlap(*pair)]
    assert not [pair for pair in combinations(texts(svg), 2) if overlap(*pair)]
    for lead in chart.leads:
        way = layout.ways[lead.id]
        for (x1, y1), (x2, y2) in pairwise(way):
            assert x1 == pytest.approx(x2) or y1 == pytest.approx(y2, abs=1.01)
            segment = (min(x1, x2), min(y1, y2), max(x1, x2), max(y1, y2))
            assert not [box for box in boxes if overlap(segment, box, by=0.5)]
    check_lines(chart, layout)
    height = layout.height + legend_of(chart, layout).height
    for area in (*boxes, *texts(svg)):
        assert min(area) >= 0
        assert area[2] <= layout.width
        assert area[3] <= height


@pytest.mark.parametrize("path", [*RIGS, *EXAMPLES], ids=lambda path: path.stem)
@pytest.mark.parametrize("view", ["flow", "wiring"])
def test_nothing_lies_on_anything(path: Path, view: View) -> None:
    check_geometry(*drawn(path, view))


def test_a_large_rig_is_legible_too() -> None:
    chart = large()
    layout = layout_of(chart)
    check_geometry(chart, layout, flow_sheet(chart, layout, title="large"))


def test_the_same_rig_gives_the_same_bytes() -> None:
    one, other = (drawn(RIGS[3])[2] for _ in range(2))
    assert one == other


def test_leads_go_from_left_to_right_but_for_the_returns() -> None:
    chart = large()
    returns = returns_of(chart)
    column = columns_of(chart, returns)
    assert 0 < len(returns) <= 4  # so many were put in
    for lead in chart.leads:
        assert (column[lead.from_box] < column[lead.to_box]) == (lead.id not in returns)


def test_one_more_lead_moves_no_other_box_past_its_neighbour() -> None:
    chart = large()
    before = layout_of(chart)
    spare = Lead("one-more", ("item-3", 0), ("item-40", 0))
    after = layout_of(Chart(chart.boxes, (*chart.leads, spare)), before)
    column = {name: spot.x for name, spot in before.spots.items()}
    beside: dict[float, list[str]] = {}
    for name in before.order:
        if name in column:
            beside.setdefault(column[name], []).append(name)
    for names in beside.values():
        tops = [after.spots[name].y for name in names]
        assert tops == sorted(tops)


def test_leads_of_two_sockets_share_no_line() -> None:
    chart = large()
    check_lines(chart, layout_of(chart))


def test_leads_that_cross_over_between_two_boxes_share_no_line() -> None:
    """Each leaves where the other arrives, so that neither could turn first."""
    boxes = {
        "sub": Box("sub", "Subwoofer", right=rows("out", 3)),
        "amp": Box("amp", "Amplifier", left=rows("in", 3)),
    }
    for goals in ((1, 0, 2), (1, 2, 0), (2, 1, 0)):
        leads = tuple(Lead(str(n), ("sub", n), ("amp", goal)) for n, goal in enumerate(goals))
        chart = Chart(boxes, leads)
        check_lines(chart, layout_of(chart))


def check_lines(chart: Chart, layout: Layout) -> None:
    for one, other in combinations(chart.leads, 2):
        if one.start != other.start and one.end != other.end:
            assert not list(shared(layout.ways[one.id], layout.ways[other.id]))


def shared(
    one: tuple[tuple[float, float], ...], other: tuple[tuple[float, float], ...]
) -> Iterator[float]:
    """Lengths on which two ways lie on one another."""
    for (x1, y1), (x2, y2) in pairwise(one):
        for (x3, y3), (x4, y4) in pairwise(other):
            along = 0.0
            if x1 == x2 == x3 == x4:
                along = min(max(y1, y2), max(y3, y4)) - max(min(y1, y2), min(y3, y4))
            elif max(abs(y1 - y2), abs(y3 - y4)) < 0.01 and abs(y1 - y3) < 1.5:
                along = min(max(x1, x2), max(x3, x4)) - max(min(x1, x2), min(x3, x4))
            if along > 1:
                yield along


def test_what_feeds_one_item_alone_folds_into_one_box() -> None:
    path = HERE.parent / "src" / "levelhead" / "examples" / "outdoor-stage.yaml"
    chart, layout, svg = drawn(path, fold=("desk",))
    whole, *_ = drawn(path)
    folded = chart.boxes["before desk"]
    assert folded.title == "9 into Desk"
    assert "Snare" in folded.notes
    trunk = next(lead for lead in chart.leads if lead.from_box == "before desk")
    assert trunk.count == 9
    assert sum(lead.count for lead in whole.leads) == len(load_show(path).show.links)
    check_geometry(chart, layout, svg)


def test_findings_stand_in_place_by_shape_and_word() -> None:
    chart, _, svg = drawn(HERE / "rigs" / "box-of-mistakes.yaml")
    assert chart.boxes["cans"].mark == "harm"
    assert any(row.mark == "harm" for row in chart.boxes["cans"].left)
    assert ">Harm</text>" in svg


def test_the_wiring_view_has_every_socket() -> None:
    path = HERE / "rigs" / "pub-duo.yaml"
    rig = try_show(load_show(path).show, load_book()).solution.rig
    chart, _, _ = drawn(path, "wiring")
    shown = {row.address for box in chart.boxes.values() for row in (*box.left, *box.right)}
    assert shown == {address for address, port in rig.ports.items() if port.plan.role != "inside"}


def test_verdicts_have_the_colours_of_the_visual_language() -> None:
    """One table for page, paper and drawings: docs/visual-language.md."""
    table = (HERE.parent / "docs" / "visual-language.md").read_text(encoding="utf-8")
    for word, (light, dark) in VERDICT_COLOURS.items():
        assert re.search(rf"^\| {word} \| `{light}` [^|]*\| `{dark}` ", table, re.MULTILINE)


def test_the_wiring_view_names_each_lead_at_both_ends_as_its_labels_do() -> None:
    path = HERE / "rigs" / "pub-duo.yaml"
    chart, _, svg = drawn(path, "wiring")
    links = load_show(path).show.links
    assert {lead.tag for lead in chart.leads} == {str(n) for n in range(1, len(links) + 1)}
    shown = Counter(words for _, _, more, words in TEXT.findall(svg) if "quiet" in more)
    assert all(shown[lead.tag] >= 2 for lead in chart.leads)


def test_strips_without_a_plug_are_one_row_on_paper() -> None:
    path = HERE.parent / "src" / "levelhead" / "examples" / "outdoor-stage.yaml"
    rig = tried(path).solution.rig
    brief = chart_of(rig, view="wiring", is_brief=True)
    rows = {row.text: row for row in brief.boxes["desk"].left}
    assert rows["ch10–32 free"].is_free
    assert rows["ch9 line"].is_free
    assert not any(text.startswith("ch10 ") for text in rows)
    layout = layout_of(brief)
    check_geometry(brief, layout, flow_sheet(brief, layout, title="brief"))


def test_the_legend_tells_the_lines_that_are_there() -> None:
    path = HERE.parent / "src" / "levelhead" / "examples" / "church-with-band.yaml"
    _, _, svg = drawn(path)
    words = [each for *_, each in TEXT.findall(svg)]
    assert "back to before" in words  # the reverb
    assert "loudspeaker" not in words  # all of them are powered
    lone = Chart({"a": Box("a", "A")}, ())
    assert legend_of(lone, layout_of(lone)).parts == ()
