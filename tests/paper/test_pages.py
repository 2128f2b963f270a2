"""Some pages of a sheet alone, and what tells a page, read back by another program."""

from __future__ import annotations

import io
import re
import subprocess
from collections.abc import Callable
from dataclasses import replace

import pytest
from pypdf import PdfReader

from levelhead.exchange import Row, Sheet
from levelhead.exchange.sheet.label_grid import grid_for
from levelhead.paper.pages import page_contents, pages_to_pdf
from levelhead.paper.pdf import sheets_to_pdf
from tests.paper.sheets import COLUMNS, HEAD, input_list, input_row

Boxes = list[list[str]]  # of each page, every word with its box


@pytest.fixture
def boxes_of(pdftotext: str) -> Callable[[bytes], Boxes]:
    def read(pdf: bytes) -> Boxes:
        command = [pdftotext, "-bbox", "-enc", "UTF-8", "-", "-"]
        done = subprocess.run(command, input=pdf, capture_output=True, check=True)
        pages = done.stdout.decode().split("<page ")[1:]
        return [re.findall(r"<word.*?</word>", page) for page in pages]

    return read


def changed(sheet: Sheet, number: int, **cells: str) -> Sheet:
    rows = [dict(row) for row in sheet.rows]
    rows[number] |= cells
    return replace(sheet, rows=tuple(rows))


def pages_that_differ(one: Sheet, other: Sheet) -> list[int]:
    before, after = (page_contents([each])[each.name] for each in (one, other))
    assert len(before) == len(after)
    pairs = zip(before, after, strict=True)
    return [number for number, (old, new) in enumerate(pairs, 1) if old != new]


def grouped() -> Sheet:
    """Groups over three pages, with a note and cautions."""
    rows = tuple({**input_row(n), "source": f"Box {n // 20}"} for n in range(1, 64))
    sheet = Sheet("patch", "Patch", HEAD, COLUMNS, rows, group_by="source", has_ticks=True)
    return replace(sheet, note="Leads by box.", cautions=("Amplifiers off first.",))


@pytest.mark.parametrize("sheet", [input_list(70), grouped()], ids=["plain", "grouped"])
def test_pages_alone_stand_as_in_the_whole(
    sheet: Sheet, boxes_of: Callable[[bytes], Boxes]
) -> None:
    """Every word of page 3, and of 1 and 2, is where it is in the whole print, with its number."""
    whole = boxes_of(sheets_to_pdf([sheet]))
    assert len(whole) == 3
    paged = pages_to_pdf([sheet], {sheet.name: [3]})
    assert boxes_of(paged.pdf) == [whole[2]]
    assert len(paged.contents[sheet.name]) == 3
    assert boxes_of(pages_to_pdf([sheet], {sheet.name: [1, 2]}).pdf) == whole[:2]


def test_a_whole_print_is_the_same_with_its_pages_told() -> None:
    pack = [grouped(), input_list(20)]
    paged = pages_to_pdf(pack)
    assert paged.pdf == sheets_to_pdf(pack)
    assert paged.contents == page_contents(pack)
    assert {name: len(found) for name, found in paged.contents.items()} == {
        "patch": 3,
        "input-list": 1,
    }


def test_a_row_that_changes_changes_its_page_alone() -> None:
    sheet = input_list(70)
    assert pages_that_differ(sheet, changed(sheet, 60, gain="12")) == [3]
    of_another_state = replace(sheet, head=replace(HEAD, fingerprint="00000000"))
    assert pages_that_differ(sheet, of_another_state) == []
    noted = grouped()
    assert pages_that_differ(noted, replace(noted, note="By the box.  ")) == [1]


def test_a_row_that_comes_moves_all_behind_it() -> None:
    sheet = input_list(70)
    longer = replace(sheet, rows=(*sheet.rows[:50], input_row(200), *sheet.rows[50:]))
    found = pages_that_differ(sheet, longer)
    assert found == [2, 3]


def test_pages_that_share_a_row_come_together(boxes_of: Callable[[bytes], Boxes]) -> None:
    """A text that runs over the end of a page cannot be printed by halves."""
    rows: list[Row] = [*input_list(20).rows, {"source": "A long story. " * 300}, input_row(22)]
    sheet = Sheet("x", "X", HEAD, COLUMNS, tuple(rows))
    whole = boxes_of(sheets_to_pdf([sheet]))
    contents = page_contents([sheet])["x"]
    assert contents[0] == contents[1]
    alone = boxes_of(pages_to_pdf([sheet], {"x": [2]}).pdf)
    assert alone == whole[: len(alone)]
    assert len(alone) == contents.count(contents[0])


def test_sheets_of_labels_come_alone_too(boxes_of: Callable[[bytes], Boxes]) -> None:
    sheet = replace(input_list(50), grid=grid_for("a4"), name="labels")
    whole = boxes_of(sheets_to_pdf([sheet]))
    assert len(whole) == 3
    assert boxes_of(pages_to_pdf([sheet], {"labels": [2]}).pdf) == [whole[1]]
    assert pages_that_differ(sheet, changed(sheet, 45, gain="12")) == [3]


def test_pages_alone_are_tagged_like_the_rest() -> None:
    pdf = pages_to_pdf([grouped()], {"patch": [3]}).pdf
    reader = PdfReader(io.BytesIO(pdf))
    assert len(reader.pages) == 1
    assert "/StructTreeRoot" in reader.trailer["/Root"]  # type: ignore[operator]
