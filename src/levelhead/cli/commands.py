"""What each command does: one call into the library, and the text or JSON of its result.

A command returns what is to be printed and its exit status; only ``paper`` writes a file and only
``open`` serves.
"""

from __future__ import annotations

import json
import sys
from argparse import Namespace
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from levelhead.chain.best_ways import named_points, ways_through
from levelhead.cli.answer_report import answer_report
from levelhead.cli.check_report import check_report
from levelhead.cli.example_list import example_list
from levelhead.cli.explain_page import checked_family, explain_page, explanation
from levelhead.cli.gear_pages import gear_list, gear_page
from levelhead.cli.gear_search import of_kind, types_meant
from levelhead.cli.given import SET, pair, tried
from levelhead.cli.level_table import level_table
from levelhead.cli.levels_shown import draw_levels, points_along
from levelhead.cli.proposals_report import proposals_report
from levelhead.cli.weak_page import weak_page
from levelhead.errors import GearError, ShowError
from levelhead.gear.book import GearBook, load_book
from levelhead.planning.ask import Question, answer
from levelhead.planning.check import Check, check_show
from levelhead.planning.propose import propose_in_show
from levelhead.planning.trial import try_show
from levelhead.planning.weak_figures import weak_figures
from levelhead.quantity.parsing import parse_si
from levelhead.show.document import ShowDocument, load_show, parse_show
from levelhead.show.new_file import write_new
from levelhead.show.shipped import shipped_example, shipped_examples
from levelhead.verdicts.severity import Severity

__all__ = ["RUN", "Outcome"]

_STANDARD_INPUT: Final = "-"


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a command prints, and its exit status."""

    text: str
    status: int = 0


def _as_json(content: Any) -> str:
    return json.dumps(content, indent=2, ensure_ascii=False)


def _status(verdict: Severity) -> int:
    """1 when something fails or harms."""
    return int(verdict in {Severity.FAILS, Severity.HARM})


# ---------------------------------------------------------------- what was typed


def _book(arguments: Namespace) -> GearBook:
    """The gear book, with a folder of the user's own entries if one was named."""
    if arguments.gear is None:
        return load_book()
    folder = Path(arguments.gear)
    if not folder.is_dir():
        raise GearError(
            "is no folder",
            where=str(folder),
            expected="a folder with gear entries (*.yaml)",
            remedy="Check the path behind --gear.",
        )
    return load_book(folder)


def _document(path: str) -> ShowDocument:
    """The show of a file, or of standard input."""
    if path != _STANDARD_INPUT:
        return load_show(path)
    try:
        text = sys.stdin.buffer.read().decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise ShowError(
            f"byte {error.start + 1} is no UTF-8",
            where="standard input",
            expected="a show file in UTF-8",
            remedy="Save the show as UTF-8, or name the file itself.",
        ) from error
    return parse_show(text, "standard input")


def _checked(arguments: Namespace) -> Check:
    document = _document(arguments.show)
    return check_show(document.show, _book(arguments), document)


# ---------------------------------------------------------------- reports


def levels(arguments: Namespace) -> Outcome:
    """``levelhead levels SHOW``."""
    from levelhead.chain.solution import solve
    from levelhead.rig.build import build_rig

    given = tried(_document(arguments.show), arguments.set, arguments.figure)
    solution = solve(build_rig(given.show, _book(arguments), given.locator))
    ways = ways_through(solution, arguments.path)
    at = None if arguments.at is None else named_points(solution, arguments.at)
    if arguments.plot is not None:
        draw_levels(solution, arguments)
    if arguments.json:
        points = [each.to_json() for each in points_along(solution, ways, at)]
        return Outcome(_as_json({"points": points, "paths": [list(way) for way in ways]}))
    if arguments.plot is not None:
        return Outcome("")
    table = level_table(solution, points_along(solution, ways, at))
    return Outcome("\n".join([table, *given.lines()]))


def check(arguments: Namespace) -> Outcome:
    """``levelhead check SHOW``, or ``--explain CODE`` without one."""
    if arguments.explain is not None:
        return _explained(arguments.explain, as_json=arguments.json)
    if arguments.show is None:
        arguments.wrong_use("SHOW is missing; only --explain CODE needs none")
    only = None if arguments.only is None else checked_family(arguments.only)
    given = tried(_document(arguments.show), arguments.set, arguments.figure)
    result = check_show(given.show, _book(arguments), given.locator, only).only(only)
    if arguments.json:
        text = _as_json(result.to_json(include_fine=arguments.all))
    else:
        text = check_report(result, path=arguments.show, in_full=arguments.all, known=given.lines())
    return Outcome(text, _status(result.verdict))


def _explained(code: str, *, as_json: bool) -> Outcome:
    found = explanation(code)
    return Outcome(_as_json(found.to_json()) if as_json else explain_page(found))


def ask(arguments: Namespace) -> Outcome:
    """``levelhead ask FROM TO``, or ``levelhead ask FROM [TO] --show SHOW``."""
    if arguments.show is not None:
        return _asked_in_show(arguments)
    if arguments.to_text is None:
        arguments.wrong_use("TO is missing; only with --show SHOW it may be left out")
    question = Question(
        from_text=arguments.from_text,
        to_text=arguments.to_text,
        cable=arguments.cable,
        length_m=None if arguments.length is None else parse_si(arguments.length, "m"),
        at=arguments.at,
        settings=dict(pair(each, SET) for each in arguments.set),
    )
    result = answer(question, _book(arguments))
    if arguments.json:
        text = _as_json(result.to_json())
    else:
        text = answer_report(result, in_full=arguments.all)
    return Outcome(text, _status(result.verdict))


def _asked_in_show(arguments: Namespace) -> Outcome:
    given = [name for name in ("cable", "length", "at") if getattr(arguments, name) is not None]
    if given:
        arguments.wrong_use(f"--{given[0]} does not go with --show, which finds it out")
    known = tried(_document(arguments.show), arguments.set, [])
    trial = try_show(known.show, _book(arguments), known.locator)
    result = propose_in_show(trial, arguments.from_text, arguments.to_text)
    if arguments.json:
        text = _as_json(result.to_json())
    else:
        text = proposals_report(result, trial.show, in_full=arguments.all)
    return Outcome(text, _status(result.verdict))


def gains(arguments: Namespace) -> Outcome:
    """``levelhead gains SHOW``."""
    from levelhead.cli.gains_command import print_plan

    return Outcome(*print_plan(_document(arguments.show), _book(arguments), arguments))


def seats(arguments: Namespace) -> Outcome:
    """``levelhead seats SHOW``."""
    from levelhead.cli.air_commands import print_seats

    return Outcome(*print_seats(_document(arguments.show), _book(arguments), arguments))


def feedback(arguments: Namespace) -> Outcome:
    """``levelhead feedback SHOW``."""
    from levelhead.cli.air_commands import print_feedback

    return Outcome(*print_feedback(_document(arguments.show), _book(arguments), arguments))


def gear(arguments: Namespace) -> Outcome:
    """``levelhead gear [TYPE]``."""
    book = _book(arguments)
    if arguments.weak is not None:
        return _weak(book, arguments)
    if arguments.type is not None:
        type_id = arguments.type
        found = book.entry(type_id).model_dump(mode="json", by_alias=True, exclude_none=True)
        return Outcome(
            _as_json({"id": type_id, **found}) if arguments.json else gear_page(book, type_id)
        )
    ids = of_kind(book, types_meant(book, arguments.search), arguments.kind)
    if arguments.json:
        rows = ((each, book.entry(each)) for each in ids)
        return Outcome(
            _as_json([{"id": each, "label": row.label, "kind": row.kind} for each, row in rows])
        )
    return Outcome(gear_list(book, ids))


def _weak(book: GearBook, arguments: Namespace) -> Outcome:
    """``levelhead gear --weak [SHOW]``: over the shipped examples and the shows that are named."""
    documents = [
        *(each.document for each in shipped_examples()),
        *(_document(path) for path in arguments.weak),
    ]
    trials = [try_show(document.show, book, document) for document in documents]
    weak = weak_figures(trials)
    if arguments.json:
        return Outcome(_as_json([each.to_json() for each in weak]))
    return Outcome(weak_page(weak, [trial.show.name for trial in trials]))


def example(arguments: Namespace) -> Outcome:
    """``levelhead example``, ``levelhead example NAME``, ``levelhead example NAME -o FILE``."""
    if arguments.name is None:
        if arguments.output is not None:
            arguments.wrong_use("NAME is missing; which example shall be written?")
        return Outcome(example_list(shipped_examples()))
    one = shipped_example(arguments.name)
    if arguments.output is None:
        return Outcome(one.text.rstrip("\n"))
    write_new(Path(arguments.output), one.text)
    print(
        f"{arguments.output}: {one.title}; now: levelhead check {arguments.output}", file=sys.stderr
    )
    return Outcome("")


# ---------------------------------------------------------------- paper and page


def paper(arguments: Namespace) -> Outcome:
    """``levelhead paper SHOW -o FILE``, or with ``--is-current FINGERPRINT``."""
    from levelhead.cli.paper_command import is_current, print_sheets

    document = _document(arguments.show)
    if arguments.is_current is not None:
        held = is_current(document, arguments.is_current)
        text = _as_json(held.to_json()) if arguments.json else held.text()
        return Outcome(text, held.status)
    if arguments.json:
        arguments.wrong_use("--json goes with --is-current; sheets are PDF, XLSX or HTML")
    if arguments.output is None:
        arguments.wrong_use("-o FILE is missing; only --is-current needs none")
    said = print_sheets(document, _book(arguments), arguments)
    print(said, file=sys.stderr)
    return Outcome("")


def diff(arguments: Namespace) -> Outcome:
    """``levelhead diff OLD NEW``."""
    from levelhead.cli.diff_command import DIFFERS, SAME, diff_json, diff_report
    from levelhead.planning.trial import try_show

    book = _book(arguments)
    documents = (_document(arguments.old), _document(arguments.new))
    old, new = (try_show(each.show, book, each) for each in documents)
    if arguments.json:
        data = diff_json(old, new)
        return Outcome(_as_json(data), DIFFERS if data["changes"] else SAME)
    return Outcome(*diff_report(old, new))


def draw(arguments: Namespace) -> Outcome:
    """``levelhead draw SHOW -o FILE.svg``."""
    from levelhead.cli.draw_command import draw_flow
    from levelhead.planning.trial import try_show

    document = _document(arguments.show)
    trial = try_show(document.show, _book(arguments), document)
    print(draw_flow(trial, arguments), file=sys.stderr)
    return Outcome("")


def import_(arguments: Namespace) -> Outcome:
    """``levelhead import FILE``."""
    from levelhead.cli.import_command import import_list

    result = import_list(arguments, _book(arguments))
    return Outcome(result.text, result.status)


def open_page(arguments: Namespace) -> Outcome:
    """``levelhead open [SHOW]``."""
    from levelhead.cli.open_command import open_app

    open_app(_book(arguments), arguments)
    return Outcome("")


RUN: Final[Mapping[str, Callable[[Namespace], Outcome]]] = {
    "levels": levels,
    "check": check,
    "ask": ask,
    "gains": gains,
    "seats": seats,
    "feedback": feedback,
    "gear": gear,
    "example": example,
    "paper": paper,
    "diff": diff,
    "draw": draw,
    "import": import_,
    "open": open_page,
}
