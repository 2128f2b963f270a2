"""A sheet as data."""

from __future__ import annotations

import math

import pytest

from levelhead.errors import PaperError
from levelhead.exchange import Column, Sheet, SheetHead
from levelhead.exchange.sheet.values import LOOK_AT

HEAD = SheetHead("Village hall", "2026-12-05", 3, "7f3k9m2p")
COLUMNS = (
    Column("input", "Input", align="right"),
    Column("source", "Source", width=4),
    Column("box", "Box"),
)


def a_sheet(*rows: dict[str, str], group_by: str | None = None) -> Sheet:
    return Sheet("input-list", "Input list", HEAD, COLUMNS, rows, group_by=group_by)


def test_rows_without_grouping_are_one_group_without_heading() -> None:
    rows = ({"input": "1"}, {"input": "2"})
    assert list(a_sheet(*rows).groups()) == [(None, rows)]


def test_groups_come_in_the_order_of_their_first_row() -> None:
    rows = [{"input": str(n), "box": box} for n, box in enumerate(["left", "right", "left"], 1)]
    grouped = [
        (label, [r["input"] for r in group])
        for label, group in a_sheet(*rows, group_by="box").groups()
    ]
    assert grouped == [("left", ["1", "3"]), ("right", ["2"])]


def test_rows_without_a_group_stand_under_a_heading_of_their_own() -> None:
    labels = [
        label for label, _ in a_sheet({"box": "left"}, {"input": "2"}, group_by="box").groups()
    ]
    assert labels == ["left", "Other"]


def test_the_grouping_column_is_not_printed_again() -> None:
    assert [c.key for c in a_sheet(group_by="box").shown_columns] == ["input", "source"]


@pytest.mark.parametrize(("verdict", "is_printed"), [("", False), ("care", True)])
def test_an_optional_column_that_no_row_fills_is_not_printed(
    verdict: str, *, is_printed: bool
) -> None:
    """Neither are the words of the note that explain it; a spreadsheet has it all the same."""
    columns = (*COLUMNS, LOOK_AT)
    rows = ({"input": "1"}, {"input": "2", "note": verdict})
    sheet = Sheet("input-list", "Input list", HEAD, columns, rows, note="As set.")
    assert (LOOK_AT in sheet.printed_columns) is is_printed
    assert COLUMNS[1] in sheet.printed_columns  # empty, but not optional
    assert LOOK_AT in sheet.shown_columns
    said = sheet.note_about(sheet.printed_columns)
    assert said == ("As set. Look at: see the open findings." if is_printed else "As set.")


def test_a_field_that_no_column_shows_is_refused() -> None:
    with pytest.raises(PaperError, match="row 2: fields that no column shows: colour"):
        a_sheet({"input": "1"}, {"input": "2", "colour": "red"})


def test_two_columns_with_one_key_are_refused() -> None:
    twice = (COLUMNS[0], COLUMNS[0])
    with pytest.raises(PaperError, match="each with a key of its own"):
        Sheet("x", "X", HEAD, twice, ())


def test_a_sheet_needs_a_column_beside_its_grouping() -> None:
    with pytest.raises(PaperError, match="at least one column"):
        Sheet("x", "X", HEAD, COLUMNS[2:], (), group_by="box")


@pytest.mark.parametrize("width", [0.0, -1.0, math.nan, math.inf])
def test_a_width_that_no_page_can_show_is_refused(width: float) -> None:
    with pytest.raises(PaperError, match="a share of the page above zero"):
        Column("input", "Input", width=width)
