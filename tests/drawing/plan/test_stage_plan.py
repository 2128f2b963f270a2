"""The stage from above: in place, apart, turned, named, and nothing on anything."""

from __future__ import annotations

import re
from itertools import combinations
from pathlib import Path

import pytest

from levelhead.drawing.plan.stage_plan import APART, stage_plan
from levelhead.exchange.paperwork.work import Paperwork
from levelhead.exchange.sheets.pack import PLANS, check_for
from levelhead.gear.book import load_book
from levelhead.show.document import load_show, parse_show
from tests.drawing.test_flow import overlap

EXAMPLES = Path(__file__).parents[3] / "src" / "levelhead" / "examples"
PLACED = [
    EXAMPLES / f"{name}.yaml" for name in ("outdoor-stage", "church-with-band", "village-hall")
]
SYMBOL = re.compile(r'<g transform="translate\(([\d.]+) ([\d.]+)\)(?: rotate\(([-\d.]+)\))? scale')
TEXT = re.compile(r'<text x="([\d.]+)" y="([\d.]+)" class="(name|quiet)">([^<]*)</text>')
WIDTH_OF_LETTER = 0.56  # mean of IBM Plex Sans at these weights, measured in a browser
STAGE = """\
levelhead: 1
show: {name: Stage}
items:
  vox: {type: mic-vocal-dynamic, label: Vox, at: [-2, -1, 1.6]}
  box: {type: di-passive, label: Box, at: [2, -3, 0]}
  wedge: {type: wedge-powered, label: Wedge, at: [-2, 0, 0], aim: [-2, -2, 1.6], supply: left}
  desk: {type: mixer-compact, label: Desk, at: [0, 18, 1]}
supplies: {left: {outlet: A1, label: Stage left}}
links:
  - {from: vox.out, to: desk.ch1.mic, via: [cable-xlr 20 m]}
"""


def drawn(path: Path | None) -> tuple[str, Paperwork]:
    document = parse_show(STAGE, "stage") if path is None else load_show(path)
    work = Paperwork(check_for(("stage",), document.show, load_book(), document))
    assert PLANS["stage"].pictures is not None
    (picture,) = PLANS["stage"].pictures(work)
    return stage_plan(work.rig, picture.stage, width=1076, height=560), work


def areas(svg: str) -> list[tuple[float, float, float, float]]:
    found = []
    for x, y, class_, text in TEXT.findall(svg):
        size = 13.0 if class_ == "name" else 12.0
        left, base = float(x), float(y)
        right = left + len(text) * size * WIDTH_OF_LETTER
        found.append((left, base - 0.74 * size, right, base + 0.2 * size))
    return found


@pytest.mark.parametrize("path", PLACED, ids=lambda path: path.stem)
def test_no_name_lies_on_another_or_on_a_symbol(path: Path) -> None:
    svg, _ = drawn(path)
    names = areas(svg)
    half = APART / 2 - 4
    symbols = [
        (float(x) - half, float(y) - half, float(x) + half, float(y) + half)
        for x, y, _ in SYMBOL.findall(svg)
    ]
    assert names
    assert symbols
    assert not [pair for pair in combinations(names, 2) if overlap(*pair)]
    assert not [(name, each) for name in names for each in symbols if overlap(name, each)]
    middles = [complex((x1 + x2) / 2, (y1 + y2) / 2) for x1, y1, x2, y2 in symbols]
    assert min(abs(one - other) for one, other in combinations(middles, 2)) > APART - 4
    for left, top, right, bottom in names:
        assert 0 <= left <= right <= 1076
        assert 0 <= top <= bottom <= 560


def test_right_is_right_and_the_hall_is_at_the_top() -> None:
    """The places of a show, looked at from above: 4 m apart to the right, 2 m towards the hall."""
    svg, _ = drawn(None)
    (vox, box, wedge, *_) = [(float(x), float(y)) for x, y, _ in SYMBOL.findall(svg)]
    assert vox[0] < box[0]
    assert wedge[1] < vox[1] < box[1]
    assert wedge[0] == pytest.approx(vox[0], abs=APART)


def test_a_wedge_is_turned_to_the_one_who_hears_it() -> None:
    """Its front points from the edge of the stage to the back: half round."""
    svg, _ = drawn(None)
    turns = [turn for *_, turn in SYMBOL.findall(svg)]
    assert turns[2] == "180"


def test_what_is_far_away_is_in_the_table_alone() -> None:
    svg, work = drawn(None)
    assert ">Desk</text>" not in svg
    rows = {row["thing"]: row for row in PLANS["stage"].rows(work)}
    assert (rows["Desk"]["where"], rows["Desk"]["place"]) == ("Further away", "0, 18")
    assert (rows["Vox"]["where"], rows["Vox"]["lines"]) == ("On the stage", "to Desk, ch1, mic")
    assert rows["Wedge"]["mains"] == "Stage left"


def test_mains_drops_and_inputs_are_written() -> None:
    svg, _ = drawn(None)
    assert ">Mains: Stage</text>" in svg
    assert ">to Desk, ch1, mic</text>" in svg
    assert 'class="mains"' in svg


def test_a_show_without_places_says_so_and_draws_nothing() -> None:
    document = parse_show(re.sub(r", at: \[[^]]*\]", "", STAGE), "stage")
    work = Paperwork(check_for(("stage",), document.show, load_book(), document))
    plan = PLANS["stage"]
    assert plan.pictures is not None
    assert plan.pictures(work) == ()
    assert plan.note is not None
    assert plan.note(work).startswith("No places given")
    assert {row["where"] for row in plan.rows(work)} == {"Without a place"}
