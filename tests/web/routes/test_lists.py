"""A list that comes in over HTTP: understood, asked about, built only when told to."""

from __future__ import annotations

from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

import pytest
from openpyxl import Workbook
from starlette.testclient import TestClient

from levelhead.show.document import load_show
from tests.web.live_show import on_folder

LIST = "1 kick\n2 bass DI\n3 vox Anna, condenser\n4 zorg\n"
ASKED = "What is &#39;zorg&#39;?"


@pytest.fixture
def client(tmp_path: Path) -> Iterator[TestClient]:
    with on_folder(tmp_path, follow_redirects=False) as client:
        yield client


def test_the_preview_shows_what_is_understood_guessed_and_asked(
    client: TestClient, tmp_path: Path
) -> None:
    page = client.post("/list", data={"text": LIST}).text
    assert "Understood: 3 of 4 inputs" in page
    assert "Bass drum microphone, dynamic" in page
    assert "Guessed desk:" in page
    assert ASKED in page
    assert list(tmp_path.iterdir()) == []


def test_an_answer_settles_its_question(client: TestClient) -> None:
    page = client.post("/list", data={"text": LIST}).text
    key = page.partition(ASKED)[2].partition('name="answer.')[2].partition('"')[0]
    answered = client.post("/list", data={"text": LIST, f"answer.{key}": "keys"}).text
    assert ASKED not in answered
    assert "Understood: 4 of 4 inputs" in answered
    assert f'<input type="hidden" name="answer.{key}" value="keys">' in answered


def test_a_show_is_built_when_told_to(client: TestClient, tmp_path: Path) -> None:
    built = client.post("/list/build", data={"text": LIST, "name": "saturday"})
    assert built.headers["location"] == "/show/saturday#inputs"
    show = load_show(str(tmp_path / "saturday.yaml")).show
    assert {item.type for item in show.items.values()} >= {
        "mic-kick-dynamic",
        "mic-vocal-condenser",
    }
    assert "zorg" not in str(show)
    assert client.get("/file/saturday").status_code == 200


def test_a_workbook_becomes_lines_for_the_box(client: TestClient) -> None:
    book = Workbook()
    for row in [["Ch", "Instrument", "Mic"], [1, "kick", "dynamic"], [2, "snare", "dynamic"]]:
        book.active.append(row)
    content = BytesIO()
    book.save(content)
    answer = client.post("/list/file?name=band.xlsx", content=content.getvalue())
    assert answer.status_code == 200
    assert "1\tkick" in answer.text
    assert "Understood: 2 of 2" in client.post("/list", data={"text": answer.text}).text


def test_what_is_no_list_is_told(client: TestClient) -> None:
    assert client.post("/list/file?name=x.xlsx", content=b"PK\x03\x04nonsense").status_code == 422
    assert "No answer" in client.post("/list", data={"text": ""}).text


def test_a_refused_answer_can_be_mended_on_the_same_page(client: TestClient) -> None:
    """The question stands there again as answered; a name that is taken loses nothing."""
    drums = {"text": "1-4 drums\n5 bass DI\n", "answer.drums": "kick, snare"}
    page = client.post("/list", data=drums).text
    assert "2 pieces were told for 4 inputs" in page
    assert 'name="answer.drums" list="q1-choices"' in page
    assert 'value="kick, snare"' in page
    good = {**drums, "answer.drums": "kick, snare, overhead L, overhead R"}
    assert "Understood: 5 of 5 inputs" in client.post("/list", data=good).text
    assert client.post("/list/build", data={**good, "name": "friday"}).status_code in (200, 303)
    again = client.post("/list/build", data={**good, "name": "friday"})
    assert again.status_code == 422
    assert "1-4 drums" in again.text
    assert 'value="friday"' in again.text
    assert "Understood: 5 of 5 inputs" in again.text
