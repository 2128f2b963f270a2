"""``levelhead check SHOW``, or ``--explain CODE`` without one."""

from __future__ import annotations

from argparse import Namespace

from levelhead.cli.given import tried
from levelhead.cli.progress import ways_out_tried
from levelhead.cli.reports.check import check_report
from levelhead.cli.reports.explain import checked_family, explain_page, explanation
from levelhead.cli.typed import Outcome, as_json, book_of, document_of, status_of
from levelhead.planning.check import check_show

__all__ = ["check"]


def check(arguments: Namespace) -> Outcome:
    """Findings with their remedies, or what a code means."""
    if arguments.explain is not None:
        found = explanation(arguments.explain)
        return Outcome(as_json(found.to_json()) if arguments.json else explain_page(found))
    if arguments.show is None:
        arguments.wrong_use("SHOW is missing; only --explain CODE needs none")
    only = None if arguments.only is None else checked_family(arguments.only)
    given = tried(document_of(arguments.show), arguments.set, arguments.figure)
    with ways_out_tried() as told:
        found_all = check_show(given.show, book_of(arguments), given.locator, only, told)
    result = found_all.only(only)
    if arguments.json:
        text = as_json(result.to_json(include_fine=arguments.all))
    else:
        text = check_report(result, path=arguments.show, in_full=arguments.all, known=given.lines())
    return Outcome(text, status_of(result.verdict))
