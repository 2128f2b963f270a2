"""Reference markers of the project's tests, read from their source: what each test rests on."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Final, NamedTuple

__all__ = ["CHECK_VALUE", "Marked", "marked_tests"]

TESTS: Final = Path(__file__).parents[1]
CHECK_VALUE: Final = re.compile(r"CV-(\d+)")


class Marked(NamedTuple):
    """A test that is held against something published."""

    file: str
    name: str
    source: str
    claim: str

    @property
    def check_values(self) -> frozenset[str]:
        """Numbers of the check values that its source names."""
        return frozenset(f"CV-{number}" for number in CHECK_VALUE.findall(self.source))


def marked_tests(folder: str = "") -> Iterator[Marked]:
    """Every test below a folder of ``tests`` (all of them) that has a reference marker."""
    for path in sorted((TESTS / folder).rglob("test_*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        named = dict(_named_texts(tree))
        for function in ast.walk(tree):
            if isinstance(function, ast.FunctionDef):
                for source in _sources(function, named):
                    claim = ast.get_docstring(function) or ""
                    name = path.relative_to(TESTS).as_posix()
                    yield Marked(name, function.name, source, claim.split("\n\n")[0])


def _named_texts(tree: ast.Module) -> Iterator[tuple[str, str]]:
    """Texts that a module gives a name, so that several tests may share one source."""
    for each in tree.body:
        if isinstance(each, ast.AnnAssign | ast.Assign) and isinstance(each.value, ast.Constant):
            targets = each.targets if isinstance(each, ast.Assign) else [each.target]
            for target in targets:
                yield ast.unparse(target), str(each.value.value)


def _sources(function: ast.FunctionDef, named: Mapping[str, str]) -> Iterator[str]:
    """Text of each ``@pytest.mark.reference("...")`` of a function."""
    for each in function.decorator_list:
        if isinstance(each, ast.Call) and ast.unparse(each.func) == "pytest.mark.reference":
            name = ast.unparse(each.args[0])
            yield named[name] if name in named else str(ast.literal_eval(each.args[0]))
