"""Damaged, huge, disguised and malicious files: a clear refusal, bounded memory, no traceback."""

from __future__ import annotations

import io
import time
import tracemalloc
import zipfile
from contextlib import suppress
from pathlib import Path
from typing import Final

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import Workbook, load_workbook

from levelhead.errors import ListError
from levelhead.exchange.lists import list_show, plan_list, read_list
from levelhead.exchange.sheets.input_list import input_list
from levelhead.gear.book import load_book
from levelhead.paper.xlsx import sheets_to_xlsx
from levelhead.planning.check import check_show
from levelhead.show.document import new_document, parse_show

LISTS: Final = Path(__file__).parents[2] / "lists"
ROWS: Final = (
    ("Kanal", "Quelle", "Mikro"),
    (1, "Bass drum", None),
    (2, "Gesang Jörg", "dynamisch"),
)
_MEMORY: Final = 120_000_000  # bytes that any refusal may take on its way


def workbook(rows: tuple[tuple[object, ...], ...] = ROWS) -> bytes:
    book = Workbook()
    for row in rows:
        book.active.append(row)
    content = io.BytesIO()
    book.save(content)
    return content.getvalue()


def with_part(content: bytes, name: str, data: bytes) -> bytes:
    """The same archive with one more part, or one replaced."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(content)) as old, zipfile.ZipFile(out, "w", 8) as new:
        for each in old.namelist():
            if each != name:
                new.writestr(each, old.read(each))
        new.writestr(name, data)
    return out.getvalue()


def refused(data: bytes | str, match: str) -> None:
    """Refused with a message, soon, and without much memory."""
    tracemalloc.start()
    began = time.monotonic()
    with pytest.raises(ListError, match=match):
        read_list(data, name="list")
    seconds = time.monotonic() - began
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < _MEMORY
    assert seconds < 30


@pytest.mark.parametrize(
    ("encoding", "mark"),
    [
        ("utf-8", b""),
        ("utf-8", b"\xef\xbb\xbf"),
        ("utf-16", b""),
        ("utf-16-le", b""),
        ("cp1252", b""),
    ],
)
@pytest.mark.parametrize("separator", [";", ",", "\t"])
def test_encodings_and_separators(encoding: str, mark: bytes, separator: str) -> None:
    text = "\r\n".join(separator.join(f'"{cell or ""}"' for cell in row) for row in ROWS)
    read = read_list(mark + text.encode(encoding))
    assert [channel.name for channel in read.channels] == ["Bass drum", "Gesang Jörg"]
    assert [channel.item for channel in read.channels] == ["mic-kick-dynamic", "mic-vocal-dynamic"]
    assert any("Windows-1252" in note for note in read.notes) is (encoding == "cp1252")


def test_quotes_may_hold_separators_quotes_and_line_ends() -> None:
    read = read_list('Ch,Name,Note\n1,"Vox, ""Ann""","two\nlines"\n2,Kick,\n')
    assert read.channels[0].name == 'Vox, "Ann"'
    assert read.channels[0].note == "two lines"


def test_a_sheet_of_fifty_thousand_rows_is_refused() -> None:
    book = Workbook(write_only=True)
    sheet = book.create_sheet()
    for number in range(50_000):
        sheet.append([number, "Kick", "dynamic"])
    content = io.BytesIO()
    book.save(content)
    refused(content.getvalue(), "more than 4000 rows")


def test_a_text_of_fifty_thousand_rows_is_refused() -> None:
    refused("\n".join(f"{number};Kick;dyn" for number in range(50_000)), "more than 4000 rows")


def test_a_zip_bomb_is_refused_by_its_directory() -> None:
    bomb = with_part(workbook(), "xl/media/bomb.xml", b"\0" * 200_000_000)
    assert len(bomb) < 400_000
    refused(bomb, "unpacks to more than 60 MB")


def test_a_bomb_that_lies_about_its_size_is_no_way_in() -> None:
    """A reader takes no more than the directory says, and the check sum is wrong then."""
    bomb = bytearray(with_part(workbook(), "xl/worksheets/sheet1.xml", b"<a>" * 3_000_000))
    at = bomb.rfind(b"xl/worksheets/sheet1.xml") - 46 + 24
    bomb[at : at + 4] = (1000).to_bytes(4, "little")
    refused(bytes(bomb), "damaged|cannot be read|no input")


def test_entities_are_refused() -> None:
    lol = b'<!DOCTYPE l [<!ENTITY a "lol"><!ENTITY b "&a;&a;&a;&a;">]><worksheet>&b;</worksheet>'
    refused(with_part(workbook(), "xl/worksheets/sheet1.xml", lol), "defines entities")


def test_macros_are_neither_run_nor_read() -> None:
    read = read_list(with_part(workbook(), "xl/vbaProject.bin", b"\xd0\xcf\x11\xe0macro"))
    assert len(read.channels) == 2
    assert "the workbook holds macros: they are neither run nor read" in read.notes


def test_of_formulas_only_values_are_read_and_that_is_said() -> None:
    read = read_list(workbook((("Ch", "Name"), (1, "Kick"), (2, "Snare"), ("=A3+1", "Vox"))))
    assert any("1 cells hold formulas" in note for note in read.notes)
    assert any("1 of them were never computed" in note for note in read.notes)
    assert [channel.numbers for channel in read.channels] == [(1,), (2,), ()]
    assert [question.key for question in read.questions] == ["row vox"]


@pytest.mark.parametrize(
    ("data", "match"),
    [
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(600), "an old or an encrypted workbook"),
        (b"%PDF-1.7\n" + bytes(range(256)) * 40, "no text and no workbook"),
        (b"\x89PNG\r\n\x1a\n" + bytes(range(256)) * 40, "no text and no workbook"),
        (b"PK\x03\x04" + bytes(200), "damaged or no workbook"),
        (b"", "no input was found"),
        (b"\n\n\n", "no input was found"),
        (b"1 kick " + b"x" * 1_000_000, "holds 1000007 characters"),
        (b"a;b\n1;" + b"x" * 1_000_000, "cannot be split|holds 1000000 characters"),
        (b'1;"' + b"never closed\n" * 20_000, "cannot be split|characters|rows"),
        (b"1 kick\n" * 2_000_000, "more than 10 MB"),
    ],
)  # fmt: skip
def test_disguised_and_huge_files_are_refused(data: bytes, match: str) -> None:
    refused(data, match)


@pytest.mark.parametrize(
    ("part", "match"),
    [
        ("content.xml", "an open-document file"),
        ("word/document.xml", "a text document"),
        ("other.txt", "a packed file, not a workbook"),
    ],
)
def test_other_packed_files_are_told_apart(part: str, match: str) -> None:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr(part, "x")
    refused(out.getvalue(), match)


@given(st.binary(max_size=400))
@settings(max_examples=150, deadline=None)
def test_any_bytes_are_read_or_refused(data: bytes) -> None:
    with suppress(ListError):
        read_list(data)


@given(at=st.integers(0, 4000), byte=st.integers(0, 255))
@settings(max_examples=60, deadline=None)
def test_a_damaged_workbook_is_read_or_refused(at: int, byte: int) -> None:
    content = bytearray((LISTS / "choir.xlsx").read_bytes())
    content[at % len(content)] = byte
    with suppress(ListError):
        read_list(bytes(content))


def test_words_that_look_like_formulas_stay_words() -> None:
    """In the show, in its file, and in the sheets that are made of it."""
    read = read_list('1;=HYPERLINK("x") vox\n2;+kick\n3;-snare\n4;@vox bob')
    show = list_show(read, plan_list(read))
    back = parse_show(new_document(show, "a").text(), "a").show
    assert back == show
    labels = [source.label for source in show.sources.values()]
    assert labels == ['=HYPERLINK("x") vox', "+kick", "-snare", "@vox bob"]


def test_the_sheets_of_such_a_show_hold_no_formula() -> None:
    read = read_list("1;=1+1 vox\n2;+kick\n3;@vox bob")
    show = list_show(read, plan_list(read))
    sheets = sheets_to_xlsx([input_list(check_show(show, load_book()))])
    book = load_workbook(io.BytesIO(sheets))
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row]
    assert "f" not in {cell.data_type for cell in cells}
    assert any(cell.value == "=1+1 vox" for cell in cells)


def test_a_quotation_mark_that_is_never_closed_swallows_no_row() -> None:
    read = read_list('Ch,Name,Mic\n1,"Kick,dyn\n2,Snare,dyn\n3,Vox,dyn\n')
    assert [channel.numbers for channel in read.channels] == [(1,), (2,), (3,)]


def test_a_show_file_is_no_list() -> None:
    with pytest.raises(ListError, match=r"is a show file, no list; .* levelhead check"):
        read_list("# our hall\nlevelhead: 1\nshow: {name: Hall}\nitems: {}\n", name="hall.yaml")


@pytest.mark.parametrize("page", ["docs/words.md", "docs/formats.md", "constraints.txt", "run.py"])
def test_a_file_of_another_kind_is_read_or_refused_and_never_a_crash(page: str) -> None:
    """Whatever stands in it: rows asked about or set aside, or a clear refusal."""
    root = Path(__file__).parents[3]
    with suppress(ListError):
        read = read_list((root / page).read_bytes(), name=page)
        assert read.channels or read.skipped
