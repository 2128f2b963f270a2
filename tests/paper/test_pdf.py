"""The printed page, read back by other programs."""

from __future__ import annotations

import io
import os
import re
import subprocess
import sys
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest
from pypdf import PageObject, PdfReader

from levelhead.errors import PaperError
from levelhead.exchange import Column, Sheet, SheetHead
from levelhead.paper import sheets_to_pdf
from tests.paper.sheets import COLUMNS, HEAD, input_list, input_row

POINTS_PER_MM = 72 / 25.4
SMALLEST_TYPE_PT = 10.0  # docs/visual-language.md
COUNTS = (1, 16, 64, 128)

Words = list[tuple[int, str, tuple[float, float, float, float]]]  # page, word, box


@pytest.fixture
def text_of(pdftotext: str) -> Callable[[bytes], list[str]]:
    """Text of each page, in reading order, by a program that knows nothing of ours."""

    def read(pdf: bytes) -> list[str]:
        command = [pdftotext, "-layout", "-enc", "UTF-8", "-", "-"]
        done = subprocess.run(command, input=pdf, capture_output=True, check=True)
        return done.stdout.decode().split("\f")[:-1]

    return read


@pytest.fixture
def words_of(pdftotext: str) -> Callable[[bytes], Words]:
    """Each word with its page and its box in points from the top left."""

    def read(pdf: bytes) -> Words:
        command = [pdftotext, "-bbox", "-enc", "UTF-8", "-", "-"]
        page = done = 0
        found: Words = []
        done = subprocess.run(command, input=pdf, capture_output=True, check=True).stdout.decode()
        pattern = (
            r'xMin="([\d.-]+)" yMin="([\d.-]+)" xMax="([\d.-]+)" yMax="([\d.-]+)">(.*?)</word>'
        )
        for line in done.splitlines():
            page += "<page" in line
            if match := re.search(pattern, line):
                *box, word = match.groups()
                found.append((page, word, tuple(float(side) for side in box)))  # type: ignore[arg-type]
        return found

    return read


def pages_of(pdf: bytes) -> list[PageObject]:
    return list(PdfReader(io.BytesIO(pdf)).pages)


def fonts_of(pdf: bytes) -> Iterator[Any]:
    """The font inside each font that a page uses."""
    for page in pages_of(pdf):
        for font in page["/Resources"]["/Font"].values():  # type: ignore[index]
            yield font.get_object()["/DescendantFonts"][0].get_object()


def flat(text: str) -> str:
    """Text without the blanks that lines and columns put in."""
    return re.sub(r"\s+", "", text)


@pytest.mark.parametrize("count", COUNTS)
@pytest.mark.parametrize("page", ["a4", "letter"])
def test_every_cell_is_found_by_two_readers(
    count: int, page: str, text_of: Callable[[bytes], list[str]]
) -> None:
    pdf = sheets_to_pdf([input_list(count)], page=page)  # type: ignore[arg-type]
    by_pypdf = flat("".join(p.extract_text() for p in pages_of(pdf)))
    by_pdftotext = "\n".join(text_of(pdf))
    for number in range(1, count + 1):
        row = input_row(number)
        assert all(flat(cell) in by_pypdf for cell in row.values())
        assert row["socket"] in by_pdftotext
        assert all(word in by_pdftotext for word in row["source"].split())


@pytest.mark.parametrize("count", COUNTS)
def test_every_page_says_what_it_is(count: int, text_of: Callable[[bytes], list[str]]) -> None:
    pages = text_of(sheets_to_pdf([input_list(count)]))
    for number, text in enumerate(pages, start=1):
        for words in ("Input list", "Village hall", "2026-12-05", "version 3", "7f3k9m2p"):
            assert words in text
        assert f"Page {number} of {len(pages)}" in text
        assert "Phantom" in text  # the column heads come again


@pytest.mark.parametrize(("count", "pages"), [(28, 1), (29, 1), (31, 1), (35, 2), (57, 2)])
def test_no_few_rows_stand_alone_on_a_last_page(count: int, pages: int) -> None:
    """28 rows fill a page at the usual distance; up to three more come closer to stay on it."""
    texts = [page.extract_text() for page in pages_of(sheets_to_pdf([input_list(count)]))]
    assert len(texts) == pages
    assert texts[-1].count("XLR") >= 4


@pytest.mark.parametrize("count", COUNTS)
def test_no_row_is_cut_by_the_end_of_a_page(count: int, words_of: Callable[[bytes], Words]) -> None:
    """The first and the last figure of a row stand on one page, at one height."""
    words = words_of(sheets_to_pdf([input_list(count)]))
    tops = {word: (page, box[1]) for page, word, box in words}
    for number in range(1, count + 1):
        row = input_row(number)
        assert tops[row["socket"]] == tops[row["gain"]]


@pytest.mark.parametrize("lines", [3, 5, 8])
def test_no_tall_row_is_cut_either(lines: int, words_of: Callable[[bytes], Words]) -> None:
    """Every line of a row stands on the page of its first; the pages end where rows do."""
    names = {n: [f"r{n}x{line}{'y' * 24}" for line in range(lines)] for n in range(60)}
    rows = tuple({"input": str(n), "source": " ".join(names[n])} for n in names)
    words = words_of(sheets_to_pdf([Sheet("x", "X", HEAD, COLUMNS, rows)]))
    pages: dict[str, set[int]] = {}
    for page, word, _ in words:
        if match := re.match(r"(r\d+)x", word):
            pages.setdefault(match[1], set()).add(page)
    assert len(pages) == 60
    assert max(max(on) for on in pages.values()) > 1
    assert [row for row, on in pages.items() if len(on) > 1] == []


def test_nothing_stands_outside_the_margins(words_of: Callable[[bytes], Words]) -> None:
    long = {**input_row(3), "source": "Donaudampfschifffahrtsgesellschaftskapitänsmütze" * 4}
    rows = (long, {**input_row(4), "socket": "desk." * 40})
    sheet = Sheet(
        "x",
        "A title that is long enough for two lines of large type, and more",
        HEAD,
        COLUMNS,
        rows,
    )
    for page in ("a4", "letter"):
        pdf = sheets_to_pdf([sheet], page=page)  # type: ignore[arg-type]
        width, height = (float(side) for side in pages_of(pdf)[0].mediabox[2:])
        margin = 14 * POINTS_PER_MM - 1
        for _, _, (left, top, right, bottom) in words_of(pdf):
            assert margin <= left < right <= width - margin
            assert 0 < top < bottom < height


def test_columns_do_not_run_into_each_other(words_of: Callable[[bytes], Words]) -> None:
    """A word too long for its column goes on in the next line of the same column."""
    rows = ({**input_row(1), "source": "x" * 90, "gear": "y" * 90},)
    words = words_of(sheets_to_pdf([Sheet("x", "X", HEAD, COLUMNS, rows)]))
    ends = max(box[2] for _, word, box in words if set(word) == {"x"})
    starts = min(box[0] for _, word, box in words if set(word) == {"y"})
    assert ends < starts
    assert sum(len(word) for _, word, _ in words if set(word) == {"x"}) == 90


def test_a_figure_stays_with_its_unit(words_of: Callable[[bytes], Words]) -> None:
    """Also where the column ends between them; a unit alone at the start of a line misleads."""
    cells = {f"Lead {'i' * n}, 2{n} m": n for n in range(1, 30)}
    columns = (Column("a", "A", 1), Column("b", "B", 5))
    rows = tuple({"a": cell} for cell in cells)
    words = words_of(sheets_to_pdf([Sheet("x", "X", HEAD, columns, rows)]))
    figures = [(page, box[1]) for page, word, box in words if re.fullmatch(r"2\d+", word)]
    units = [(page, box[1]) for page, word, box in words if word == "m"]
    assert len(figures) == len(cells)
    assert figures == units


def test_fonts_are_inside_and_ours() -> None:
    fonts = list(fonts_of(sheets_to_pdf([input_list(16)])))
    assert fonts
    for font in fonts:
        assert "IBMPlexSans" in font["/BaseFont"]
        assert "/FontFile2" in font["/FontDescriptor"].get_object()


def test_type_is_large() -> None:
    """Every run of text, as drawn."""
    sizes: set[float] = set()

    def note(text: str, _: Any, matrix: list[float], __: Any, size: float) -> None:
        if text.strip():
            sizes.add(round(abs(size * matrix[3]), 2))

    for page in pages_of(sheets_to_pdf([input_list(64)])):
        page.extract_text(visitor_text=note)
    assert min(sizes) >= SMALLEST_TYPE_PT


def test_the_page_is_black_and_white(pdftoppm: str) -> None:
    sheet = input_list(16, cautions=("Amplifier last on, first off.",), group_by="gear")
    command = [pdftoppm, "-r", "40", "-singlefile", "-"]
    pdf = sheets_to_pdf([sheet])
    picture = subprocess.run(command, input=pdf, capture_output=True, check=True).stdout
    magic, size, depth, pixels = picture.split(b"\n", 3)
    assert (magic, depth) == (b"P6", b"255")
    assert len(pixels) == 3 * int(size.split()[0]) * int(size.split()[1])
    assert pixels[0::3] == pixels[1::3] == pixels[2::3]
    assert min(pixels) < 60


@pytest.mark.reference("ISO 216:2007, A4: 210 mm x 297 mm; ANSI/ASME Y14.1, A: 8.5 in x 11 in")
@pytest.mark.parametrize(
    ("page", "size_pt"),
    [("a4", (210 * POINTS_PER_MM, 297 * POINTS_PER_MM)), ("letter", (612.0, 792.0))],
)
def test_paper_sizes(page: str, size_pt: tuple[float, float]) -> None:
    pdf = sheets_to_pdf([input_list(1)], page=page)  # type: ignore[arg-type]
    sides = [float(side) for side in pages_of(pdf)[0].mediabox[2:]]
    assert sides == pytest.approx(size_pt, abs=0.05)


def test_a_wide_sheet_lies_on_its_long_side() -> None:
    columns = tuple(Column(f"c{i}", f"Column {i}") for i in range(9))
    pdf = sheets_to_pdf([Sheet("x", "Wide", HEAD, columns, ({"c1": "a"},)), input_list(1)])
    wide, upright = (page.mediabox for page in pages_of(pdf))
    assert wide.width > wide.height
    assert upright.width < upright.height


def test_each_sheet_counts_its_own_pages(text_of: Callable[[bytes], list[str]]) -> None:
    pages = text_of(sheets_to_pdf([input_list(64), input_list(0), input_list(1)]))
    places = [re.findall(r"Page (\d+) of (\d+)", page) for page in pages]
    first = len(pages) - 2
    expected = [[(str(n), str(first))] for n in range(1, first + 1)]
    assert places == [*expected, [("1", "1")], [("1", "1")]]
    assert "Nothing to list." in pages[-2]


def test_group_headings_come_again_on_the_next_page(
    text_of: Callable[[bytes], list[str]],
) -> None:
    rows = tuple({**input_row(n), "box": "Stage box, left"} for n in range(1, 41))
    columns = (*COLUMNS, Column("box", "Box"))
    pages = text_of(sheets_to_pdf([Sheet("p", "Patch", HEAD, columns, rows, group_by="box")]))
    assert len(pages) > 1
    assert all("Stage box, left" in page for page in pages)


def test_equal_sheets_give_equal_bytes_in_another_process() -> None:
    code = (
        "import sys; from tests.paper.sheets import input_list;"
        "from levelhead.paper import sheets_to_pdf;"
        "sys.stdout.buffer.write(sheets_to_pdf([input_list(16)]))"
    )
    root = Path(__file__).parents[2]
    paths = os.pathsep.join([str(root), *filter(None, sys.path)])
    elsewhere = {**os.environ, "TZ": "Asia/Kathmandu", "LANG": "tr_TR.UTF-8", "PYTHONPATH": paths}
    command = [sys.executable, "-c", code]
    done = subprocess.run(command, env=elsewhere, capture_output=True, check=True, cwd=root)
    assert done.stdout == sheets_to_pdf([input_list(16)])


@pytest.mark.parametrize(
    ("date", "stamp"), [("2026-12-05", "20261205"), (None, "20000101"), ("Friday", "20000101")]
)
def test_the_stamp_is_the_date_of_the_sheet(date: str | None, stamp: str) -> None:
    head = SheetHead("Village hall", date, 3, "7f3k9m2p")
    pdf = sheets_to_pdf([Sheet("x", "X", head, COLUMNS, ())])
    information = PdfReader(io.BytesIO(pdf)).metadata
    assert information is not None
    assert str(information["/CreationDate"]).startswith(f"D:{stamp}")


def test_text_is_never_run_as_a_template(text_of: Callable[[bytes], list[str]]) -> None:
    hostile = '#panic("x") $x$ *b* \\ `r` <a> @b // c'
    (page,) = text_of(sheets_to_pdf([Sheet("x", hostile, HEAD, COLUMNS, ({"source": hostile},))]))
    assert flat(page).count(flat(hostile)) == 2  # in the title and in its cell


def test_characters_that_the_typeface_lacks_are_named(
    text_of: Callable[[bytes], list[str]],
) -> None:
    sheet = Sheet("x", "X", HEAD, COLUMNS, ({"source": "琴"},))
    (page,) = text_of(sheets_to_pdf([sheet]))
    assert "[U+7434]" in page
    assert "The typeface lacks U+7434" in page


def test_notes_and_cautions_stand_before_the_rows(text_of: Callable[[bytes], list[str]]) -> None:
    sheet = input_list(1, note="In desk order.", cautions=("Amplifier last on.", "Mains: ask."))
    (page,) = text_of(sheets_to_pdf([sheet]))
    places = [page.index(words) for words in ("In desk order.", "Caution", "Mains: ask.", "Gear")]
    assert places == sorted(places)


def test_a_row_longer_than_a_page_goes_on(text_of: Callable[[bytes], list[str]]) -> None:
    story = " ".join(f"word{n}" for n in range(1500))
    pages = text_of(sheets_to_pdf([Sheet("x", "X", HEAD, COLUMNS, ({"source": story},))]))
    assert len(pages) > 1
    assert "word0" in pages[0]
    assert "word1499" in pages[-1]


def test_a_screen_reader_finds_title_language_and_tags() -> None:
    reader = PdfReader(io.BytesIO(sheets_to_pdf([input_list(1)])))
    catalogue = reader.trailer["/Root"].get_object()
    assert catalogue["/MarkInfo"]["/Marked"] == True  # noqa: E712  # a PDF boolean
    assert catalogue["/Lang"] == "en"
    assert reader.metadata is not None
    assert reader.metadata.title == "Input list - Village hall"


def test_several_threads_may_print() -> None:
    with ThreadPoolExecutor(4) as pool:
        printed = set(pool.map(lambda _: sheets_to_pdf([input_list(16)]), range(8)))
    assert len(printed) == 1


def test_nothing_to_print_is_an_error() -> None:
    with pytest.raises(PaperError, match="0 sheets on 'a4' paper; expected one sheet or more"):
        sheets_to_pdf([])


def test_unknown_paper_is_an_error() -> None:
    with pytest.raises(PaperError, match=r"on 'a5' paper; expected .* a4, letter"):
        sheets_to_pdf([input_list(1)], page="a5")  # type: ignore[arg-type]
