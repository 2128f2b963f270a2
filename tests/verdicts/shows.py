"""Shows as people type them, judged with the shipped gear book."""

from __future__ import annotations

from textwrap import dedent

from levelhead.gear.book import load_book
from levelhead.planning.trial import Trial, try_show
from levelhead.show.document import parse_show
from levelhead.verdicts.judge import Judgement
from levelhead.verdicts.told.finding import Finding

__all__ = ["judged_text", "tried_text", "worst_of"]


def tried_text(text: str) -> Trial:
    """The body of a show file, solved and judged."""
    head = "levelhead: 1\nshow: {name: test}\n"
    return try_show(parse_show(head + dedent(text), "test.yaml").show, load_book())


def judged_text(text: str) -> Judgement:
    """Its verdicts."""
    return tried_text(text).judgement


def worst_of(text: str, code: str) -> Finding | None:
    """The worst finding of a code in a show."""
    found = (each for each in judged_text(text).findings if each.code == code)
    return next(found, None)
