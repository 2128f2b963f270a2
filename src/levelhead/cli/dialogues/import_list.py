"""A list at a terminal: questions one after another, then whether the show shall be written.

Questions go to standard error, so that standard output holds the report alone.
"""

from __future__ import annotations

import sys
from typing import Final

from levelhead.cli.reports.columns import paragraph
from levelhead.cli.reports.import_list import choice_lines
from levelhead.errors import ListError
from levelhead.exchange.lists.merging import ListPlan, plan_list
from levelhead.exchange.lists.model import Question
from levelhead.exchange.lists.reading import ReadList
from levelhead.gear.book import GearBook
from levelhead.show.model import Show

__all__ = ["asked", "shall_be_written"]

_PROMPT: Final = "A number, a word of the trade, or nothing to leave it open: "


def asked(read: ReadList, show: Show | None, book: GearBook) -> tuple[ReadList, ListPlan]:
    """Ask until nothing is open but what somebody left open; answers may bring up new questions.

    An answer that means nothing is told at once and asked for again; those before it stand. The end
    of the input (Ctrl+D) leaves the rest open.
    """
    passed: set[str] = set()
    plan = plan_list(read, show, book=book)
    while (question := _next(read, plan, passed)) is not None:
        answer = _answer(question)
        if answer is None:
            break
        if not answer:
            passed.add(question.key)
            continue
        try:
            tried = read.answered({question.key: answer})
            plan = plan_list(tried, show, book=book)
        except ListError as error:
            _say(f"{error.what}; expected {error.expected}. {error.remedy}")
            continue
        read = tried
        passed.add(question.key)  # asked once: what still lacks is told in the report
    return read, plan


def _next(read: ReadList, plan: ListPlan, passed: set[str]) -> Question | None:
    shown = read.only(plan.new) if plan.is_own else read
    waiting = (each for each in (*shown.questions, *plan.questions) if each.key not in passed)
    return next(waiting, None)


def _answer(question: Question) -> str | None:
    """What was typed, a number as the choice that it stands before; ``None`` at the end."""
    _say(f"{question.ask} ({', '.join(question.where)})")
    for number, line in enumerate(choice_lines(question), start=1):
        _say(line, first=f"  {number} ", rest="      ")
    typed = _typed(_PROMPT)
    if typed is not None and typed.isdigit() and 0 < int(typed) <= len(question.choices):
        return question.choices[int(typed) - 1].answer
    return typed


def shall_be_written(place: str) -> bool:
    """Whether somebody says yes; the end of the input is no."""
    typed = _typed(f"Write {place}? [Y/n] ")
    return typed is not None and typed.lower() not in {"n", "no"}


def _typed(prompt: str) -> str | None:
    print(prompt, end="", file=sys.stderr, flush=True)
    line = sys.stdin.readline()
    if not line.endswith("\n"):
        print(file=sys.stderr)  # Ctrl+D leaves the cursor behind the question
    return line.strip() if line else None


def _say(text: str, *, first: str = "", rest: str = "") -> None:
    print("\n".join(paragraph(text, first=first, rest=rest)), file=sys.stderr)
