"""Questions as they are typed beside a stage: the ends, conditions, verdict and way out expected.

What is expected was written down before the program was asked (``questions_at_the_stage.yaml``).
"""

from __future__ import annotations

from fnmatch import fnmatch
from pathlib import Path
from typing import Any, Final

import pytest
from ruamel.yaml import YAML

from levelhead.errors import AskError
from levelhead.planning.asked.answer import Answer, Question, answer
from levelhead.planning.asked.reading import read_question
from levelhead.verdicts.told.severity import Severity
from tests.planning.asking import BOOK

Row = dict[str, Any]

FILE: Final = Path(__file__).parent / "questions_at_the_stage.yaml"
ROWS: Final[list[Row]] = YAML(typ="safe", pure=True).load(FILE.read_text("utf-8"))
ANSWERED: Final = [row for row in ROWS if "error" not in row]
EVERY: Final = 11  # of which the whole answer is checked in a short run


def name(row: Row) -> str:
    """The question."""
    return f"{row['ask']} | {row['into']}"


def is_meant(address: str, wanted: str) -> bool:
    """Whether an address is one of those that a row allows."""
    return any(fnmatch(address, each) for each in wanted.split("|"))


def asked(row: Row) -> Answer:
    return answer(Question(row["ask"], row["into"]), BOOK)


def test_there_are_enough_of_them() -> None:
    assert len(ROWS) >= 120
    assert len({name(row) for row in ROWS}) == len(ROWS)


@pytest.mark.parametrize("row", ANSWERED, ids=name)
def test_words_are_understood_or_said_to_be_left_out(row: Row) -> None:
    """Both ends, each condition said back, each word left over said: before anything is solved."""
    read = read_question(BOOK, Question(row["ask"], row["into"]))
    meant = [each for each in read.second if is_meant(each.address, row["to"].replace("-2.", "."))]
    assert is_meant(read.first[0].address, row["from"]), read.first[0].address
    assert meant, [each.address for each in read.second]
    met = read.rig(BOOK, meant[0])[1]
    said = [str(each) for each in (*read.heard, *met.applied)]
    assert all(any(words in each for each in said) for words in row.get("used", ())), said
    left = [each.words for each in (*read.not_used(meant[0]), *met.unused)]
    assert sorted(left) == sorted(row.get("left", ()))


def check_whole(row: Row) -> None:
    told = asked(row)
    assert is_meant(told.from_address, row["from"]), told.from_address
    assert is_meant(told.to_address, row["to"]), told.to_address
    assert told.verdict.value in row["verdict"].split("|"), told.why
    worse = [each for each in told.findings if each.severity is not Severity.FINE]
    offers = [remedy.do for each in worse for remedy in each.remedies]
    offers += [f"{each.label} {each.taken}" for each in told.depends_on]
    wanted = row.get("offers", ())
    assert not wanted or any(part in each for part in wanted for each in offers), offers


@pytest.mark.parametrize("row", ANSWERED[::EVERY], ids=name)
def test_some_answers_are_those_of_the_trade(row: Row) -> None:
    check_whole(row)


@pytest.mark.long
@pytest.mark.parametrize("row", ANSWERED, ids=name)
def test_all_answers_are_those_of_the_trade(row: Row) -> None:
    check_whole(row)


@pytest.mark.parametrize("row", [row for row in ROWS if "error" in row], ids=name)
def test_what_cannot_be_is_refused_with_a_way_on(row: Row) -> None:
    with pytest.raises(AskError, match=row["error"]) as refused:
        asked(row)
    assert refused.value.remedy
