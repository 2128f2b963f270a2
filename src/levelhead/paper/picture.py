"""A drawing as PNG, for programs and messengers that show no SVG."""

from __future__ import annotations

from typing import Final, cast

import typst

from levelhead.errors import PaperError
from levelhead.paper.pdf import ONE_AT_A_TIME, compiler

__all__ = ["svg_to_png"]

_PAGE: Final = b"""
#set page(width: auto, height: auto, margin: 0pt)
#image(bytes(sys.inputs.drawing), format: "svg")
"""


def svg_to_png(drawing: str, *, ppi: float = 144.0) -> bytes:
    """A drawing as PNG with the typeface of our sheets, the same bytes on every machine.

    Parameters
    ----------
    drawing : str
        SVG without variables in its style sheet (drawings ``on_paper``).
    ppi : float
        Pixels an inch; a drawing has 72 units an inch.

    Raises
    ------
    PaperError
        The drawing cannot be read.
    """
    try:
        with ONE_AT_A_TIME:
            png = compiler().compile(
                input=_PAGE, format="png", ppi=ppi, sys_inputs={"drawing": drawing}
            )
    except typst.TypstError as error:
        raise PaperError(
            f"the drawing cannot be set: {error.message}",
            where="picture",
            expected="SVG",
            remedy="Write it as SVG and report it.",
        ) from error
    return cast("bytes", png)  # one page
