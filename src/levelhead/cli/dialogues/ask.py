"""At a terminal: which gear is meant, where words fit several kinds alike.

Questions go to standard error, so that standard output holds the answer alone.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from levelhead.cli.reports.columns import paragraph
from levelhead.gear.book import GearBook
from levelhead.planning.asked.little_rig import Question
from levelhead.planning.asked.reading import read_question
from levelhead.planning.typed.candidates import Candidate
from levelhead.planning.typed.pairing import ALIKE

__all__ = ["is_at_a_terminal", "with_choices"]

_MOST: Final = 6


def is_at_a_terminal() -> bool:
    """Whether somebody is there who can answer."""
    return sys.stdin.isatty() and sys.stdout.isatty()


def with_choices(question: Question, book: GearBook) -> Question:
    """The question with the gear that somebody chose; nothing typed leaves the first.

    Asked is only between kinds of gear that the words fit alike, never between sockets of one.
    """
    read = read_question(book, question)
    return replace(
        question,
        from_address=_chosen(question.from_text, _kinds(read.first)),
        to_address=_chosen(question.to_text, _kinds(read.second)),
    )


def _kinds(found: Sequence[Candidate]) -> list[Candidate]:
    """The first socket of each type that the words fit as well as the first one."""
    kinds: dict[str, Candidate] = {}
    for each in found:
        if each.score > found[0].score - ALIKE:
            kinds.setdefault(each.type_id, each)
    return list(kinds.values())[:_MOST]


def _chosen(text: str, kinds: Sequence[Candidate]) -> str | None:
    """The address of the one that was chosen; ``None`` where there is nothing to choose."""
    if len(kinds) < 2:  # noqa: PLR2004 - a choice
        return None
    _say(f"'{text}' may be:")
    for number, each in enumerate(kinds, start=1):
        _say(f"  {number}  {each.label}")
    while True:
        sys.stderr.write("A number, or nothing for the first: ")
        sys.stderr.flush()
        typed = sys.stdin.readline()
        if not typed.strip():  # nothing, or the end of the input
            return kinds[0].address
        if typed.strip().isdigit() and 1 <= int(typed) <= len(kinds):
            return kinds[int(typed) - 1].address
        _say(f"There is no {typed.strip()[:20]}; expected a number from 1 to {len(kinds)}.")


def _say(text: str) -> None:
    sys.stderr.write("\n".join(paragraph(text, first="", rest="     ")) + "\n")
