"""Every published check value that concerns what exists is held by a test; the others are named."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Final

import pytest
from ruamel.yaml import YAML

from tests.reference.marked import marked_tests

FOLDER: Final = Path(__file__).parent
VALUES: Final[dict[str, dict[str, Any]]] = YAML(typ="safe", pure=True).load(
    (FOLDER / "check_values.yaml").read_text(encoding="utf-8")
)
LAYERS: Final = {"quantities", "circuit", "chain", "gear", "acoustics"}
pytestmark = pytest.mark.reference("the list of 119 published check values itself")


def test_all_of_them_are_listed() -> None:
    assert list(VALUES) == [f"CV-{number:02}" for number in range(1, 120)]
    for value in VALUES.values():
        assert set(value) in ({"about", "stands"}, {"about", "waits"})
        assert value.get("stands", "gear") in LAYERS


def test_what_stands_is_named_by_a_test() -> None:
    """A test anywhere in the project, whose reference marker has its number."""
    named = set().union(*(each.check_values for each in marked_tests()))
    standing = {number for number, value in VALUES.items() if "stands" in value}
    assert standing - named == set()
    assert named - set(VALUES) == set()


def test_what_waits_is_not_here_already() -> None:
    """Once a layer comes and tests it, it stands: this list must say so."""
    named = set().union(*(each.check_values for each in marked_tests("reference")))
    waiting = {number for number, value in VALUES.items() if "waits" in value}
    assert waiting & named == set()


def test_the_page_of_truth_keeps_up() -> None:
    """`python -m tests.truth` writes it anew; one test in twenty may be newer than it."""
    page = (FOLDER.parents[1] / "docs" / "truth.md").read_text(encoding="utf-8")
    tests = list(marked_tests("reference"))
    told = [each for each in tests if f"`{each.name}`" in page]
    assert len(told) >= 0.95 * len(tests)
    assert [number for number in VALUES if f"| {number} |" not in page] == []
