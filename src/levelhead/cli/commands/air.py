"""``levelhead seats`` and ``levelhead feedback``."""

from __future__ import annotations

import json
import sys
from argparse import Namespace
from pathlib import Path
from typing import Any, Final

from levelhead.acoustics.heard.heard import Heard, heard_by
from levelhead.acoustics.rings.handbook import handbook_of
from levelhead.acoustics.rings.rings_of import ringing_of
from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.cli.given import tried
from levelhead.cli.reports.feedback import feedback_report
from levelhead.cli.reports.seats import seats_report
from levelhead.errors import PaperError
from levelhead.gear.book import GearBook
from levelhead.planning.air.ring_moves import ring_moves
from levelhead.rig.build import build_rig
from levelhead.show.document import ShowDocument
from levelhead.show.model import Show

__all__ = ["print_feedback", "print_seats"]

_PICTURES: Final = (".svg", ".png")


def print_seats(document: ShowDocument, book: GearBook, arguments: Namespace) -> tuple[str, int]:
    """Text or JSON of the seats, and 1 where something stands in the way of an answer."""
    solution, known = _solved(document, book, arguments)
    heard = heard_by(solution)
    if arguments.map is not None:
        _draw_map(heard, solution.rig.show, arguments)
        if not arguments.json:
            return "", int(heard.fails)
    if arguments.json:
        return _as_json(heard.to_json()), int(heard.fails)
    text = seats_report(heard, solution.rig.show.name)
    return "\n".join([text, *known]), int(heard.fails)


def _draw_map(heard: Heard, show: Show, arguments: Namespace) -> None:
    """Write the seats map, and say so.

    Raises
    ------
    PaperError
        A name that is no picture, a place that cannot be written, or nobody to draw.
    """
    from levelhead.api import write_whole
    from levelhead.drawing.seats.seat_map import seat_map_svg

    place = Path(arguments.map)
    kind = place.suffix.lower()
    if kind not in _PICTURES or not heard.areas:
        raise PaperError(
            "is no name for a picture" if heard.areas else "has no seats to show",
            where=str(place),
            expected=f"a name that ends in {' or '.join(_PICTURES)}, and areas that are heard",
            remedy="Write for example seats.svg; the seats command says what stands in the way.",
        )
    drawing = seat_map_svg(heard, show, quantity=arguments.map_of, on_paper=kind == ".png")
    content = drawing.encode()
    if kind == ".png":
        from levelhead.paper.picture import svg_to_png

        content = svg_to_png(drawing)
    write_whole(place, content, remedy="Name another file with --map.")
    print(f"{place}: seats of {show.name}", file=sys.stderr)


def print_feedback(document: ShowDocument, book: GearBook, arguments: Namespace) -> tuple[str, int]:
    """Text or JSON of the loop, and 1 where it rings as it stands in more rooms than not."""
    solution, known = _solved(document, book, arguments)
    ringing = ringing_of(solution)
    moves = ring_moves(solution, ringing)
    margin = ringing.margin
    rings = (margin is not None and margin.median_db < 0) or any(
        each.severity == "fails" for each in ringing.remarks
    )
    if arguments.json:
        handbook = handbook_of(ringing)
        content = ringing.to_json() | {
            "moves": [each.to_json() for each in moves],
            "handbook": None if handbook is None else handbook.to_json(),
        }
        return _as_json(content), int(rings)
    text = feedback_report(ringing, moves, solution.rig.show.name)
    return "\n".join([text, *known]), int(rings)


def _solved(
    document: ShowDocument, book: GearBook, arguments: Namespace
) -> tuple[Solution, list[str]]:
    """The show solved with what was typed besides, and lines that say what that was."""
    given = tried(document, arguments.set, arguments.figure)
    return solve(build_rig(given.show, book, given.locator)), list(given.lines())


def _as_json(content: Any) -> str:
    return json.dumps(content, indent=2, ensure_ascii=False)
