"""``levelhead gains SHOW``: the plan as text or JSON, and as a show with every control in place."""

from __future__ import annotations

import json
import sys
from argparse import Namespace
from pathlib import Path

from levelhead.cli.reports.around_gains import around_plan, is_asked
from levelhead.cli.reports.gains import gains_report
from levelhead.errors import LevelheadError, ShowError
from levelhead.gear.book import GearBook
from levelhead.planning.gains.make import plan_gains
from levelhead.planning.gains.planned.plan import GainPlan
from levelhead.planning.trial import try_show
from levelhead.quantity.parsing import parse_si
from levelhead.show.document import ShowDocument
from levelhead.show.edit_json import edit_to_json
from levelhead.show.edits import apply
from levelhead.show.written.new_file import write_new

__all__ = ["print_plan"]


def print_plan(document: ShowDocument, book: GearBook, arguments: Namespace) -> tuple[str, int]:
    """What is printed, and 1 where something clips with the best settings there are."""
    plan = plan_gains(
        document.show,
        book,
        reserve_db=_reserve_db(arguments.reserve),
        loudness="as-set" if arguments.as_loud_as_set else "full",
        locator=document,
    )
    if arguments.output is not None:
        _write(document, plan, Path(arguments.output))
    if is_asked(arguments):
        trial = try_show(document.show, book, document)
        return around_plan(trial, plan, arguments), 0
    status = int(plan.goal("clipping").gave_way_db > plan.reserve_db)
    if arguments.json:
        content = plan.to_json() | {"edits": [edit_to_json(each) for each in plan.edits]}
        return json.dumps(content, indent=2, ensure_ascii=False), status
    text = gains_report(
        plan, document.show, path=arguments.show, written=arguments.output, in_full=arguments.all
    )
    return text, status


def _write(document: ShowDocument, plan: GainPlan, path: Path) -> None:
    """The show with the plan in it, as a new file; comments stay."""
    planned, _ = apply(document.show, plan.edits)
    write_new(path, document.with_show(planned).text())
    print(f"{path}: {len(plan.edits)} controls moved", file=sys.stderr)


def _reserve_db(typed: str) -> float:
    try:
        reserve = parse_si(typed if "dB" in typed else f"{typed} dB", "dB")
    except LevelheadError as error:
        raise _no_reserve(typed) from error
    if not 0 <= reserve <= 40:  # noqa: PLR2004 -- said in the message
        raise _no_reserve(typed)
    return reserve


def _no_reserve(typed: str) -> ShowError:
    return ShowError(
        f"'{typed}' is no reserve",
        where="--reserve",
        expected="headroom on peaks from 0 to 40 dB",
        remedy="Write for example --reserve '6 dB'.",
    )
