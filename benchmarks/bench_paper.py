"""Paper: a whole pack, from the file of a show to the PDF, the spreadsheet and the page."""

from __future__ import annotations

from functools import cache
from typing import Final

from benchmarks.harness import Call, benchmark
from benchmarks.shows import book_for, show_text
from levelhead.exchange import Sheet
from levelhead.exchange.sheets.pack import PLANS, paper_pack
from levelhead.paper.pdf import sheets_to_pdf
from levelhead.paper.phone import sheets_to_html
from levelhead.paper.xlsx import sheets_to_xlsx
from levelhead.planning.check import check_show
from levelhead.show.document import parse_show

CHANNELS: Final = 64
GROUP: Final = f"paper: {CHANNELS} channels"
RUNS: Final = 3


def pack() -> tuple[Sheet, ...]:
    """Read, check, and fill every sheet, labels too."""
    show = parse_show(show_text(CHANNELS), "bench").show
    return paper_pack(check_show(show, book_for(CHANNELS)), tuple(PLANS))


@cache
def packed() -> tuple[Sheet, ...]:
    """The same, once."""
    return pack()


@benchmark(group=GROUP, name="file to printed pack, PDF", runs=RUNS, goal_s=5.0)
def whole() -> Call:
    """What ``levelhead paper`` does but starting."""
    return lambda: sheets_to_pdf(pack())


@benchmark(group=GROUP, name="read, check, fill", runs=RUNS)
def filled() -> Call:
    """Without any writer."""
    return pack


@benchmark(group=GROUP, name="PDF alone", runs=RUNS)
def pdf() -> Call:
    """The typesetter."""
    sheets = packed()
    return lambda: sheets_to_pdf(sheets)


@benchmark(group=GROUP, name="spreadsheet alone", runs=RUNS)
def xlsx() -> Call:
    """The workbook."""
    sheets = packed()
    return lambda: sheets_to_xlsx(sheets)


@benchmark(group=GROUP, name="page for the phone alone", runs=RUNS)
def phone() -> Call:
    """The HTML."""
    sheets = packed()
    return lambda: sheets_to_html(sheets)
