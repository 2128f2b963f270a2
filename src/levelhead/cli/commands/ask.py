"""``levelhead ask FROM TO``, or ``levelhead ask FROM [TO] --show SHOW``."""

from __future__ import annotations

from argparse import Namespace
from typing import Final

from levelhead.cli.dialogues.ask import is_at_a_terminal, with_choices
from levelhead.cli.given import SET, pair, tried
from levelhead.cli.reports.answer import answer_report
from levelhead.cli.typed import Outcome, as_json, book_of, document_of, status_of
from levelhead.planning.asked.answer import Question, answer
from levelhead.planning.trial import try_show
from levelhead.quantity.parsing import parse_si

__all__ = ["ask"]

_INTO: Final = ("into", "onto", "to", "->")  # the clearest first: "direct to tape into desk"


def ask(arguments: Namespace) -> Outcome:
    """The answer to one question."""
    if arguments.show is not None:
        return _asked_in_show(arguments)
    if arguments.to_text is None:
        arguments.from_text, arguments.to_text = _in_two(arguments)
    question = Question(
        from_text=arguments.from_text,
        to_text=arguments.to_text,
        cable=arguments.cable,
        length_m=None if arguments.length is None else parse_si(arguments.length, "m"),
        at=arguments.at,
        settings=dict(pair(each, SET) for each in arguments.set),
    )
    book = book_of(arguments)
    if not arguments.json and is_at_a_terminal():
        question = with_choices(question, book)
    result = answer(question, book)
    if arguments.json:
        text = as_json(result.to_json())
    else:
        text = answer_report(result, in_full=arguments.all)
    return Outcome(text, status_of(result.verdict))


def _in_two(arguments: Namespace) -> tuple[str, str]:
    """Both halves of a question in one: ``keyboard into desk mic input``."""
    for word in _INTO:
        before, found, after = arguments.from_text.partition(f" {word} ")
        if found and before.strip() and after.strip():
            return before.strip(), after.strip()
    arguments.wrong_use(
        "TO is missing; write two texts, or one with 'into' between them. Only with --show SHOW "
        "it may be left out"
    )
    raise AssertionError  # wrong use ends the program


def _asked_in_show(arguments: Namespace) -> Outcome:
    """How something joins a show, with that show's gear and stock."""
    from levelhead.cli.reports.proposals import proposals_report
    from levelhead.planning.proposal.propose import propose_in_show

    given = [name for name in ("cable", "length", "at") if getattr(arguments, name) is not None]
    if given:
        arguments.wrong_use(f"--{given[0]} does not go with --show, which finds it out")
    first, found, second = arguments.from_text.partition(" into ")
    if arguments.to_text is None and found and first.strip() and second.strip():
        arguments.from_text, arguments.to_text = first.strip(), second.strip()
    known = tried(document_of(arguments.show), arguments.set, [])
    trial = try_show(known.show, book_of(arguments), known.locator)
    result = propose_in_show(trial, arguments.from_text, arguments.to_text)
    if arguments.json:
        text = as_json(result.to_json())
    else:
        text = proposals_report(result, trial.show, in_full=arguments.all)
    return Outcome(text, status_of(result.verdict))
