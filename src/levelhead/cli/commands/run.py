"""What each command does: one call into the library, and the text or JSON of its result.

A command returns what is to be printed and its exit status, and imports what it needs only when it
runs. ``paper`` and ``draw`` write files, ``open`` serves.
"""

from __future__ import annotations

import sys
from argparse import Namespace
from collections.abc import Callable, Mapping
from typing import Final

from levelhead.cli.typed import Outcome, as_json, book_of, document_of

__all__ = ["RUN", "Outcome"]


def levels(arguments: Namespace) -> Outcome:
    """``levelhead levels SHOW``."""
    from levelhead.cli.commands.levels import levels as run

    return run(arguments)


def check(arguments: Namespace) -> Outcome:
    """``levelhead check SHOW``."""
    from levelhead.cli.commands.check import check as run

    return run(arguments)


def ask(arguments: Namespace) -> Outcome:
    """``levelhead ask FROM TO``."""
    from levelhead.cli.commands.ask import ask as run

    return run(arguments)


def gains(arguments: Namespace) -> Outcome:
    """``levelhead gains SHOW``."""
    from levelhead.cli.commands.gains import print_plan

    return Outcome(*print_plan(document_of(arguments.show), book_of(arguments), arguments))


def walk(arguments: Namespace) -> Outcome:
    """``levelhead walk SHOW CHANNEL``."""
    from levelhead.cli.commands.walk import print_walk
    from levelhead.planning.trial import try_show

    document = document_of(arguments.show)
    trial = try_show(document.show, book_of(arguments), document)
    return Outcome(print_walk(trial, arguments))


def seats(arguments: Namespace) -> Outcome:
    """``levelhead seats SHOW``."""
    from levelhead.cli.commands.air import print_seats

    return Outcome(*print_seats(document_of(arguments.show), book_of(arguments), arguments))


def feedback(arguments: Namespace) -> Outcome:
    """``levelhead feedback SHOW``."""
    from levelhead.cli.commands.air import print_feedback

    return Outcome(*print_feedback(document_of(arguments.show), book_of(arguments), arguments))


def gear(arguments: Namespace) -> Outcome:
    """``levelhead gear [TYPE]``."""
    from levelhead.cli.commands.gear import gear as run

    return run(arguments)


def example(arguments: Namespace) -> Outcome:
    """``levelhead example [NAME]``."""
    from levelhead.cli.commands.example import example as run

    return run(arguments)


# ---------------------------------------------------------------- paper and page


def paper(arguments: Namespace) -> Outcome:
    """``levelhead paper SHOW -o FILE``, or with ``--is-current FINGERPRINT``."""
    from levelhead.cli.commands.paper import is_current, print_sheets

    document = document_of(arguments.show)
    if arguments.changed:
        from levelhead.cli.commands.changed import print_changed

        return Outcome(*print_changed(document, book_of(arguments), arguments))
    if arguments.is_current is not None:
        held = is_current(document, arguments.is_current)
        if held.is_current == "no":
            held = held.with_sheets(document, book_of(arguments))
        text = as_json(held.to_json()) if arguments.json else held.text(arguments.show)
        return Outcome(text, held.status)
    if arguments.json:
        arguments.wrong_use(
            "--json goes with --is-current or --changed; sheets are PDF, XLSX or HTML"
        )
    if arguments.output is None:
        arguments.wrong_use("-o FILE is missing; only --is-current needs none")
    said = print_sheets(document, book_of(arguments), arguments)
    print(said, file=sys.stderr)
    return Outcome("")


def diff(arguments: Namespace) -> Outcome:
    """``levelhead diff OLD NEW``."""
    from levelhead.cli.commands.diff import DIFFERS, SAME, diff_json, diff_report, write_diff
    from levelhead.planning.trial import try_show

    book = book_of(arguments)
    documents = (document_of(arguments.old), document_of(arguments.new))
    old, new = (try_show(each.show, book, each) for each in documents)
    if arguments.output is not None:
        write_diff(old, new, arguments.output)
    if arguments.json:
        data = diff_json(old, new)
        return Outcome(as_json(data), DIFFERS if data["changes"] else SAME)
    return Outcome(*diff_report(old, new))


def draw(arguments: Namespace) -> Outcome:
    """``levelhead draw SHOW -o FILE.svg``."""
    from levelhead.cli.commands.draw import draw_flow
    from levelhead.planning.trial import try_show

    document = document_of(arguments.show)
    trial = try_show(document.show, book_of(arguments), document)
    print(draw_flow(trial, arguments), file=sys.stderr)
    return Outcome("")


def import_(arguments: Namespace) -> Outcome:
    """``levelhead import FILE``."""
    from levelhead.cli.commands.import_list import import_list

    result = import_list(arguments, book_of(arguments))
    return Outcome(result.text, result.status)


def open_page(arguments: Namespace) -> Outcome:
    """``levelhead open [SHOW]``."""
    from levelhead.cli.commands.open_app import open_app

    open_app(arguments)
    return Outcome("")


RUN: Final[Mapping[str, Callable[[Namespace], Outcome]]] = {
    "levels": levels,
    "check": check,
    "ask": ask,
    "gains": gains,
    "walk": walk,
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
