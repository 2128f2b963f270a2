"""``levelhead ask FROM [TO] --show SHOW``: proposals on one screen."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from levelhead.cli.reports.columns import GUTTER, cut, entry, paragraph
from levelhead.cli.reports.finding import caution_lines, full_lines
from levelhead.planning.proposal.proposals import Proposal, Proposals
from levelhead.show.edits import Set, Unplug
from levelhead.show.model import Show
from levelhead.show.wording import sentence
from levelhead.verdicts.told.severity import Severity

__all__ = ["proposals_report"]

_AT_LENGTH: Final = 2  # told with every step; of the others one line each


def proposals_report(result: Proposals, show: Show, *, in_full: bool) -> str:
    """What was understood, then the proposals, the best at length; or why not, and what helps."""
    lines = [*entry("Asked", f"{result.asked}: {', or '.join(result.understood)}")]
    lines += entry("Show", show.name)
    if result.conditions:
        lines += entry("With", "; ".join(map(str, result.conditions)) + ".")
    lines += [line for each in result.not_used for line in entry("Unused", f"{each}.")]
    shown = result.proposals if in_full else result.proposals[:_AT_LENGTH]
    for each in shown:
        lines += ["", *_proposal_lines(each, show, in_full=in_full)]
    others = result.proposals[len(shown) :]
    if others:
        lines += ["", *(line for each in others for line in _other_line(each))]
    if result.why_not is not None:
        lines += ["", *entry("FAILS", result.why_not), *_freeing(result, show)]
    return "\n".join([*lines, *_cautions(result)])


def _proposal_lines(each: Proposal, show: Show, *, in_full: bool) -> list[str]:
    lines = entry(each.verdict.value.upper(), f"{each.what}, into {_places(each)}.")
    lines += _beside(each.attempt.why)
    if each.attempt.needs:
        lines += _beside(f"Needs {' and '.join(each.attempt.needs)}.")
    for finding in each.attempt.elsewhere:
        lines += _beside(f"Makes worse: {finding.what}")
    if each.stock:
        lines += _beside(f"{each.stock[0].upper()}{each.stock[1:]}.")
    if each.verdict is not Severity.HARM:  # no instructions for what must not be plugged
        lines += _steps(each, show)
    if in_full:
        lines += [line for finding in each.attempt.findings for line in full_lines(finding)]
    return lines


def _steps(each: Proposal, show: Show) -> list[str]:
    """What to do, all settings in one line."""
    edits = each.attempt.edits
    steps = [sentence(edit, show) for edit in edits if not isinstance(edit, Set | Unplug)]
    steps = [sentence(edit, show) for edit in edits if isinstance(edit, Unplug)] + steps
    settings = [f"{edit.address} {edit.value}" for edit in edits if isinstance(edit, Set)]
    if settings:
        steps.append(f"Set {', '.join(settings)}")
    return [line for step in steps for line in paragraph(f"{step}.", first=_MARK, rest=_REST)]


_MARK: Final = f"{'>':>{GUTTER - 1}} "
_REST: Final = " " * GUTTER


def _places(each: Proposal) -> str:
    return " and ".join(port.address for port in each.inputs)


def _other_line(each: Proposal) -> list[str]:
    text = f"{each.what}, into {_places(each)}"
    return entry(each.verdict.value.upper(), cut(text, 80 - GUTTER))


def _freeing(result: Proposals, show: Show) -> list[str]:
    lines = []
    for freed in result.frees:
        then = freed.then
        words = f"{freed.do}; then {then.what} into {_places(then)} is {then.verdict.value}."
        lines += paragraph(words, first=_MARK, rest=_REST)
    if not lines:
        lines = _beside(
            f"Nothing of {show.name} that could be left out makes room; a mixer, or a small one in "
            "front of it, with more inputs would."
        )
    return lines


def _beside(text: str) -> list[str]:
    return paragraph(text, first=_REST, rest=_REST)


def _cautions(result: Proposals) -> Iterable[str]:
    lines = caution_lines(found for each in result.proposals for found in each.attempt.findings)
    return ["", *lines] if lines else []
