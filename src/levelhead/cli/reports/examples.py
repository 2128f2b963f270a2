"""The examples as a list: name, size, and what each is about."""

from __future__ import annotations

from collections.abc import Iterable

from levelhead.cli.reports.columns import paragraph
from levelhead.show.shipped import Example

__all__ = ["example_list"]

_INDENT = " " * 4


def example_list(examples: Iterable[Example]) -> str:
    """One paragraph an example, and what to do next."""
    lines: list[str] = []
    for each in examples:
        lines += [f"{each.name} ({each.size})"]
        lines += [*paragraph(each.summary, first=_INDENT, rest=_INDENT), ""]
    lines += ["Write one to work on:  levelhead example conference -o friday.yaml"]
    return "\n".join(lines)
