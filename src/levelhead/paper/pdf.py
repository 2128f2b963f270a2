"""Sheets as a PDF: one template, large type, black on white, the same bytes on every machine."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from datetime import datetime
from functools import cache
from importlib.resources import files
from threading import Lock
from typing import Any, Final, cast

import typst

from levelhead.errors import PaperError
from levelhead.exchange import Sheet
from levelhead.paper.content import Page, stamp_of, template_data
from levelhead.paper.fonts import font_folder

STANDARD: Final = "ua-1"  # ISO 14289-1, tagged: a screen reader finds title, heads and cells
ONE_AT_A_TIME: Final = Lock()  # a compiler refuses a second thread


def sheets_to_pdf(sheets: Sequence[Sheet], *, page: Page = "a4") -> bytes:
    """Print sheets one after the other, each with pages counted from 1.

    Parameters
    ----------
    sheets : sequence of Sheet
        At least one.
    page : "a4" or "letter"
        Size of the paper; wide sheets lie on its long side.

    Returns
    -------
    bytes
        A tagged PDF (PDF/UA-1) with its fonts inside; equal sheets give equal bytes.

    Raises
    ------
    PaperError
        No sheet, an unknown paper size, or the typesetter refuses.
    """
    return typeset(template_data(sheets, page), stamp=stamp_of(sheets[0].head))


def sheets_to_pictures(
    sheets: Sequence[Sheet], *, page: Page = "a4", ppi: float = 144.0
) -> list[bytes]:
    """The same pages as PNG, one a page; arguments and errors as of :func:`sheets_to_pdf`.

    Parameters
    ----------
    ppi : float
        Pixels an inch.
    """
    content = json.dumps(template_data(sheets, page), ensure_ascii=False)
    with ONE_AT_A_TIME:
        pages = compiler().compile(
            input=template(), format="png", ppi=ppi, sys_inputs={"data": content}
        )
    return [pages] if isinstance(pages, bytes) else list(pages or ())


def typeset(data: Mapping[str, Any], *, stamp: datetime) -> bytes:
    """Run the template over its data.

    Raises
    ------
    PaperError
        The typesetter refuses.
    """
    try:
        with ONE_AT_A_TIME:
            pdf = compiler().compile(
                input=template(),
                format="pdf",
                sys_inputs={"data": json.dumps(data, ensure_ascii=False)},
                pdf_standards=STANDARD,
                timestamp=stamp,
            )
    except typst.TypstError as error:
        raise PaperError(
            f"the page cannot be set: {error.message}",
            where="printing",
            expected="sheets that the template can lay out",
            remedy="Print the sheets one by one to find the one in the way, and report it.",
        ) from error
    return cast("bytes", pdf)  # only pictures come as a list of pages


@cache
def template() -> bytes:
    """The one template, as it is shipped."""
    return (files("levelhead.paper") / "sheet.typ").read_bytes()


@cache
def compiler() -> typst.Compiler:
    """Fonts are read once, and none but ours, so that every machine prints the same."""
    return typst.Compiler(font_paths=fonts(), ignore_system_fonts=True)


@cache
def fonts() -> typst.Fonts:
    """The typeface of paper."""
    return typst.Fonts(
        include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(font_folder())]
    )
