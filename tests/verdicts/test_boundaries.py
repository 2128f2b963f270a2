"""Four tests a rule: fine, not fine, and just this and that side of where its verdict turns.

A table of rigs for each code that the program explains, in ``boundaries``. A row has one rig with
one thing in it that is varied (``$x``, or several names for facts that go together):

``code``     what has to be told
``varied``   what ``$x`` is, in words
``turns``    where ``$x`` turns the verdict: ``at`` is reckoned by hand from the figures of the rig
             (words of ``tests.arithmetic``), ``step`` is how far to each side is tried, ``below``
             and ``above`` what is told there, ``basis`` where the turning point comes from
``pair``     for facts of wiring instead of ``turns``: two rigs that differ in one thing
``fine``     an ``$x`` with which nobody would act on this
``worse``    an ``$x`` with which it clearly is not, and what it ``is``
``else``     other names in the rig, where only some of the four state them

A code that is told and never judged is ``told`` or ``untold``.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache
from itertools import chain
from pathlib import Path
from string import Template
from typing import Any, Final

import pytest
from ruamel.yaml import YAML

from levelhead.gear.book import load_book
from levelhead.planning.trial import Trial, try_show
from levelhead.show.document import parse_show
from levelhead.verdicts.explain import explained
from levelhead.verdicts.judge import Rule
from levelhead.verdicts.spares.single_points import FAMILY as SPARES
from levelhead.verdicts.spares.single_points import SPARES_RULES
from levelhead.verdicts.told.finding import Finding
from levelhead.verdicts.told.severity import worst
from tests.arithmetic import reckoned

Row = Mapping[str, Any]
FOLDER: Final = Path(__file__).parent / "boundaries"
SMALL_STEP: Final = 0.06  # of the turning value; or of a decibel scale, where zero is no end
SMALL_STEP_DB: Final = 0.5


def _rows() -> list[Row]:
    files = sorted(FOLDER.glob("*.yaml"))
    read = YAML(typ="safe", pure=True).load
    return list(chain.from_iterable(read(each.read_text(encoding="utf-8")) for each in files))


ROWS: Final = _rows()
TURNS: Final = [(row, turn) for row in ROWS for turn in row.get("turns", ())]


def _name(value: Any) -> str | None:
    return value["code"] if isinstance(value, dict) and "code" in value else None


@cache
def _trial(text: str) -> Trial:
    head = "levelhead: 1\nshow: {name: boundary}\n"
    return try_show(parse_show(head + text, "boundary.yaml").show, load_book())


def _text(row: Row, value: object) -> str:
    """The rig with what is varied put in: one thing, or several by name."""
    names = {**row.get("else", {}), **(value if isinstance(value, Mapping) else {"x": value})}
    shown = {each: f"{x:.8g}" if isinstance(x, float) else str(x) for each, x in names.items()}
    return Template(row["show"]).substitute(shown)


def _put_in(each: Mapping[str, Any]) -> Mapping[str, Any]:
    """What an entry of a row puts into the rig."""
    return {name: value for name, value in each.items() if name != "is"}


def _findings(row: Row, value: object) -> list[Finding]:
    """What the rule of a row finds; no other rule is asked."""
    trial = _trial(_text(row, value))
    found: Iterable[Finding]
    if row["code"].startswith(SPARES):
        found = chain.from_iterable(rule(trial.reading) for rule in SPARES_RULES)
    else:
        rule = _rule(row["code"], _text(row, _put_in(row["worse"])))
        found = () if rule is None else trial.found.by(rule)
    return [each for each in found if each.code == row["code"] and _is_there(row, each)]


@cache
def _rule(code: str, worse: str) -> Rule | None:
    """The rule that tells a code: the one that does so on a rig that clearly is not fine.

    What is told there has to survive what may hide it (another finding at the same place).
    """
    judgement = _trial(worse).judgement
    assert code in {each.code for each in judgement.findings}, "hidden, or not told at all"
    return judgement.rules.get(code)


def _is_there(row: Row, finding: Finding) -> bool:
    return row.get("where", finding.where) == finding.where


def _said(row: Row, value: object, expected: str) -> str:
    """What is told: the worst severity, or whether anything is."""
    found = _findings(row, value)
    if expected in {"told", "untold"}:
        return "told" if found else "untold"
    return worst(each.severity for each in found).value


def _expects(row: Row, value: object, expected: str) -> None:
    told = [f"{each.severity}: {each.what} {each.why}" for each in _findings(row, value)]
    assert _said(row, value, expected) == expected, f"{row['varied']} {value}: {told}"


def _sides(turn: Mapping[str, Any]) -> tuple[float, float]:
    at = reckoned(turn["at"])
    return at - turn["step"], at + turn["step"]


def test_every_code_has_its_four_tests() -> None:
    """A rule without a rig on both sides of where it turns is not done."""
    assert {row["code"] for row in ROWS} == set(explained())


@pytest.mark.parametrize("row", ROWS, ids=_name)
def test_fine_is_fine_and_what_is_worse_is_told(row: Row) -> None:
    quiet = "untold" if row["worse"]["is"] == "told" else "fine"
    _expects(row, row["fine"], quiet)
    _expects(row, _put_in(row["worse"]), row["worse"]["is"])
    assert row["worse"]["is"] != "fine"


@pytest.mark.parametrize(("row", "turn"), TURNS, ids=_name)
def test_the_verdict_turns_where_a_hand_reckons(row: Row, turn: Mapping[str, Any]) -> None:
    """One step to each side of the value that the figures of the rig give on paper."""
    below, above = _sides(turn)
    _expects(row, below, turn["below"])
    _expects(row, above, turn["above"])


@pytest.mark.parametrize("row", [row for row in ROWS if "pair" in row], ids=_name)
def test_one_fact_turns_it(row: Row) -> None:
    """The nearest two rigs, of which one is told and the other not."""
    pair = row["pair"]
    for each in (pair["one"], pair["other"]):
        _expects(row, _put_in(each), each["is"])
    assert pair["one"]["is"] != pair["other"]["is"]


@pytest.mark.parametrize("row", ROWS, ids=_name)
def test_the_four_rigs_differ_and_say_why_it_turns(row: Row) -> None:
    """Small steps, different verdicts, and where the turning point comes from."""
    assert ("turns" in row) != ("pair" in row)
    values = [row["fine"], _put_in(row["worse"])]
    for turn in row.get("turns", ()):
        assert turn["below"] != turn["above"]
        assert turn["basis"]
        assert turn["step"] <= max(SMALL_STEP * abs(reckoned(turn["at"])), _floor(turn))
        values += _sides(turn)
    if "pair" in row:
        assert row["pair"]["differs"]
        assert row["basis"]
        values += [_put_in(row["pair"]["one"]), _put_in(row["pair"]["other"])]
    assert len({_text(row, each) for each in values}) == len(values)


def _floor(turn: Mapping[str, Any]) -> float:
    return SMALL_STEP_DB if turn.get("scale") == "dB" else 0.0
