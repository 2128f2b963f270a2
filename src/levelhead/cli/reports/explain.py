"""``levelhead check --explain CODE``: what is computed, and the numbers at which it turns."""

from __future__ import annotations

from levelhead.cli.reports.columns import paragraph
from levelhead.errors import AskError
from levelhead.gear.names import did_you_mean
from levelhead.verdicts.explain import Explained, explained, family_title

__all__ = ["checked_family", "explain_page", "explanation"]


def explanation(code: str) -> Explained:
    """What stands behind a code; ``AskError`` when there is none of this name."""
    codes = explained()
    if code not in codes:
        raise AskError(
            f"no finding has the code '{code}'",
            where="--explain",
            expected=f"one of {', '.join(codes)}",
            remedy=did_you_mean(code, codes) or "They are listed in docs/codes.md.",
        )
    return codes[code]


def checked_family(family: str) -> str:
    """A family of codes; ``AskError`` when no rule belongs to it."""
    known = list(dict.fromkeys(each.family for each in explained().values()))
    if family not in known:
        raise AskError(
            f"no rule belongs to the family '{family}'",
            where="--only",
            expected=f"one of {', '.join(known)}",
            remedy=did_you_mean(family, known) or "Leave --only out to judge by all.",
        )
    return family


def explain_page(code: Explained) -> str:
    """The page of one code."""
    lines = [f"{code.code}: {family_title(code.family)}", "", *paragraph(code.computes)]
    if code.thresholds:
        lines += ["", "Turns at"]
        for each in code.thresholds:
            told = f"{each.name}: {each.text} ({each.source})"
            lines += paragraph(told, first="  ", rest="    ")
    return "\n".join([*lines, "", *paragraph(f"Source: {code.source}.")])
