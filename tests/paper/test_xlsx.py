"""Spreadsheets, read back by a second library and by a real spreadsheet program."""

from __future__ import annotations

import io
import subprocess
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook
from python_calamine import CalamineWorkbook

from levelhead.errors import PaperError
from levelhead.exchange.sheets.pack import PLANS, paper_pack
from levelhead.paper.xlsx import sheets_to_xlsx
from tests.paper.shows import checked, checked_abroad

Table = list[list[Any]]


def tables_of(content: bytes) -> dict[str, Table]:
    """Every table by its name, as another library reads it."""
    book = CalamineWorkbook.from_filelike(io.BytesIO(content))
    return {name: book.get_sheet_by_name(name).to_python() for name in book.sheet_names}


def column(table: Table, label: str) -> list[Any]:
    index = table[0].index(label)
    return [row[index] for row in table[1:] if any(row)]


def agree(cell: Any, text: str) -> bool:
    """Whether a cell says what its sheet says: a number may have been read as ``5.0`` or as 5."""
    return float(text) == cell if isinstance(cell, int | float) else str(cell) == text


@pytest.mark.parametrize("show", ["duo-in-a-pub.yaml", "church-band.yaml", "64"])
def test_every_row_is_there(show: str) -> None:
    pack = paper_pack(checked(show), tuple(PLANS))
    tables = tables_of(sheets_to_xlsx(pack))
    assert list(tables) == ["About", *(sheet.title for sheet in pack)]
    for sheet in pack:
        last = sheet.shown_columns[-1]
        said = column(tables[sheet.title], last.label)[: len(sheet.rows)]
        rows = [row for _, rows in sheet.groups() for row in rows]
        pairs = zip(said, (row.get(last.key, "") for row in rows), strict=True)
        assert [(cell, text) for cell, text in pairs if not agree(cell, text)] == []


def test_figures_are_numbers_and_their_units_stand_apart() -> None:
    table = tables_of(sheets_to_xlsx(paper_pack(checked("church-band.yaml"), ["input-list"])))
    inputs = table["Input list"]
    assert column(inputs, "Length")[:2] == [20.0, 3.0]
    assert column(inputs, "Length, unit")[:2] == ["m", "m"]
    assert column(inputs, "Gain")[0] == 42.0
    assert column(inputs, "Gain, unit")[0] == "dB"


def test_nothing_is_a_formula_whatever_it_begins_with() -> None:
    content = sheets_to_xlsx(paper_pack(checked_abroad(), tuple(PLANS)))
    book = load_workbook(io.BytesIO(content))
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row if cell.value]
    assert {cell.data_type for cell in cells} == {"s", "n"}
    texts = [cell for cell in cells if cell.data_type == "s"]
    texts = [cell for cell in texts if str(cell.value).startswith(("=", "+", "-", "@"))]
    assert {str(cell.value)[0] for cell in texts} >= {"=", "+", "-", "@"}
    assert all(cell.quotePrefix for cell in texts)


def test_heads_stand_still_and_come_again_on_paper() -> None:
    content = sheets_to_xlsx(paper_pack(checked("64")), page="letter")
    for sheet in load_workbook(io.BytesIO(content)).worksheets[1:]:
        assert sheet.freeze_panes == "A2"
        assert sheet.auto_filter.ref.startswith("A1:")
        assert sheet.print_title_rows == "$1:$1"
        assert sheet.page_setup.paperSize in {1, "1"}


def test_the_margin_names_the_show_also_with_an_ampersand() -> None:
    content = sheets_to_xlsx(paper_pack(checked_abroad(), ["patch"]))
    sheet = load_workbook(io.BytesIO(content))["Patch"]
    assert "Bal &" in sheet.oddHeader.left.text
    assert "fingerprint" in sheet.oddFooter.left.text


def test_no_sheet_is_an_error() -> None:
    with pytest.raises(PaperError, match="0 sheets for 'a4' paper"):
        sheets_to_xlsx([])


@pytest.mark.long
def test_a_spreadsheet_program_opens_and_saves_it(tmp_path: Path, soffice: str) -> None:
    """Saved anew by a program of its own, it has the same cells, and still no formula."""
    content = sheets_to_xlsx(paper_pack(checked_abroad(), tuple(PLANS)))
    (tmp_path / "in.xlsx").write_bytes(content)
    profile = f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}"
    command = [soffice, profile, "--headless", "--convert-to", "xlsx:Calc MS Excel 2007 XML"]
    command += ["--outdir", str(tmp_path / "out"), str(tmp_path / "in.xlsx")]
    subprocess.run(command, check=True, capture_output=True, timeout=300)
    saved = (tmp_path / "out" / "in.xlsx").read_bytes()
    ours, theirs = tables_of(content), tables_of(saved)
    assert list(ours) == list(theirs)
    for name, table in ours.items():
        rows = [[each for each in row if each != ""] for row in theirs[name]]
        assert [row for row in rows if row] == [
            filled for row in table if (filled := [each for each in row if each != ""])
        ]
    cells = (c for s in load_workbook(io.BytesIO(saved)) for row in s.iter_rows() for c in row)
    assert all(cell.data_type != "f" for cell in cells)


def test_rows_are_as_high_as_their_text_and_cautions_wrap_under_the_table() -> None:
    """A sentence beside the table would widen the printed page, and all else would be tiny."""
    (sheet,) = paper_pack(checked("village-hall.yaml"), ["start-up"])
    place = load_workbook(io.BytesIO(sheets_to_xlsx([sheet]))).worksheets[1]
    tall = [place.row_dimensions[number].height for number in range(2, len(sheet.rows) + 2)]
    assert min(tall) < max(tall)
    first = len(sheet.rows) + 3
    merged = {str(each) for each in place.merged_cells.ranges}
    assert merged == {f"A{first + n}:D{first + n}" for n in range(len(sheet.cautions))}
    assert place.cell(first, 1).alignment.wrap_text
    assert place.page_setup.orientation == "portrait"
