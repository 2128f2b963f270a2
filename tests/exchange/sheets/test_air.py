"""Sheets of the air: what stands on them is what the commands say."""

from __future__ import annotations

from functools import cache

import pytest

from levelhead.exchange.paperwork.work import Paperwork
from levelhead.exchange.sheet.plan import SheetPlan, filled
from levelhead.exchange.sheet.values import Sheet
from levelhead.exchange.sheets.air import DELAYS, DOSES, FEEDBACK, SEATS_MAP
from levelhead.exchange.sheets.pack import USUAL
from levelhead.gear.book import load_book
from levelhead.paper.pdf import sheets_to_pdf
from levelhead.planning.check import Check
from levelhead.planning.trial import try_show
from levelhead.show.document import parse_show
from levelhead.show.shipped import shipped_example

DOWN_THE_HALL = """
  far: {type: loudspeaker-powered-12, label: Far box, at: [0, 9, 2.5], aim: [0, 15, 0.4]}
"""


@cache
def work(extra: str = "") -> Paperwork:
    """The school play, if need be with a loudspeaker down the hall."""
    text = shipped_example("school-play").document.text()
    if extra:
        text = text.replace("\nsources:", f"{DOWN_THE_HALL}\nsources:", 1)
        wire = "  - {from: left.link, to: far.in, via: [cable-xlr 10 m]}\n\nsettings:"
        text = text.replace("\nsettings:", wire, 1)
    trial = try_show(parse_show(text, "play.yaml").show, load_book())
    return Paperwork(Check(trial.judgement.verdict, trial.judgement.findings, (), trial))


def sheet(plan: SheetPlan, extra: str = "") -> Sheet:
    return filled(plan, work(extra))


def figure(text: str) -> float:
    return float(text.replace("−", "-"))


def test_they_are_printed_when_they_are_named() -> None:
    assert not {SEATS_MAP.name, FEEDBACK.name, DELAYS.name, DOSES.name} & set(USUAL)


def test_every_area_has_its_row_and_the_map_is_drawn() -> None:
    told = sheet(SEATS_MAP)
    heard = work().heard
    assert [row["area"] for row in told.rows] == [each.area.name for each in heard.areas]
    for row, each in zip(told.rows, heard.areas, strict=True):
        assert figure(row["level"]) == pytest.approx(each.level_db, abs=0.051)
    assert told.rows[0]["wanted"] == "74"
    assert [each.kind for each in told.pictures] == ["seats"]
    assert len(sheets_to_pdf([told])) > len(sheets_to_pdf([sheet(FEEDBACK)]))


def test_margins_are_those_of_the_loop() -> None:
    rows = {row["what"]: row for row in sheet(FEEDBACK).rows}
    margin = work().ringing.margin
    assert margin is not None
    assert figure(rows["even chance"]["db"]) == pytest.approx(margin.median_db, abs=0.051)
    assert figure(rows["nineteen of twenty"]["db"]) == pytest.approx(margin.sure_db, abs=0.051)
    parts = dict.fromkeys(row["part"] for row in rows.values())
    assert list(parts)[:3] == ["Margins", "Rings first", "What buys most"]


def test_a_loudspeaker_down_the_hall_is_to_be_delayed() -> None:
    assert not sheet(DELAYS).rows
    (row,) = sheet(DELAYS, "far").rows
    assert row["on"] == "Far box"
    # some 12 m from the front, 3 m before it: 9 m more than its own way, and 15 ms
    assert 35 < figure(row["set"]) < 48
    assert figure(row["now"]) == 0


def test_doses_stand_for_audience_desk_and_stage_with_the_law() -> None:
    told = sheet(DOSES)
    groups = list(dict.fromkeys(row["group"] for row in told.rows))
    assert groups == ["Audience", "At the desk", "On stage"]
    assert "local law" in (told.note or "")
    assert any("Hearing" in each for each in told.cautions)
