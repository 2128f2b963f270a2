"""The connection cases in numbers, as Markdown: what runs, what it says, what waits.

Run as ``python -m tests.cases.confusion``; ``docs/fill.py`` puts its output into the manual.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from levelhead.verdicts.told.severity import Severity
from tests.cases.running import (
    CASES,
    FAMILIES,
    RUN,
    differs,
    family_of,
    severity_of,
    waits_for,
)

__all__ = ["page"]

_MILDEST_FIRST: Final = sorted(Severity, key=lambda severity: severity.rank)


def _table(head: Sequence[str], rows: Iterable[Sequence[object]]) -> Iterator[str]:
    yield f"| {' | '.join(head)} |"
    yield f"| {' | '.join('---' for _ in head)} |"
    for row in rows:
        yield f"| {' | '.join(str(cell) for cell in row)} |"
    yield ""


def _expected(name: str) -> Severity:
    return Severity(CASES[name]["expect"]["severity"])


def _in_short(names: Sequence[str]) -> list[object]:
    """How many, how many run, are right, are harm missed, are told worse than they are."""
    run = [name for name in names if name in RUN]
    right = sum(severity_of(name) is _expected(name) for name in run)
    missed = sum(
        _expected(name) is Severity.HARM and severity_of(name) is not Severity.HARM for name in run
    )
    alarms = sum(
        _expected(name) is Severity.FINE and severity_of(name) is not Severity.FINE for name in run
    )
    frightening = sum(bool(CASES[name].get("frightening")) for name in run)
    mild = sum(_expected(name) in {Severity.FINE, Severity.CARE} for name in run)
    share = f"{100 * right / len(run):.0f} %" if run else "-"
    return [len(names), len(run), right, share, missed, alarms, mild, frightening]


def _summary() -> Iterator[str]:
    """One line a family, and one of all."""
    head = ["family", "cases", "run", "right", "share", "harm missed", "false alarms"]
    head += ["run that are fine or care", "run that look frightening"]
    names = {each: [name for name in CASES if family_of(name) == each] for each in FAMILIES}
    rows = [[family, *_in_short(cases)] for family, cases in names.items()]
    yield from _table(head, [*rows, ["**all**", *_in_short(list(CASES))]])


def _confusion(names: Sequence[str]) -> Iterator[str]:
    """Expected in rows, got in columns."""
    counted = Counter((_expected(name), severity_of(name)) for name in names)
    head = ["expected", *(f"got {got.value}" for got in _MILDEST_FIRST)]
    yield from _table(
        head,
        [[want.value, *(counted[want, got] for got in _MILDEST_FIRST)] for want in _MILDEST_FIRST],
    )


def _differing() -> Iterator[str]:
    wrong = [name for name in RUN if severity_of(name) is not _expected(name)]
    rows = [
        [name, _expected(name).value, severity_of(name).value, differs(name) or "not explained"]
        for name in wrong
    ]
    yield from _table(["case", "expected", "got", "why"], rows) if rows else ["None.", ""]


def _waiting() -> Iterator[str]:
    counted = Counter(
        (family_of(name), waits_for(name)) for name in CASES if "show" not in CASES[name]
    )
    rows = [[family, reason, count] for (family, reason), count in counted.items()]
    yield from _table(["family", "waits for", "cases"], rows)


def page() -> Iterator[str]:
    """Lines of the page's measured part."""
    yield from _summary()
    yield from ["## All that run", "", *_confusion(RUN)]
    for family in FAMILIES:
        names = [name for name in RUN if family_of(name) == family]
        if names:
            yield from [f"### {family}", "", *_confusion(names)]
    yield from ["## Come out otherwise", "", *_differing()]
    yield from ["## Wait", "", *_waiting()]


if __name__ == "__main__":
    sys.stdout.write("\n".join(page()))
