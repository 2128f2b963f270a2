"""The whole pack on paper, read back by other programs, for small and large shows."""

from __future__ import annotations

import io
import re
import subprocess
from collections.abc import Callable, Iterator

import pytest
from pypdf import PageObject, PdfReader

from levelhead.exchange import Sheet
from levelhead.exchange.sheet.label_grid import GRIDS
from levelhead.exchange.sheets.pack import PLANS, USUAL, paper_pack
from levelhead.paper import sheets_to_pdf
from levelhead.quantity.typography import with_minus
from tests.paper.shows import checked, checked_abroad

SHOWS = ("duo-in-a-pub.yaml", "church-band.yaml", "1", "16", "64", "128")
POINTS_PER_MM = 72 / 25.4
Box = tuple[float, float, float, float]
Words = list[tuple[int, str, Box]]


@pytest.fixture
def words_of(pdftotext: str) -> Callable[[bytes], Words]:
    """Each word with its page and its box in points from the top left."""

    def read(pdf: bytes) -> Words:
        command = [pdftotext, "-bbox", "-enc", "UTF-8", "-", "-"]
        done = subprocess.run(command, input=pdf, capture_output=True, check=True).stdout.decode()
        box = r'xMin="([\d.-]+)" yMin="([\d.-]+)" xMax="([\d.-]+)" yMax="([\d.-]+)">(.*?)</word>'
        page, found = 0, []
        for line in done.splitlines():
            page += "<page" in line
            if match := re.search(box, line):
                left, top, right, bottom = (float(side) for side in match.groups()[:4])
                found.append((page, match[5], (left, top, right, bottom)))
        return found

    return read


def pages_of(pdf: bytes) -> list[PageObject]:
    return list(PdfReader(io.BytesIO(pdf)).pages)


def flat(text: str) -> str:
    return re.sub(r"\s+", "", text)


def cells(sheet: Sheet) -> Iterator[str]:
    """Words of every cell that paper shows; a control that is drawn has none."""
    for row in () if sheet.has_words_only_in_lists else sheet.rows:
        yield from (row.get(each.key, "") for each in sheet.columns if not each.is_drawn)


@pytest.mark.parametrize(
    ("show", "page"), [*((show, "a4") for show in SHOWS), ("church-band.yaml", "letter")]
)
def test_every_cell_of_every_sheet_is_on_paper(show: str, page: str) -> None:
    for sheet in paper_pack(checked(show), tuple(PLANS), page=page):
        pdf = sheets_to_pdf([sheet], page=page)  # type: ignore[arg-type]
        said = "".join(each.extract_text() for each in pages_of(pdf))
        assert not re.search(r"(?<![\w.-])-(?=\d)", said), sheet.name  # minus signs are real ones
        text = flat(said).casefold()
        for cell in cells(sheet):  # a verdict begins its heading: Care: works while ...
            words = with_minus(cell).casefold().split()
            assert all(flat(word) in text for word in words), (sheet.name, cell)


@pytest.mark.parametrize("show", ["church-band.yaml", "64"])
def test_every_page_says_which_show_and_state_it_is(show: str) -> None:
    pack = paper_pack(checked(show), tuple(PLANS))
    head = pack[0].head
    for number, page in enumerate(pages_of(sheets_to_pdf(pack)), start=1):
        text = page.extract_text()
        assert head.show in text
        assert f"version {head.version}" in text
        assert f"fingerprint {head.fingerprint}" in text, number
        assert re.search(r"Page \d+ of \d+", text), number


@pytest.mark.parametrize("show", SHOWS)
def test_nothing_stands_outside_the_page(show: str, words_of: Callable[[bytes], Words]) -> None:
    pdf = sheets_to_pdf(paper_pack(checked(show), tuple(PLANS)))
    sizes = [[float(side) for side in page.mediabox[2:]] for page in pages_of(pdf)]
    for page, word, (left, top, right, bottom) in words_of(pdf):
        width, height = sizes[page - 1]
        assert 2 * POINTS_PER_MM < left < right < width - 2 * POINTS_PER_MM, (page, word)
        assert 2 * POINTS_PER_MM < top < bottom < height - 2 * POINTS_PER_MM, (page, word)


@pytest.mark.parametrize("show", SHOWS)
def test_start_up_fits_one_page(show: str) -> None:
    for page in ("a4", "letter"):
        (sheet,) = paper_pack(checked(show), ["start-up"], page=page)
        assert len(pages_of(sheets_to_pdf([sheet], page=page))) == 1  # type: ignore[arg-type]


@pytest.mark.parametrize("name", GRIDS)
def test_a_label_keeps_to_its_place_in_the_grid(
    name: str, words_of: Callable[[bytes], Words]
) -> None:
    """The big number of each label, where a ruler on the adhesive sheet would have it."""
    grid = GRIDS[name]
    (sheet,) = paper_pack(checked("64"), ["cable-labels"], page=grid.page, grid=name)
    words = words_of(sheets_to_pdf([sheet], page=grid.page))  # type: ignore[arg-type]
    on_first = [box for page, word, box in words if page == 1 and word == "1"]
    corner = (grid.left_mm * POINTS_PER_MM, grid.top_mm * POINTS_PER_MM)
    inside = [box for box in on_first if box[3] - box[1] > 18]
    assert inside, "the number of the first lead, in large type"
    left, top, *_ = inside[0]
    assert corner[0] < left < corner[0] + 5 * POINTS_PER_MM
    assert corner[1] < top + 4 < corner[1] + 6 * POINTS_PER_MM
    pages = -(-len(sheet.rows) // grid.count)
    assert max(page for page, *_ in words) == pages


def test_other_alphabets_are_on_paper() -> None:
    pdf = sheets_to_pdf(paper_pack(checked_abroad(), USUAL))
    text = flat("".join(page.extract_text() for page in pages_of(pdf)))
    for name in ("=ΜικρόφωνοΩρίων", "+Жанна", "-ZoëŁukasiewicz", "@SeñorIbáñez&Æ"):
        assert name in text
