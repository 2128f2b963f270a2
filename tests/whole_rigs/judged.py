"""Whole rigs of a second hand: what an engineer expects of each, and what is told.

Run as ``python -m tests.whole_rigs.judged``: the numbers, as Markdown.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any, Final

from ruamel.yaml import YAML

from levelhead.gear.book import load_book
from levelhead.planning.trial import try_show
from levelhead.show.document import load_show
from levelhead.verdicts.told.severity import Severity

__all__ = ["RIGS", "is_accepted", "page", "told"]

HERE: Final = Path(__file__).parent
RIGS: Final[dict[str, dict[str, Any]]] = {
    each["id"]: each
    for each in YAML(typ="safe").load((HERE / "expected.yaml").read_text(encoding="utf-8"))
}
_BAD: Final = frozenset({Severity.FAILS, Severity.HARM})


@cache
def told(name: str) -> Severity:
    """The verdict of a rig as it stands."""
    show = load_show(HERE / "shows" / f"{name}.yaml").show
    return try_show(show, load_book()).judgement.verdict


def expected(name: str) -> Severity:
    """The worst that the engineer expects."""
    return Severity(RIGS[name]["worst"])


def is_accepted(name: str) -> bool:
    """Whether it is told as expected, or as the engineer lets pass."""
    return told(name).value in {RIGS[name]["worst"], *RIGS[name].get("also", [])}


def page() -> Iterator[str]:
    """Lines of the manual: how many are told as expected, and the others with what is told."""
    same = sum(told(name) is expected(name) for name in RIGS)
    passed = sum(is_accepted(name) for name in RIGS)
    missed = sum(
        expected(name) is Severity.HARM and told(name) not in _BAD and not is_accepted(name)
        for name in RIGS
    )
    alarms = sum(
        expected(name) not in _BAD and told(name) in _BAD and not is_accepted(name) for name in RIGS
    )
    yield f"{len(RIGS)} rigs: {same} with the verdict expected, {passed} with that or one that the"
    yield f"engineer lets pass. Harm missed: {missed}. Told as fails or harm, and is not: {alarms}."
    yield ""
    yield "| rig | expected | told | why |"
    yield "| --- | --- | --- | --- |"
    for name, rig in RIGS.items():
        if not is_accepted(name):
            yield f"| {name} | {rig['worst']} | {told(name).value} | {rig.get('differs', '')} |"


if __name__ == "__main__":
    sys.stdout.write("\n".join(page()) + "\n")
