"""What the README and the manual show is what the commands print."""

from __future__ import annotations

import importlib.util
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).parents[1]


def load_fill() -> ModuleType:
    """Import ``docs/fill.py``, which is a script."""
    spec = importlib.util.spec_from_file_location("docs_fill", ROOT / "docs" / "fill.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


FILL = load_fill()
BLOCK = "before\n<!-- output: levelhead {command} -->\nold\n<!-- end -->\nafter\n"


def test_a_block_gets_the_output_of_its_command() -> None:
    filled = FILL.fill(BLOCK.format(command="check a.yaml"), lambda command: f"ran {command}\n\n")
    assert filled == (
        "before\n<!-- output: levelhead check a.yaml -->\n```text\n$ levelhead check a.yaml\n"
        "ran levelhead check a.yaml\n```\n<!-- end -->\nafter\n"
    )


def test_a_filled_block_stays_as_it_is() -> None:
    once = FILL.fill(BLOCK.format(command="gear"), lambda _: "fine")
    assert FILL.fill(once, lambda _: "fine") == once


def test_a_long_output_is_cut_where_the_block_says() -> None:
    text = BLOCK.format(command="gear, first 2 lines")
    assert "gear\n1\n2\n...\n```" in FILL.fill(text, lambda _: "1\n2\n3\n4")
    assert "gear\n1\n2\n```" in FILL.fill(text, lambda _: "1\n2\n")


def test_an_example_of_python_gets_what_it_prints() -> None:
    page = "```pycon\n>>> for n in range(2):\n...     print(n)\nold\n>>> n\n```\nafter\n"
    filled = FILL.fill(page)
    assert filled == (
        "```pycon\n>>> for n in range(2):\n...     print(n)\n0\n1\n>>> n\n1\n```\nafter\n"
    )
    assert FILL.fill(filled) == filled


def test_a_command_that_cannot_answer_stops_the_writing() -> None:
    with pytest.raises(SystemExit, match="no-such-command"):
        FILL.run_command("levelhead no-such-command")


def test_a_made_block_takes_what_its_module_prints() -> None:
    text = "<!-- made by: tests.cases.confusion -->\nold\n<!-- end -->\n"
    assert FILL.fill(text, make=lambda module: f"| {module} |\n\n") == (
        "<!-- made by: tests.cases.confusion -->\n\n| tests.cases.confusion |\n\n<!-- end -->\n"
    )


def test_a_module_that_fails_stops_the_writing() -> None:
    with pytest.raises(SystemExit, match=r"no\.such\.module"):
        FILL.run_module("no.such.module")


# Measured, not printed: the connection cases are tests of their own, and each of them would make
# the page out of date in every branch at once.
MEASURED = {"confusion.md"}


@pytest.mark.parametrize(
    "page",
    [page for page in FILL.pages() if page.name not in MEASURED],
    ids=lambda page: page.name,
)
def test_printed_outputs_are_up_to_date(page: Path) -> None:
    """`make docs` writes them."""
    text = page.read_text(encoding="utf-8")
    assert FILL.fill(text) == text


def test_links_between_pages_lead_somewhere() -> None:
    """Relative links only; addresses are none of ours."""
    import re

    for page in [*FILL.pages(), ROOT / "CONTRIBUTING.md"]:
        for target in re.findall(r"\]\(([^)#]+)(?:#[^)]*)?\)", page.read_text(encoding="utf-8")):
            assert (page.parent / target).exists(), f"{page.name} links to {target}"
