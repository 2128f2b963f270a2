"""What stands on which page of printed sheets, and some of their pages alone.

A page is told by all that it says but its head: date, version and fingerprint change with every
state of the show. A page that is printed alone has the place, the width of columns and the number
that it has among all pages of its sheet.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from importlib.resources import as_file, files
from typing import Any, Final, cast

import typst

from levelhead.exchange import Sheet
from levelhead.paper.content import Page, Prepared, prepared
from levelhead.paper.pdf import ONE_AT_A_TIME, STANDARD, fonts, typeset

__all__ = [
    "Paged",
    "contents_of_pages",
    "page_contents",
    "pages_to_pdf",
    "set_pages",
]

_FRAME: Final = ("title", "landscape", "ticks", "grid", "columns", "drawn-only")
_ABOVE: Final = ("cautions", "note", "nothing", "lacking")
_LENGTH: Final = 16

Json = dict[str, Any]


@dataclass(frozen=True, slots=True)
class _Run:
    """Pages that hang together, one as a rule: a row that runs on to the next page joins two."""

    first: int
    last: int
    rows: frozenset[int]
    pictures: tuple[int, ...]

    @property
    def numbers(self) -> range:
        return range(self.first, self.last + 1)


@dataclass(frozen=True, slots=True)
class Paged:
    """A PDF, and by the name of each sheet what tells the content of each of its pages."""

    pdf: bytes
    contents: Mapping[str, tuple[str, ...]]


def page_contents(sheets: Sequence[Sheet], *, page: Page = "a4") -> dict[str, tuple[str, ...]]:
    """By the name of each sheet, what tells the content of each of its pages.

    Raises
    ------
    PaperError
        No sheet, or an unknown paper size.
    """
    return contents_of_pages(prepared(sheets, page=page))


def contents_of_pages(sheets: Prepared) -> dict[str, tuple[str, ...]]:
    """The same of prepared ones."""
    with ONE_AT_A_TIME:
        runs = _LaidOut(sheets.data).runs
    return _contents(sheets, runs)


def _contents(sheets: Prepared, laid_out: Sequence[Sequence[_Run]]) -> dict[str, tuple[str, ...]]:
    return {
        name: tuple(_told(content, run) for run in runs for _ in run.numbers)
        for name, content, runs in zip(sheets.names, sheets.data["sheets"], laid_out, strict=True)
    }


def pages_to_pdf(
    sheets: Sequence[Sheet],
    only: Mapping[str, Sequence[int]] | None = None,
    *,
    page: Page = "a4",
) -> Paged:
    """Print sheets, of some of them these pages only, and tell what stands on each page.

    Parameters
    ----------
    only
        By the name of a sheet, the numbers of its pages that are wanted, from 1, each printed where
        it stands in its sheet; sheets that are not named are printed whole. Pages that share a row
        come together.

    Raises
    ------
    PaperError
        No sheet, an unknown paper size, or the typesetter refuses.
    """
    return set_pages(prepared(sheets, page=page), only)


def set_pages(sheets: Prepared, only: Mapping[str, Sequence[int]] | None = None) -> Paged:
    """The same of prepared ones."""
    with ONE_AT_A_TIME:
        laid_out = _LaidOut(sheets.data)
        pdf = b"" if only else laid_out.pdf(sheets.stamp)
    if only:
        chosen = _chosen(sheets, laid_out, only)
        pdf = typeset(sheets.data | {"sheets": chosen}, stamp=sheets.stamp)
    return Paged(pdf, _contents(sheets, laid_out.runs))


def _chosen(sheets: Prepared, laid_out: _LaidOut, only: Mapping[str, Sequence[int]]) -> list[Json]:
    parts: list[Json] = []
    for name, content, runs in zip(sheets.names, sheets.data["sheets"], laid_out.runs, strict=True):
        wanted = only.get(name)
        parts += [content] if wanted is None else _parts(content, runs, set(wanted))
    return [part | {"index": index} for index, part in enumerate(parts)]


def _parts(content: Json, runs: Sequence[_Run], wanted: set[int]) -> Iterator[Json]:
    """A sheet for each run of pages that is wanted; labels count theirs on their own."""
    chosen = [run for run in runs if wanted.intersection(run.numbers)]
    count = runs[-1].last if runs else 0
    if content["grid"] is not None:
        pages = [number - 1 for run in chosen for number in run.numbers]
        yield from [content | {"part": {"pages": pages}}] if pages else []
        return
    for run in chosen:
        yield content | {
            "part": {
                "from": run.first,
                "of": count,
                "above": run.first == 1,
                "pictures": run.pictures,
                "groups": _groups(content, run),
            },
            "pictures": [
                each if number in run.pictures else each | {"svg": ""}
                for number, each in enumerate(content["pictures"])
            ],
        }


def _groups(content: Json, run: _Run) -> list[Json]:
    found = (
        group | {"rows": [row for row in group["rows"] if row["#"] in run.rows]}
        for group in content["groups"]
    )
    return [group for group in found if group["rows"]]


def _told(content: Json, run: _Run) -> str:
    """A hash of all that pages say, without their head."""
    said = [content[each] for each in _FRAME]
    said += [content[each] for each in _ABOVE] if run.first == 1 else []
    said += [content["pictures"][number] for number in run.pictures]
    for group in _groups(content, run):
        rows = ({key: cell for key, cell in row.items() if key != "#"} for row in group["rows"])
        said += [group["label"], group["verdict"], *rows]
    written = json.dumps(said, ensure_ascii=False, sort_keys=True)
    return hashlib.sha256(written.encode()).hexdigest()[:_LENGTH]


# ---------------------------------------------------------------- what stands where


class _LaidOut:
    """Sheets as the typesetter lays them out. Only one at a time may be at work."""

    def __init__(self, data: Json) -> None:
        self._data = data
        with as_file(files("levelhead.paper") / "sheet.typ") as place:
            self._compiler = typst.Compiler(
                input=str(place),
                root=str(place.parent),
                font_paths=fonts(),
                ignore_system_fonts=True,
                sys_inputs={"data": json.dumps(data | {"places": True}, ensure_ascii=False)},
            )
            self._marks = json.loads(self._compiler.query("<places>", field="value", one=True))

    @cached_property
    def runs(self) -> list[list[_Run]]:
        """For each sheet the runs of its pages."""
        found: list[list[_Run]] = []
        for content in self._data["sheets"]:
            of_sheet = [mark for mark in self._marks if mark[1] == content["index"]]
            is_label = content["grid"] is not None
            found.append([*(_label_runs(content) if is_label else _runs(of_sheet))])
        return found

    def pdf(self, stamp: datetime) -> bytes:
        """The same pages as a PDF."""
        pdf = self._compiler.compile(format="pdf", pdf_standards=STANDARD, timestamp=stamp)
        return cast("bytes", pdf)


def _runs(marks: Iterable[tuple[str, int, int, int]]) -> Iterator[_Run]:
    found = [(kind, number, on) for kind, _, number, on in marks]
    begin = next(on for kind, _, on in found if kind == "begin")
    end = next(on for kind, _, on in found if kind == "end")
    rows = {
        number: [on for kind, row, on in found if (kind, row) == ("row", number)]
        for number in {row for kind, row, _ in found if kind == "row"}
    }
    joined = {on for pages in rows.values() for on in range(min(pages), max(pages))}
    first = begin
    for on in range(begin, end + 1):
        if on in joined:
            continue
        yield _Run(
            first - begin + 1,
            on - begin + 1,
            frozenset(row for row, pages in rows.items() if first <= min(pages) <= on),
            tuple(sorted({n for kind, n, at in found if kind == "picture" and first <= at <= on})),
        )
        first = on + 1


def _label_runs(content: Json) -> Iterator[_Run]:
    """Pages of labels: as many on each as the grid has."""
    many = content["grid"]["columns"] * content["grid"]["rows"]
    rows = [row["#"] for group in content["groups"] for row in group["rows"]]
    for number in range(max(1, -(-len(rows) // many))):
        on_it = frozenset(rows[number * many : (number + 1) * many])
        yield _Run(number + 1, number + 1, on_it, ())
