"""``levelhead seats`` and ``levelhead feedback``."""

from __future__ import annotations

import json
from argparse import Namespace
from typing import Any

from levelhead.acoustics.heard import heard_by
from levelhead.acoustics.rings_of import ringing_of
from levelhead.chain.solution import Solution, solve
from levelhead.cli.feedback_report import feedback_report
from levelhead.cli.given import tried
from levelhead.cli.seats_report import seats_report
from levelhead.gear.book import GearBook
from levelhead.planning.ring_moves import ring_moves
from levelhead.rig.build import build_rig
from levelhead.show.document import ShowDocument

__all__ = ["print_feedback", "print_seats"]


def print_seats(document: ShowDocument, book: GearBook, arguments: Namespace) -> tuple[str, int]:
    """Text or JSON of the seats, and 1 where something stands in the way of an answer."""
    solution, known = _solved(document, book, arguments)
    heard = heard_by(solution)
    if arguments.json:
        return _as_json(heard.to_json()), int(heard.fails)
    text = seats_report(heard, solution.rig.show.name)
    return "\n".join([text, *known]), int(heard.fails)


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
        content = ringing.to_json() | {"moves": [each.to_json() for each in moves]}
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
