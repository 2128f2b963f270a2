"""The codes of all findings as Markdown: what is computed, thresholds, sources.

Run as ``python -m docs.codes_page``; ``docs/fill.py`` puts its output into ``docs/codes.md``.
"""

from __future__ import annotations

import itertools
import sys
from collections.abc import Iterator

from levelhead.verdicts.explain import Explained, explained, family_title

__all__ = ["page"]


def page() -> Iterator[str]:
    """Lines of the page, family by family."""
    for family, codes in itertools.groupby(explained().values(), lambda each: each.family):
        yield from [f"## {family_title(family)}", ""]
        for code in codes:
            yield from _entry(code)


def _entry(code: Explained) -> Iterator[str]:
    yield from [f"### `{code.code}`", "", code.computes, ""]
    if code.thresholds:
        yield from ["| turns at | value | source |", "| --- | --- | --- |"]
        for each in code.thresholds:
            yield f"| {each.name} | {each.text} | {each.source} |"
        yield ""
    yield from [f"Source: {code.source}.", ""]


if __name__ == "__main__":
    sys.stdout.write("\n".join(page()))
