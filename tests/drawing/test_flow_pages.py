"""The flow drawing on pages: all of it, legible, cut in no box, with names where leads are cut."""

from __future__ import annotations

import re
from itertools import combinations, pairwise

import pytest

from levelhead.drawing.flow.chart import chart_of
from levelhead.drawing.flow.layout import layout_of
from levelhead.drawing.flow.pages import SMALLEST_MM, FlowPage, flow_pages
from levelhead.gear.book import load_book
from levelhead.planning.trial import try_show
from levelhead.show.document import load_show
from tests.drawing.test_flow import RIGS, large, overlap, texts

A4_MM = (269.0, 137.0)
VIEW = re.compile(r'viewBox="([\d.]+) ([\d.]+) ([\d.]+) ([\d.]+)"')
CLIP = re.compile(
    r'<clipPath id="part"><rect x="([\d.]+)" y="([\d.]+)" width="([\d.]+)" height="([\d.]+)"'
)


def area(page: FlowPage, of: re.Pattern[str]) -> tuple[float, float, float, float]:
    x, y, width, height = map(float, of.search(page.svg).groups())  # type: ignore[union-attr]
    return x, y, x + width, y + height


def test_a_small_rig_fills_one_page_at_most() -> None:
    rig = try_show(load_show(RIGS[0].parent / "pub-duo.yaml").show, load_book()).solution.rig
    chart = chart_of(rig)
    (page,) = flow_pages(chart, layout_of(chart), room_mm=A4_MM, title="Pub")
    assert page.width_mm <= A4_MM[0] + 0.01
    assert page.height_mm <= A4_MM[1] + 0.01
    assert page.words == "Pub"


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_a_large_rig_comes_in_parts_that_hold_every_box_whole(seed: int) -> None:
    chart = large(seed)
    layout = layout_of(chart)
    pages = flow_pages(chart, layout, room_mm=A4_MM, title="Large")
    assert len(pages) > 1
    parts = [area(page, CLIP) for page in pages]
    for spot in layout.spots.values():
        left, top, right, bottom = spot.x, spot.y, spot.x + spot.size.width, spot.y
        bottom += spot.size.height
        holding = [
            part for part in parts if part[0] <= left and right <= part[2] and part[1] <= top
            and bottom <= part[3]
        ]  # fmt: skip
        tall = spot.size.height * SMALLEST_MM > A4_MM[1]
        assert holding or tall
    strips = sorted({(left, right) for left, _, right, _ in parts})
    assert all(one[1] == other[0] for one, other in pairwise(strips))


def test_small_type_is_six_points_or_more_and_pages_hold_it() -> None:
    chart = large()
    for page in flow_pages(chart, layout_of(chart), room_mm=A4_MM, title="Large"):
        left, top, right, bottom = area(page, VIEW)
        mm_per_unit = page.width_mm / (right - left)
        assert mm_per_unit * 15 / 25.4 * 72 >= 6.0  # points of the small type
        assert page.height_mm == pytest.approx((bottom - top) * mm_per_unit)
        assert page.width_mm <= A4_MM[0] + 0.01
        assert page.height_mm <= A4_MM[1] + 0.01


def test_where_a_lead_is_cut_its_other_end_is_named() -> None:
    chart = large()
    layout = layout_of(chart)
    pages = flow_pages(chart, layout, room_mm=A4_MM, title="Large")
    named = [
        name for page in pages for name in re.findall(r">((?:to|from) [^<]+)</text>", page.svg)
    ]
    assert any(name.startswith("to Item-") for name in named)
    assert any(name.startswith("from Item-") for name in named)
    for page in pages:
        outside = page.svg.partition("</g></svg>")[0].rpartition("</g>")[2]
        assert not [pair for pair in combinations(texts(outside), 2) if overlap(*pair)]


def test_paper_needs_no_variables_and_is_the_same_each_time() -> None:
    chart = large()
    one, other = (
        flow_pages(chart, layout_of(chart), room_mm=A4_MM, title="Large") for _ in range(2)
    )
    assert [each.svg for each in one] == [each.svg for each in other]
    assert not [page for page in one if "var(" in page.svg]


def test_rigs_of_all_kinds_come_out() -> None:
    for path in RIGS[:4]:
        rig = try_show(load_show(path).show, load_book()).solution.rig
        chart = chart_of(rig)
        assert flow_pages(chart, layout_of(chart), room_mm=A4_MM, title=path.stem)
