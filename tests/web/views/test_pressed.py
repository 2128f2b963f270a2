"""Messages of the core that name a command say on a page what to press."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

import levelhead
from levelhead.gear.book import load_book
from levelhead.web.app import create_app
from levelhead.web.library import Library
from levelhead.web.views.pressed import in_the_app

PACKAGE = Path(levelhead.__file__).parent
OF_A_TERMINAL = {"cli", "paper"}  # layers whose words no page shows
ANY_COMMAND = re.compile(
    r"\blevelhead (?:--?\w+|[a-z]+ (?:[A-Z]{2,}|--?\w+)|check|gear|open|walk)\b"
)


def said() -> Iterator[tuple[str, str]]:
    """Every text of the program that names a command, with the file that says it."""
    for file in sorted(PACKAGE.rglob("*.py")):
        if file.relative_to(PACKAGE).parts[0] in OF_A_TERMINAL or file.name == "pressed.py":
            continue
        tree = ast.parse(file.read_text(encoding="utf-8"))
        told = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
        for node in ast.walk(tree):
            text = getattr(node, "value", None) if isinstance(node, ast.Constant) else None
            if isinstance(text, str) and id(node) not in told and ANY_COMMAND.search(text):
                yield file.name, text


def test_no_message_names_a_command_on_a_page() -> None:
    """Each one that the core may say; a new one needs its place in the app."""
    texts = list(said())
    assert len(texts) > 8
    assert [each for each in texts if ANY_COMMAND.search(in_the_app(each[1]))] == []


@pytest.mark.parametrize("asked", [("xyzzy", "mic input"), ("loudspeaker passive", "xyzzy")])
def test_a_question_that_fits_nothing_says_what_to_press(asked: tuple[str, str]) -> None:
    client = TestClient(
        create_app(Library(load_book)),
        base_url="http://127.0.0.1:8000",
        client=("127.0.0.1", 50_000),
    )
    question = {"from": asked[0], "to": asked[1]}
    page = client.post("/ask", json=question, headers={"Accept": "text/html"}).text
    assert "levelhead gear" not in page
    assert "is offered below it" in page
