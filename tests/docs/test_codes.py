"""Every code of a finding is explained, with the numbers of its rule, and is in the manual."""

from __future__ import annotations

import ast
import re
from pathlib import Path
from typing import Final

import levelhead.verdicts
from levelhead.verdicts.explain import FAMILIES, explained
from levelhead.verdicts.loading.levels import TONE, TONE_FAILS_DB

CODE: Final = re.compile(r"[a-z]+\.[a-z][a-z-]+")
PAGE: Final = Path(__file__).parents[2] / "docs" / "codes.md"


def codes_of_the_rules() -> set[str]:
    """Texts in the modules of rules that look like a code."""
    return {
        node.value
        for folder in levelhead.verdicts.__path__
        for file in Path(folder).rglob("*.py")
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8")))
        if isinstance(node, ast.Constant)
        and isinstance(node.value, str)
        and CODE.fullmatch(node.value)
    }


def test_every_code_of_a_rule_is_explained() -> None:
    """A new code wants an ``Explained`` in the ``EXPLAINED`` of its module, then `make docs`."""
    assert codes_of_the_rules() == set(explained())


def test_every_code_has_its_place_in_the_manual() -> None:
    titles = re.findall(r"^### `(.+)`$", PAGE.read_text(encoding="utf-8"), re.MULTILINE)
    assert titles == list(explained())


def test_every_family_has_a_title() -> None:
    assert {each.family for each in explained().values()} <= set(FAMILIES)


def test_a_threshold_of_the_manual_is_that_of_the_rule() -> None:
    assert TONE_FAILS_DB in {each.value for each in explained()[TONE].thresholds}
