"""Write the tables of ``docs/truth.md``: what is published, what levelhead makes of it.

``python -m tests.truth`` runs the tests under ``tests/reference`` and keeps the numbers
that each of them compares, as pytest tells them when an assertion passes.
"""

from __future__ import annotations

import re
import sys
import tempfile
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final, NamedTuple

import pytest
from ruamel.yaml import YAML

from tests.reference.marked import Marked, marked_tests

ROOT: Final = Path(__file__).parents[1]
NUMBER: Final = re.compile(r"[-+]?(?:\d+\.?\d*|\.\d+)(?:e[-+]?\d+)?")
LISTED: Final = 12  # numbers of a comparison beyond which a list is a curve, not a printed value

BLOCK: Final = "(<!-- {name} -->\n).*?(<!-- end -->)"


class Compared(NamedTuple):
    """One comparison: ours, printed, tolerance."""

    ours: float
    printed: float
    tolerance: float

    @property
    def strain(self) -> float:
        """Difference for its tolerance."""
        return abs(self.ours - self.printed) / self.tolerance if self.tolerance else 0.0


@dataclass
class Recorder:
    """A plugin that keeps what passing assertions compared, by test function."""

    compared: dict[str, list[Compared]] = field(default_factory=lambda: defaultdict(list))
    cases: dict[str, int] = field(default_factory=lambda: defaultdict(int))
    failed: list[str] = field(default_factory=list)

    def pytest_assertion_pass(self, item: pytest.Item, expl: str) -> None:
        """Keep the numbers of ``ours == printed +- tolerance``."""
        self.compared[name_of(item.nodeid)].extend(numbers_in(expl))

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Count cases; a failing one stops the page."""
        if report.when == "call":
            self.cases[name_of(report.nodeid)] += 1
        if report.failed:
            self.failed.append(report.nodeid)


def name_of(nodeid: str) -> str:
    """File and function of a test, without the case."""
    return nodeid.removeprefix("tests/").partition("[")[0]


def numbers_in(explanation: str) -> Iterator[Compared]:
    """Comparisons with ``pytest.approx`` in what pytest tells of an assertion.

    >>> list(numbers_in("np.float64(-0.8) == -0.83 ± 0.05"))
    [Compared(ours=-0.8, printed=-0.83, tolerance=0.05)]
    """
    ours, sign, printed = explanation.split("\n", maxsplit=1)[0].partition(" == ")
    if not sign or "±" not in printed:
        return
    left = [float(each) for each in NUMBER.findall(re.sub(r"float\d+", "", ours))]
    pairs = [float(each) for each in NUMBER.findall(re.sub(r"float\d+", "", printed))]
    if 2 * len(left) == len(pairs) and len(left) <= LISTED:
        for value, expected, tolerance in zip(left, pairs[::2], pairs[1::2], strict=True):
            yield Compared(value, expected, tolerance)


def recorded(folder: str = "tests/reference") -> Recorder:
    """Run the tests of a folder and keep their numbers."""
    recorder = Recorder()
    sys.dont_write_bytecode = True
    sys.pycache_prefix = tempfile.mkdtemp()  # else assertions rewritten without the hook are used
    options = ["-q", "-o", "enable_assertion_pass_hook=true", "-p", "no:cacheprovider"]
    options += [
        "--deselect",
        "tests/reference/test_check_values.py::test_the_page_of_truth_keeps_up",
    ]
    pytest.main([folder, *options], plugins=[recorder])
    if recorder.failed:
        raise SystemExit(f"these fail, so there is no page: {recorder.failed}")
    return recorder


# ---------------------------------------------------------------- the page


def row(test: Marked, recorder: Recorder) -> str:
    """A line of the table."""
    name = f"{test.file}::{test.name}"
    worst = max(recorder.compared[name], key=lambda each: each.strain, default=None)
    numbers = ["-", "holds", "-"]
    if worst is not None:
        apart = worst.ours - worst.printed
        numbers = [short(worst.printed), short(worst.ours), short(apart)]
    said = test.name.removeprefix("test_").replace("_", " ")
    where = f"{Path(test.file).name}: `{test.name}`"
    cells = [said, test.source, where, str(recorder.cases[name]), *numbers]
    return "| " + " | ".join(cell.replace("|", "/") for cell in cells) + " |"


def short(value: float) -> str:
    """A number with five digits that say something.

    >>> short(-0.83456789), short(12345678.0), short(1.2e-17)
    ('-0.83457', '1.2346e+07', '0')
    """
    return "0" if abs(value) < 1e-12 else f"{value:.5g}"


def page(old: str, recorder: Recorder) -> str:
    """The page with its two tables made anew; the text around them is kept by hand."""
    tests = list(marked_tests("reference"))
    claims = [
        f"{len(tests)} claims, {sum(recorder.cases.values())} cases.\n",
        "| claim | source | where | cases | printed | ours | difference |",
        "| --- | --- | --- | --- | --- | --- | --- |",
        *(row(test, recorder) for test in tests),
    ]
    for name, lines in (("claims", claims), ("check values", list(check_value_lines()))):
        pattern = re.compile(BLOCK.format(name=name), re.DOTALL)
        text = "\n".join(lines) + "\n"
        old = pattern.sub(lambda found, text=text: found[1] + text + found[2], old)
    return old


def check_value_lines() -> Iterator[str]:
    """The list of published check values: which stand, which wait."""
    values: dict[str, dict[str, Any]] = YAML(typ="safe", pure=True).load(
        (ROOT / "tests" / "reference" / "check_values.yaml").read_text(encoding="utf-8")
    )
    tests: dict[str, list[str]] = defaultdict(list)
    for test in marked_tests():
        for number in test.check_values:
            tests[number].append(test.file)
    stand = sum("stands" in value for value in values.values())
    yield f"{stand} of {len(values)} stand; the others wait for layers that do not exist yet.\n"
    yield "| value | about | stands in, or waits for |"
    yield "| --- | --- | --- |"
    for number, value in values.items():
        files = ", ".join(f"`{each}`" for each in sorted(set(tests[number])))
        told = f"{value['stands']}: {files}" if "stands" in value else f"waits for {value['waits']}"
        yield f"| {number} | {value['about']} | {told} |"


def main(arguments: Sequence[str]) -> int:
    """Write the page, or the file that is named."""
    target = Path(arguments[0]) if arguments else ROOT / "docs" / "truth.md"
    target.write_text(page(target.read_text(encoding="utf-8"), recorded()), encoding="utf-8")
    return 0


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
