"""The gain sheet and the sheet of the sound check: rows of the plan, drawn and in words."""

from __future__ import annotations

import io
from functools import cache

import pytest
from openpyxl import load_workbook

from levelhead.exchange.paperwork.work import Paperwork
from levelhead.exchange.sheet.plan import filled
from levelhead.exchange.sheet.values import Sheet
from levelhead.exchange.sheets.gains import GAINS
from levelhead.exchange.sheets.sound_check import SOUND_CHECK
from levelhead.gear.positions import Face, read_travel
from levelhead.paper import sheets_to_pdf
from levelhead.paper.phone import sheets_to_html
from levelhead.paper.xlsx import sheets_to_xlsx
from levelhead.rig.settings import read_setting
from tests.paper.shows import checked

SHOWS = ("duo-in-a-pub.yaml", "church-band.yaml", "outdoor-stage.yaml")
FINGER = 0.06  # of a fader's travel, and ten minutes of a knob's


@cache
def work_of(name: str) -> Paperwork:
    return Paperwork(checked(name))


@cache
def sheets_of(name: str) -> tuple[Sheet, Sheet]:
    return filled(GAINS, work_of(name)), filled(SOUND_CHECK, work_of(name))


@pytest.mark.parametrize("name", SHOWS)
def test_every_control_of_the_plan_is_drawn_where_it_goes(name: str) -> None:
    work, (sheet, _) = work_of(name), sheets_of(name)
    assert len(sheet.rows) == len(work.gain_plan.positions)
    for row, each in zip(sheet.rows, work.gain_plan.positions, strict=True):
        plan = work.rig.controls[each.control]
        face = Face.from_text(row["face"])
        setting = read_setting(each.planned, plan, where="here")
        if plan.kind == "switch":
            assert face.marks[int(face.planned or 0)][1] == setting
        else:
            said = row["hand"].replace("−", "-") or "fully up"
            assert read_travel(said, plan) == pytest.approx(face.planned, abs=FINGER)
        assert (face.now == face.planned) == (each.now == each.planned)


@pytest.mark.parametrize("name", SHOWS)
def test_the_order_on_paper_is_that_of_the_plan(name: str) -> None:
    """Each strip has its meter's reading and range; steps count on from part to part."""
    _, sheet = sheets_of(name)
    assert [row["step"] for row in sheet.rows] == [str(n + 1) for n in range(len(sheet.rows))]
    sources = [row for row in sheet.rows if row["part"] == "One source at a time"]
    assert sources
    assert all(row["meter"] and row["between"] for row in sources)


def test_a_gain_with_a_real_minus_and_a_pad_with_its_own_name() -> None:
    sheet, _ = sheets_of("outdoor-stage.yaml")
    pads = [row for row in sheet.rows if row["control"] == "pad" and row["plan"] != "off"]
    assert all("−" not in row["plan"] for row in pads)
    faders = [row["now"] for row in sheet.rows if row["control"] == "fader"]
    assert "−5 dB" in faders


def test_drawings_stand_on_paper_and_phone_and_not_in_a_spreadsheet() -> None:
    sheets = sheets_of("duo-in-a-pub.yaml")
    html = sheets_to_html(sheets)
    assert html.count("<svg") >= len(sheets[0].rows)
    assert 'aria-label="gain: now 35 dB, plan' in html
    assert len(sheets_to_pdf(sheets)) > 10_000
    book = load_workbook(io.BytesIO(sheets_to_xlsx(sheets)))
    heads = [cell.value for cell in book["Gains"][1]]
    assert "Plan" in heads
    assert "Drawn" not in heads


def test_a_sheet_says_how_far_the_show_is_from_the_plan() -> None:
    work, (sheet, _) = work_of("duo-in-a-pub.yaml"), sheets_of("duo-in-a-pub.yaml")
    count = len(work.gain_plan.edits)
    assert f"{count} controls stand elsewhere in the show." in (sheet.note or "")
    planned = filled(GAINS, work.planned)
    assert "Every control stands there already." in (planned.note or "")
