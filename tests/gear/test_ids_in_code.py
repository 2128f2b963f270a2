"""Code holds no table of gear: what a type is for is found by what it does, or stands as data."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Final

import levelhead
from levelhead.gear.store import shipped_entries

SOURCE: Final = Path(levelhead.__file__).parent
QUOTED: Final = re.compile(r"[\"']([a-z0-9-]+)[\"']")
OWN: Final = {  # what a question without a show is asked with
    "planning/asked/little_rig.py": {"feed-line", "feed-line-unbalanced", "voice-singer"},
}
WORDS: Final = {"headphones", "lighting-data"}  # are words of the trade and of sockets as well


def test_no_module_names_a_gear_type() -> None:
    """Ids stand in data (``trade.yaml``, the gear book) and in the examples of docstrings alone."""
    ids = set(shipped_entries()) - WORDS
    found = {}
    for path in SOURCE.rglob("*.py"):
        name, source = path.relative_to(SOURCE).as_posix(), path.read_text(encoding="utf-8")
        if ids & set(QUOTED.findall(source)):  # only then worth reading as code
            found[name] = set(texts(source)) & ids - OWN.get(name, set())
    assert {name: told for name, told in found.items() if told} == {}


def test_names_are_found_in_code_and_not_in_docstrings() -> None:
    """The test of the test: a constant counts, an example does not."""
    code = 'def made() -> str:\n    """Or lead-insert."""\n    return "di-active"\n'
    assert set(texts(code)) == {"di-active"}


def texts(source: str) -> Iterator[str]:
    """String constants of a module that are no docstrings."""
    tree = ast.parse(source)
    told = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in told:
            yield node.value
