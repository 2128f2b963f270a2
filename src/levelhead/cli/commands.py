"""What each command does: one call into the library, and what it prints."""

from __future__ import annotations

import json
import os
import sys
import tempfile
from argparse import Namespace
from pathlib import Path
from typing import Any

from levelhead.cli import text
from levelhead.errors import AskError, PaperError
from levelhead.gear.book import GearBook, load_book
from levelhead.planning.ask import Question, answer
from levelhead.planning.check import Check, check_show
from levelhead.planning.names import find_candidates
from levelhead.quantity.parsing import parse_si
from levelhead.verdicts.finding import Severity

__all__ = ["ask", "check", "gear", "levels", "open", "paper"]


def _print_json(content: Any) -> None:
    print(json.dumps(content, indent=2, ensure_ascii=False))


def _status(verdict: Severity) -> int:
    return int(verdict in {Severity.FAILS, Severity.HARM})


def _book(arguments: Namespace) -> GearBook:
    folder = getattr(arguments, "gear", None)
    return load_book(None if folder is None else Path(folder))


def _checked(arguments: Namespace) -> Check:
    from levelhead.show.document import load_show, parse_show

    if arguments.show == "-":
        document = parse_show(sys.stdin.read(), "standard input")
    else:
        document = load_show(arguments.show)
    return check_show(document.show, _book(arguments), document)


def levels(arguments: Namespace) -> int:
    """``levelhead levels SHOW``."""
    from levelhead.chain.solution import solve
    from levelhead.rig.build import build_rig
    from levelhead.show.document import load_show, parse_show

    if arguments.show == "-":
        document = parse_show(sys.stdin.read(), "standard input")
    else:
        document = load_show(arguments.show)
    solution = solve(build_rig(document.show, _book(arguments), document))
    start = arguments.at or ""
    points = [point for point in solution.live_points() if point.at.startswith(start)]
    if arguments.json:
        _print_json(
            {"points": [point.to_json() for point in points], "paths": [list(path) for path in solution.paths]}
        )  # fmt: skip
    else:
        print(text.levels_table(solution, points))
    return 0


def check(arguments: Namespace) -> int:
    """``levelhead check SHOW``."""
    result = _checked(arguments)
    if arguments.json:
        _print_json(result.to_json(include_fine=arguments.all))
    else:
        print(text.check_report(result, include_fine=arguments.all))
    return _status(result.verdict)


def ask(arguments: Namespace) -> int:
    """``levelhead ask FROM TO``."""
    question = Question(
        from_text=arguments.from_text,
        to_text=arguments.to_text,
        cable=arguments.cable,
        length_m=None if arguments.length is None else parse_si(arguments.length, "m"),
        at=arguments.at,
        settings=dict(_setting(each) for each in arguments.set),
    )
    result = answer(question, load_book())
    if arguments.json:
        _print_json(result.to_json())
    else:
        print(text.answer_report(result, include_fine=arguments.all))
    return _status(result.verdict)


def _setting(typed: str) -> tuple[str, str]:
    control, equals, value = typed.partition("=")
    if not equals:
        raise AskError(
            f"'{typed}' sets nothing",
            where="--set",
            expected="CONTROL=VALUE",
            remedy="Write for example --set laptop.volume='-12 dB'.",
        )
    return control.strip(), value.strip()


def gear(arguments: Namespace) -> int:
    """``levelhead gear [TYPE]``."""
    book = _book(arguments)
    if arguments.type is not None:
        entry = book.entry(arguments.type)
        if arguments.json:
            _print_json({"id": arguments.type, **entry.model_dump(mode="json", by_alias=True, exclude_none=True)})  # fmt: skip
        else:
            print(text.gear_entry(book, arguments.type))
        return 0
    ids = _listed(book, arguments)
    if arguments.json:
        _print_json([{"id": each, "label": book.entry(each).label, "kind": book.entry(each).kind} for each in ids])  # fmt: skip
    else:
        print(text.gear_list(book, ids))
    return 0


def _listed(book: GearBook, arguments: Namespace) -> list[str]:
    ids = [each for each in book.ids if arguments.kind in (None, book.entry(each).kind)]
    if arguments.search is None:
        return ids
    both = [*find_candidates(book, arguments.search, "from"), *find_candidates(book, arguments.search, "to")]  # fmt: skip
    both.sort(key=lambda each: -each.score)
    found = list(dict.fromkeys(each.type_id for each in both))
    words = arguments.search.lower().split()
    named = [each for each in ids if all(word in f"{each} {book.entry(each).label}".lower() for word in words)]  # fmt: skip
    return [each for each in dict.fromkeys([*named, *found]) if each in ids]


def paper(arguments: Namespace) -> int:
    """``levelhead paper SHOW -o FILE``."""
    from levelhead.exchange.input_list import input_list
    from levelhead.paper.pdf import sheets_to_pdf

    result = _checked(arguments)
    _write_whole(Path(arguments.output), sheets_to_pdf([input_list(result)], page=arguments.page))
    print(f"{arguments.output}: input list", file=sys.stderr)
    return 0


def _write_whole(path: Path, content: bytes) -> None:
    """Write beside and rename, so that no half a file is ever there."""
    try:
        with tempfile.NamedTemporaryFile(dir=path.parent, delete=False) as beside:
            beside.write(content)
            beside.flush()
            os.fsync(beside.fileno())
        Path(beside.name).chmod(0o644)
        Path(beside.name).replace(path)
    except OSError as error:
        raise PaperError(
            f"cannot be written: {error.strerror}",
            where=str(path),
            expected="a file in a folder that can be written",
            remedy="Name another place with -o.",
        ) from error


def open(arguments: Namespace) -> int:  # noqa: A001 - the command's own name
    """``levelhead open [SHOW]``."""
    from levelhead.web.app import create_app
    from levelhead.web.serve import address_of, listen, run

    listener = listen(arguments.port)
    print(f"levelhead answers at {address_of(listener)} (Ctrl+C ends it)", file=sys.stderr)
    run(create_app(_Asker()), listener, open_browser=not arguments.no_browser)
    return 0


class _Asker:
    """The library as the page knows it."""

    def __init__(self) -> None:
        self.book = load_book()

    def find_candidates(self, words: str, side: str) -> Any:
        return find_candidates(self.book, words, "to" if side == "to" else "from")

    def answer(self, request: dict[str, Any]) -> dict[str, Any]:
        question = Question(
            from_text=request["from"],
            to_text=request["to"],
            cable=request.get("cable"),
            length_m=request.get("length_m"),
            at=request.get("at"),
            settings=request.get("settings") or {},
        )
        return answer(question, self.book).to_json()
