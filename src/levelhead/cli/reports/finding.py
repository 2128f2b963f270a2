"""A finding in plain text: in short for the first look, in full for those who want to know why."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from levelhead.cli.reports.columns import GUTTER, WIDTH, cut, entry, paragraph
from levelhead.errors import QuantityError
from levelhead.quantity.formatting import format_level, format_si
from levelhead.show.addresses import joined_ranges
from levelhead.verdicts.told.finding import Compared, Finding, Remedy
from levelhead.verdicts.told.limit_state import Flip
from levelhead.verdicts.told.severity import Severity

__all__ = [
    "alike_lines",
    "caution_lines",
    "full_lines",
    "one_line",
    "remedy_line",
    "remedy_lines",
    "short_lines",
    "turns_text",
    "why_lines",
]

_REMEDY: Final = f"{'>':>{GUTTER - 1}} "  # in the margin of what was tried and helped
_REMEDIES_IN_SHORT: Final = 2
_CLEAR: Final = 0.95  # beyond this chance, either way, nobody wants to read it


# ---------------------------------------------------------------- parts of a finding


def turns_text(flips: Sequence[Flip]) -> str:
    """What alone would turn the verdict.

    >>> turns_text([Flip("impedance of di, output", "fact", "150 ohm", "2 kohm")])
    'if impedance of di, output is 2 kohm (taken as 150 ohm)'
    """
    return ", or ".join(f"if {flip.input} is {flip.to} (taken as {flip.from_})" for flip in flips)


def alike_lines(alike: Sequence[Finding]) -> list[str]:
    """Where else the same holds, in the order of numbers, as ranges."""
    places = [each.where for each in alike]
    return _beside(f"Alike: {', '.join(joined_ranges(places))}.") if places else []


def remedy_lines(remedies: Iterable[Remedy]) -> list[str]:
    """What was tried and helped, one behind each ``>``, with the verdict after it."""
    return [
        line
        for remedy in remedies
        for line in paragraph(
            f"{remedy.do}: then {remedy.verdict_after.value}.", first=_REMEDY, rest=" " * GUTTER
        )
    ]


def why_lines(finding: Finding) -> list[str]:
    """The numbers, what they were held against, what was assumed, and where the rule comes from."""
    said = [f"{each.name} {_compared(each)}" for each in finding.why]
    if 1 - _CLEAR < finding.p_holds < _CLEAR:
        said.append(f"holds {100 * finding.p_holds:.0f} times in 100")
    said += [f"assumed: {each}" for each in finding.taken]
    said.append(f"by {finding.told_source} ({finding.basis})")
    return _beside("; ".join(said) + ".")


def _compared(compared: Compared) -> str:
    value = _figure(compared.value, compared.unit)
    return (
        value
        if compared.limit is None
        else f"{value}, limit {_figure(compared.limit, compared.unit)}"
    )


def _figure(value: float | None, unit: str) -> str:
    if value is None:
        return "none"
    try:
        return format_level(value, unit) if unit.startswith("dB") else format_si(value, unit)
    except QuantityError:
        return f"{value:.3g} {unit}".rstrip()


def _beside(text: str) -> list[str]:
    return paragraph(text, first=" " * GUTTER, rest=" " * GUTTER)


def caution_lines(findings: Iterable[Finding]) -> list[str]:
    """Each caution once."""
    cautions = dict.fromkeys(each.caution for each in findings if each.caution)
    return [line for caution in cautions for line in entry("CAUTION", caution)]


# ---------------------------------------------------------------- whole findings


def short_lines(finding: Finding, alike: Sequence[Finding] = ()) -> list[str]:
    """Sentence with its numbers, what turns it, and the best remedies (or what would settle it)."""
    lines = [*entry(finding.severity.value.upper(), finding.what), *alike_lines(alike)]
    if finding.flips and finding.severity is not Severity.FINE:
        lines += _beside(f"Turns {turns_text(finding.flips)}.")
    lines += remedy_lines(finding.remedies[:_REMEDIES_IN_SHORT])
    if not finding.remedies and finding.severity is not Severity.HARM and finding.settle_by:
        lines += _beside(finding.settle_by)
    return lines


def full_lines(finding: Finding) -> list[str]:
    """Everything that is known of a finding, but its caution."""
    lines = [*entry(finding.severity.value.upper(), finding.what), *why_lines(finding)]
    if finding.flips:
        lines += _beside(f"Turns {turns_text(finding.flips)}.")
    if finding.settle_by:
        lines += _beside(finding.settle_by)
    return lines + remedy_lines(finding.remedies)


def remedy_line(finding: Finding) -> list[str]:
    """The best remedy in one line, if there is any."""
    if not finding.remedies:
        return []
    best = finding.remedies[0]
    after = f": then {best.verdict_after.value}."
    return [f"{_REMEDY}{cut(best.do, WIDTH - GUTTER - len(after))}{after}"]


def one_line(finding: Finding, alike: Sequence[Finding] = ()) -> str:
    """As much of the sentence as a line holds."""
    more = f" ({1 + len(alike)} alike)" if alike else ""
    room = WIDTH - GUTTER - len(more)
    return f"{finding.severity.value.upper():<{GUTTER}}{cut(finding.what, room)}{more}"
