"""``levelhead check``: the worst in full, the rest in a line each, about one screen altogether."""

from __future__ import annotations

import shlex
from collections.abc import Sequence
from typing import Final

from levelhead.cli.columns import GUTTER, WIDTH, entry
from levelhead.cli.finding_text import (
    Alike,
    caution_lines,
    folded,
    full_lines,
    one_line,
    short_lines,
)
from levelhead.planning.check import Check
from levelhead.verdicts.finding import Finding
from levelhead.verdicts.severity import Severity

__all__ = ["check_report"]

_SCREEN: Final = 23  # lines of a small terminal, one of them left for the prompt
_MOST_BRIEFLY: Final = 12  # findings of one line; who has more mends these first
_NEXT_TROUBLE: Final = "Do what stands behind > at the first finding, then check again."
_NEXT_WITHOUT_REMEDY: Final = "Mend the first finding, then check again."


def check_report(check: Check, *, path: str, in_full: bool) -> str:
    """The report of a show.

    Parameters
    ----------
    path
        The show file as it was typed, for the command that comes next.
    in_full
        Every finding with all its figures, also what is fine; else one screen or little more.
    """
    head = _head(check, in_full=in_full)
    worse = check.shown(include_fine=False)
    foot = [*caution_lines(worse), *_next_lines(check, worse, path)]
    if in_full:
        body = [line for each in check.findings for line in ("", *full_lines(each))]
    else:
        room = _SCREEN - len(head) - len(foot)
        body = _body(folded(worse), room=room - 1)
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
    lines = entry(check.verdict.value.upper(), called)
    lines += entry("", f"{', '.join(counted) or 'nothing to judge'}{hidden}")
    for branch in check.depends_on:
        lines += entry("Depends", f"{branch.says}.")
    return lines


def _body(groups: Sequence[Alike], *, room: int) -> list[str]:
    """Findings worse than fine, with space between them where the screen has room for it."""
    airy = _told(groups, room=room, before=[""])
    return airy if len(airy) <= room else ["", *_told(groups, room=room - 1, before=[])]


def _told(groups: Sequence[Alike], *, room: int, before: list[str]) -> list[str]:
    """Harm and what fails always at length; care as long as a line is left for all that follow."""
    lines: list[str] = []
    briefly: list[str] = []
    is_room = True
    for place, (finding, alike) in enumerate(groups):
        told = [*before, *short_lines(finding, alike)]
        left = len(groups) - place - 1
        is_room = is_room and len(lines) + len(told) + left <= room
        if is_room or finding.severity in {Severity.HARM, Severity.FAILS}:
            lines += told
        else:
            briefly.append(one_line(finding, alike))
    if len(briefly) > _MOST_BRIEFLY:
        more = f"{len(briefly) - _MOST_BRIEFLY} more of these; --all shows everything."
        briefly = [*briefly[:_MOST_BRIEFLY], *entry("", more)]
    return lines + briefly


def _next_lines(check: Check, worse: Sequence[Finding], path: str) -> list[str]:
    """What to do now: mend the worst, or print."""
    if check.verdict in {Severity.HARM, Severity.FAILS}:
        return entry("Next", _NEXT_TROUBLE if worse[0].remedies else _NEXT_WITHOUT_REMEDY)
    command = f"levelhead paper {shlex.quote(path)} -o list.pdf"
    if path == "-" or len(command) > WIDTH - GUTTER:
        command = "levelhead paper SHOW -o list.pdf"
    return [*entry("Next", "Print the input list:"), f"{'':<{GUTTER}}{command}"]
