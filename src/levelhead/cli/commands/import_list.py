"""``levelhead import``: a list read, asked about where there is a terminal, and written."""

from __future__ import annotations

import json
import sys
from argparse import Namespace
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from levelhead.cli.dialogues.import_list import asked, shall_be_written
from levelhead.cli.given import pair
from levelhead.cli.reports.columns import entry
from levelhead.cli.reports.import_list import import_report
from levelhead.cli.typed import STANDARD_INPUT
from levelhead.errors import ListError
from levelhead.exchange.lists.gains import planned_gains
from levelhead.exchange.lists.merging import ListPlan, plan_list, show_name
from levelhead.exchange.lists.model import Question
from levelhead.exchange.lists.reading import ReadList, read_list
from levelhead.exchange.lists.tables import LARGEST_FILE
from levelhead.gear.book import GearBook
from levelhead.show.document import ShowDocument, load_show, new_document, save_show
from levelhead.show.edit_json import edit_to_json
from levelhead.show.edits import Edit, apply
from levelhead.show.model import Show
from levelhead.show.wording import sentence

__all__ = ["Imported", "import_list"]

_ANSWER: Final = "--answer"


@dataclass(frozen=True, slots=True)
class Imported:
    """What is printed, and the exit status: 1 when something must be asked."""

    text: str
    status: int


def import_list(arguments: Namespace, book: GearBook) -> Imported:
    """Read, ask, tell, and write what was asked for."""
    answers = dict(pair(each, _ANSWER) for each in arguments.answer)
    document = None if arguments.into is None else load_show(arguments.into)
    show = None if document is None else document.show
    content, name = _content(arguments.file)
    read = read_list(content, name=name, answers=answers, book=book)
    is_asking = _is_terminal() and not (arguments.yes or arguments.json)
    is_asking = is_asking and arguments.file != STANDARD_INPUT
    read, plan = asked(read, show, book) if is_asking else (read, plan_list(read, show, book=book))
    if plan.is_own:
        read = read.only(plan.new)
    edits = plan.edits
    if arguments.output is not None and plan.edits:
        edits = (*edits, *planned_gains(show or Show(show_name(read)), edits, book))
    questions = (*read.questions, *plan.questions)
    status = int(bool(questions) or any(each.why == "not understood" for each in read.skipped))
    changes = [] if show is None else _sentences(edits, show)
    report = import_report(read, plan, changes)
    if is_asking and arguments.output is not None:
        print(report)  # a preview: what was understood stands there before somebody says yes
        report = ""
    written = arguments.output is not None and (not is_asking or shall_be_written(arguments.output))
    if written:
        _write(arguments, document, read, edits)
    if arguments.json:
        return Imported(_as_json(read, plan, edits), status)
    next_ = entry("Next", _next(arguments, questions, written=written))
    return Imported("\n".join([*([report] if report else []), "", *next_]), status)


def _content(path: str) -> tuple[bytes, str]:
    if path == STANDARD_INPUT:
        return sys.stdin.buffer.read(LARGEST_FILE + 1), "standard input"
    try:
        with Path(path).open("rb") as file:
            return file.read(LARGEST_FILE + 1), path
    except OSError as error:
        raise ListError(
            f"cannot be read: {error.strerror or error}",
            where=path,
            expected="a workbook (XLSX), CSV or text",
            remedy="Check the name, the folder and the rights to it.",
        ) from None


def _is_terminal() -> bool:
    return sys.stdin.isatty() and sys.stdout.isatty()


def _write(
    arguments: Namespace, document: ShowDocument | None, read: ReadList, edits: tuple[Edit, ...]
) -> None:
    """Save the show: a new one, or the one that the list changes."""
    if document is None:
        show = apply(Show(show_name(read)), edits)[0]
        save_show(new_document(show, arguments.output), arguments.output, replace=arguments.yes)
    else:
        changed = document.with_show(apply(document.show, edits)[0])
        save_show(changed, arguments.output, replace=arguments.yes)


def _sentences(edits: tuple[Edit, ...], show: Show) -> list[str]:
    """The edits for people, each told of the show that it changes."""
    told = []
    for edit in edits:
        told.append(f"{sentence(edit, show).rstrip('.')}.")
        show = apply(show, [edit])[0]
    return told or ["Nothing."]


def _next(arguments: Namespace, questions: tuple[Question, ...], *, written: bool) -> str:
    if questions:
        first = "Answer what stands behind Ask, with --answer or at a terminal"
        return f"{first}; the rest is in {arguments.output}." if written else f"{first}."
    if written:
        return f"levelhead check {arguments.output}"
    into = f" --into {arguments.into}" if arguments.into else ""
    return f"Write it with: levelhead import {arguments.file}{into} -o SHOW.yaml"


def _as_json(read: ReadList, plan: ListPlan, edits: tuple[Edit, ...]) -> str:
    content = {
        **read.to_json(),
        "questions": [each.to_json() for each in (*read.questions, *plan.questions)],
        "notes": [*read.notes, *plan.notes],
        "guesses": [
            {"about": each.about, "taken": each.taken, "words": each.words, "why": each.why}
            for each in plan.guesses
        ],
        "edits": [edit_to_json(edit) for edit in edits],
    }
    return json.dumps(content, indent=2, ensure_ascii=False)
