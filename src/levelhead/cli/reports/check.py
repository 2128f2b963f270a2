"""``levelhead check``: the worst in full, the rest in a line each, about one screen altogether."""

from __future__ import annotations

import shlex
from collections.abc import Sequence
from typing import Final

from levelhead.cli.reports.columns import GUTTER, WIDTH, entry
from levelhead.cli.reports.finding import (
    caution_lines,
    full_lines,
    one_line,
    remedy_line,
    short_lines,
)
from levelhead.planning.check import Check
from levelhead.verdicts.enough.clipping import CODE as CLIPS_AS_SET
from levelhead.verdicts.explain import family_title
from levelhead.verdicts.told.finding import Finding
from levelhead.verdicts.told.folding import Folded, folded
from levelhead.verdicts.told.severity import Severity

__all__ = ["check_report"]

_SCREEN: Final = 23  # lines of a small terminal, one of them left for the prompt
_MOST_BRIEFLY: Final = 12  # findings of one line; who has more mends these first
_NEXT_TROUBLE: Final = "Do what stands behind > at the first finding, then check again."
_NEXT_EMPTY: Final = (
    "Write links into it, each from a socket to a socket; a show to begin with: levelhead example"
)
_NEXT_WITHOUT_REMEDY: Final = "Mend the first finding, then check again."


def check_report(check: Check, *, path: str, in_full: bool, known: Sequence[str] = ()) -> str:
    """The report of a show.

    Parameters
    ----------
    path
        The show file as it was typed, for the command that comes next.
    in_full
        Every finding with all its figures, also what is fine; else one screen or little more.
    known
        Lines on what was measured, or is only on trial; they follow the head.
    """
    head = [*_head(check, in_full=in_full), *known]
    worse = check.shown(include_fine=False)
    foot = [*caution_lines(worse), *_next_lines(check, worse, path)]
    if in_full:
        body = [line for each in check.findings for line in ("", *full_lines(each))]
    else:
        room = _SCREEN - len(head) - len(foot)
        body = _body(folded(worse, check.trial.show.types), room=room - 1)
    return "\n".join([*head, *body, "", *foot])


def _head(check: Check, *, in_full: bool) -> list[str]:
    show = check.trial.show
    called = f"{show.name}, version {show.version}" + (f", {show.date}" if show.date else "")
    count = {
        severity: sum(each.severity is severity for each in check.findings)
        for severity in reversed(Severity)
    }
    counted = [f"{number} {severity.value}" for severity, number in count.items() if number]
    hidden = "" if in_full or not count[Severity.FINE] else " (not shown; --all shows everything)"
    lines = entry(check.word, called)
    lines += entry("", f"{', '.join(counted) or 'nothing to judge'}{hidden}")
    if check.family is not None:
        lines += entry("", f"judged by one family only: {family_title(check.family)}")
    for branch in check.depends_on:
        lines += entry("Depends", f"{branch.says}.")
    for note in check.notes:
        lines += entry("Note", note)
    return lines


def _body(groups: Sequence[Folded], *, room: int) -> list[str]:
    """Findings worse than fine, with space between them if the screen has room for all of it."""
    told = [line for each in groups for line in ("", *short_lines(each.finding, each.others))]
    if len(told) <= room:
        return told
    told, rest = _told_first(groups, room=room - 1)
    return ["", *told, *_brief_lines(rest, room=room - 1 - len(told))]


def _told_first(groups: Sequence[Folded], *, room: int) -> tuple[list[str], list[Folded]]:
    """What is told at length, and what is left.

    Harm and what fails always are; care as long as a line is left for all that follow.
    """
    lines: list[str] = []
    for place, each in enumerate(groups):
        told = short_lines(each.finding, each.others)
        left = len(groups) - place - 1
        is_urgent = each.finding.severity in {Severity.HARM, Severity.FAILS}
        if not is_urgent and len(lines) + len(told) + left > room:
            return lines, list(groups[place:])
        lines += told
    return lines, []


def _brief_lines(groups: Sequence[Folded], *, room: int) -> list[str]:
    """A line for each finding, and its best remedy as long as there is room for it."""
    shown = groups[:_MOST_BRIEFLY]
    spare = room - len(shown)
    lines: list[str] = []
    for each in shown:
        remedy = remedy_line(each.finding) if spare > 0 else []
        spare -= len(remedy)
        lines += [one_line(each.finding, each.others), *remedy]
    if len(groups) > len(shown):
        more = f"{len(groups) - len(shown)} more of these; --all shows everything."
        lines += entry("", more)
    return lines


def _next_lines(check: Check, worse: Sequence[Finding], path: str) -> list[str]:
    """What to do now: mend the worst, or print."""
    if check.verdict in {Severity.HARM, Severity.FAILS}:
        return entry("Next", _NEXT_TROUBLE if worse[0].remedies else _NEXT_WITHOUT_REMEDY)
    if not check.trial.show.links:
        return entry("Next", _NEXT_EMPTY)
    if any(each.code == CLIPS_AS_SET for each in worse):
        return _command_lines("Have every gain worked out:", path, "gains {} -o PLANNED.yaml")
    return _command_lines("Print the input list:", path, "paper {} -o list.pdf")


def _command_lines(what: str, path: str, command: str) -> list[str]:
    """What to do, and the command for it on a line of its own, which can be copied."""
    line = f"levelhead {command.format(shlex.quote(path))}"
    if path == "-" or len(line) > WIDTH - GUTTER:
        line = f"levelhead {command.format('SHOW')}"
    return [*entry("Next", what), f"{'':<{GUTTER}}{line}"]
