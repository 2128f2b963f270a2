"""A connection case run: its show solved, what it leaves free put at its place, its figure read.

``reads`` names the number that ``expect.figure`` is about, in the words of ``tests.cases.readers``.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any, Final

from ruamel.yaml import YAML

from levelhead.gear.book import load_book
from levelhead.planning.settle import settled
from levelhead.planning.trial import Trial, try_show
from levelhead.show.document import parse_show
from levelhead.verdicts.told.finding import Finding, Severity
from levelhead.verdicts.told.severity import worst
from tests.cases.readers import READERS

__all__ = [
    "CASES",
    "FAMILIES",
    "RUN",
    "differs",
    "family_of",
    "figure_of",
    "findings_of",
    "ran",
    "severity_of",
    "waits_for",
]

FOLDER: Final = Path(__file__).parent
_NO_PART_OF_A_SHOW: Final = frozenset({"reads", "no-figure"})

Case = Mapping[str, Any]


def _read(file: Path) -> Any:
    return YAML(typ="safe", pure=True).load(file.read_text(encoding="utf-8"))


def _all_cases() -> Mapping[str, Case]:
    """Cases of all files, by id."""
    listed = [
        case
        for file in sorted(FOLDER.glob("*.yaml"))
        if file.name != "families.yaml"
        for case in _read(file)
    ]
    found = {case["id"]: case for case in listed}
    assert len(found) == len(listed), "an id stands twice"
    return found


CASES: Final = _all_cases()
FAMILIES: Final[Mapping[str, Mapping[str, Any]]] = _read(FOLDER / "families.yaml")
RUN: Final = tuple(name for name, case in CASES.items() if "show" in case)


def family_of(name: str) -> str:
    """Family that has to report a case."""
    return str(CASES[name]["expect"]["family"])


def _said(kind: str, name: str) -> str | None:
    reasons = FAMILIES[family_of(name)].get(kind) or {}
    return reasons.get(name)


def waits_for(name: str) -> str:
    """Why a case does not run yet."""
    return _said("cases", name) or str(FAMILIES[family_of(name)]["waits"])


def differs(name: str) -> str | None:
    """Why a case that runs is known to come out otherwise."""
    return _said("differs", name)


@cache
def ran(name: str) -> Trial:
    """A case's show, solved and judged; controls that it does not set are free."""
    case = CASES[name]
    head = {"levelhead": 1, "show": {"name": name}}
    body = {key: part for key, part in case["show"].items() if key not in _NO_PART_OF_A_SHOW}
    text = json.dumps(head | body, ensure_ascii=False)  # JSON is YAML
    show = parse_show(text, name).show
    return settled(try_show(show, load_book()), frozenset(show.settings))


def findings_of(name: str) -> list[Finding]:
    """Findings of the family that has to report the case."""
    codes = FAMILIES[family_of(name)]["codes"]
    return [each for each in ran(name).judgement.findings if each.family in codes]


def severity_of(name: str) -> Severity:
    """What that family says."""
    return worst(each.severity for each in findings_of(name))


def figure_of(name: str) -> float:
    """The number that the case's figure is about."""
    reads = CASES[name]["show"]["reads"]
    (word,) = set(reads) - {"at"}
    return READERS[word](ran(name), reads[word], reads.get("at"))
