"""Sheets with pictures: rows agree with what was solved, ways that are asked for are drawn."""

from __future__ import annotations

from pathlib import Path

import pytest

from levelhead.chain.best_ways import called, ways_through
from levelhead.errors import LevelheadError
from levelhead.exchange.paperwork.work import Paperwork, figure_text
from levelhead.exchange.sheet.values import Sheet
from levelhead.exchange.sheets.pack import check_for, paper_pack
from levelhead.gear.book import load_book
from levelhead.paper.pdf import sheets_to_pictures
from levelhead.planning.check import Check
from levelhead.rig.naming import point_label
from levelhead.show.addresses import item_of
from levelhead.show.document import load_show

STAGE = Path(__file__).parents[3] / "src" / "levelhead" / "examples" / "outdoor-stage.yaml"


@pytest.fixture(scope="module")
def check() -> Check:
    document = load_show(STAGE)
    return check_for(("levels",), document.show, load_book(), document)


def sheet(check: Check, name: str, paths: tuple[str, ...] = ()) -> Sheet:
    return paper_pack(check, [name], paths=paths)[0]


def test_ways_stand_with_the_tightest_first(check: Check) -> None:
    rows = sheet(check, "levels").rows
    rooms = [float(row["room"].replace("−", "-")) for row in rows]
    assert rooms == sorted(rooms)
    solution = check.trial.solution
    points = {at for way in ways_through(solution, ()) for at in way}
    by_name = {
        f"{called(solution, item_of(at))}, {point_label(at.partition('.')[2])}": at for at in points
    }
    for row in rows:
        level = solution.levels(by_name[row["at"]])
        assert level.headroom is not None
        assert row["room"] == figure_text(level.headroom)


def test_the_six_tightest_ways_are_drawn_or_those_asked_for(check: Check) -> None:
    tightest = sheet(check, "levels")
    assert len(tightest.pictures) == 6
    assert "2 more are not" in (tightest.note or "")
    asked = sheet(check, "levels", ("desk.ch3",))
    assert [row["source"] for row in asked.rows] == ["Bass drum"]
    (picture,) = asked.pictures
    assert any(at.startswith("desk.ch3") for at in picture.way)
    with pytest.raises(LevelheadError, match="no point begins with"):
        sheet(check, "levels", ("nowhere",))


def test_the_list_of_the_flow_drawing_says_who_gives_to_whom(check: Check) -> None:
    rows = {row["item"]: row for row in sheet(check, "flow").rows}
    work = Paperwork(check)
    assert set(rows) == {work.called(item) for item in work.rig.items.values()}
    assert rows["Snare"]["to"] == "Desk, ch4, mic"
    assert "DI of the bass, in" in rows["Bass"]["to"]


def test_pictures_are_printed_before_the_rows(check: Check) -> None:
    """One page for the drawing of a small part, none for its list: that is for spreadsheets."""
    pages = sheets_to_pictures([sheet(check, "flow")], ppi=20)
    assert len(pages) == 2
    levels = sheet(check, "levels", ("desk.ch3",))
    assert len(sheets_to_pictures([levels], ppi=20)) == 1
