"""One question and its answer over HTTP, in process."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from levelhead.web.app import LARGEST_BODY, MOST_CANDIDATES
from levelhead.web.files.kept_files import STATIC_FOLDER, KeptFiles, scripts_behind
from tests.web.fake_asker import ANSWERS, FakeAsker, Known

AS_PAGE = {"Accept": "text/html"}
FIRST_LOAD_BYTES = 150_000  # goal of the first load, all files together
LONGEST_MODULE = 250  # lines


def test_json_answers_are_passed_on_untouched(client: TestClient, question: dict[str, Any]) -> None:
    answer = client.post("/ask", json=question).json()
    ready = ANSWERS[question["from"]]
    assert {name: answer[name] for name in ready} == ready
    assert answer["to"] == {
        "address": "mixer-compact.ch1.mic",
        "label": "Mixer, compact: mic input 1",
    }


def test_every_field_of_a_question_reaches_the_asker(
    client: TestClient, asker: FakeAsker, question: dict[str, Any]
) -> None:
    more = {"cable": "cable-xlr", "length_m": "7,5 m", "at": "+4 dBu", "settings": {"a.b": "3 dB"}}
    client.post("/ask", json={**question, **more})
    assert asker.asked == [{**question, **more, "length_m": 7.5}]


def test_the_page_asks_by_its_address(client: TestClient, asker: FakeAsker) -> None:
    page = client.get("/?from=vocal dynamic&to=mic input&length_m=25&set.x.gain=30 dB&other=1")
    assert asker.asked[0]["settings"] == {"x.gain": "30 dB"}
    assert asker.asked[0]["length_m"] == 25.0
    assert 'value="25 m"' in page.text
    assert "XLR cable, 25 m" in page.text


def test_the_answer_as_a_page_shows_all_its_parts(client: TestClient) -> None:
    question = {"from": "amplifier-two-channel.ch1.out", "to": "loudspeaker-powered.in"}
    page = client.post("/ask", json=question, headers=AS_PAGE).text
    for words in (
        ">Harm</h2>",
        "The loudspeaker output can put 49 V on an input that stands 15 V.",
        "Switch the amplifier off before you pull a plug",
        "Take the link output of the amplifier&#39;s input instead",
        "Loudspeaker lead to jack, 5 m",
        "clips by 11.8 dB",
        "Nothing plausible does.",
    ):
        assert words in page


@pytest.mark.parametrize("source", ANSWERS)
def test_each_verdict_has_its_word_and_its_shape(client: TestClient, source: str) -> None:
    page = client.get("/", params={"from": source, "to": "mixer-compact.ch5.line"}).text
    verdict = ANSWERS[source]["verdict"]
    assert f'class="verdict verdict-{verdict}"' in page
    assert f">{verdict.capitalize()}</h2>" in page


def test_the_first_page_says_what_to_do(client: TestClient) -> None:
    page = client.get("/").text
    assert "Can I plug this into that?" in page
    assert "Name two things." in page


def test_an_unknown_thing_is_refused_in_four_parts(client: TestClient) -> None:
    question = {"from": "zebra", "to": "mixer"}
    refused = client.post("/ask", json=question)
    assert refused.status_code == 422
    assert refused.json() == {
        "error": {
            "what": "nothing fits 'zebra'",
            "where": "'from'",
            "expected": "a piece of gear of the gear book",
            "remedy": "Type fewer letters and pick from the list.",
        }
    }
    for page in (
        client.post("/ask", json=question, headers=AS_PAGE),
        client.get("/", params=question),
    ):
        assert page.status_code == 200
        assert "nothing fits &#39;zebra&#39;" in page.text
        assert "Type fewer letters" in page.text


def test_what_is_typed_is_never_markup(client: TestClient) -> None:
    hostile = "<script>alert(1)</script>\"'><img src=x onerror=y>"
    for response in (
        client.get("/", params={"from": hostile, "to": hostile}),
        client.post("/ask", json={"from": hostile, "to": "x"}, headers=AS_PAGE),
    ):
        assert "<script>alert" not in response.text
        assert "<img" not in response.text


@pytest.mark.parametrize("source", ["", *ANSWERS])
def test_pages_hold_no_script_and_no_style_of_their_own(client: TestClient, source: str) -> None:
    """The security policy would block them, and the page would look broken."""
    params = {"from": source, "to": "mixer-compact.ch5.line"} if source else {}
    page = client.get("/", params=params).text
    assert re.findall(r"<script(?![^>]*\ssrc=)", page) == []
    assert re.findall(r"<style|\sstyle=|\son[a-z]+=", page) == []
    assert re.findall(r"https?://(?!www\.w3\.org)", page) == []


def test_candidates_are_the_askers(client: TestClient) -> None:
    found = client.get("/candidates", params={"text": "vocal", "side": "from"}).json()
    assert found == [
        {"address": "mic-vocal-dynamic.out", "label": "Vocal microphone, dynamic"},
        {"address": "mic-vocal-condenser.out", "label": "Vocal microphone, condenser"},
    ]


def test_a_long_list_of_candidates_is_cut(
    client: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    many = [Known(f"a{n}.out", f"A {n}") for n in range(40)]
    monkeypatch.setattr(FakeAsker, "find_candidates", lambda *_: many)
    found = client.get("/candidates", params={"text": "a", "side": "to"}).json()
    assert [one["label"] for one in found] == [f"A {n}" for n in range(MOST_CANDIDATES)]


def test_candidates_have_two_sides(client: TestClient) -> None:
    assert client.get("/candidates", params={"text": "a", "side": "both"}).status_code == 400


def test_a_question_is_short(client: TestClient, asker: FakeAsker) -> None:
    body = json.dumps({"from": "a" * LARGEST_BODY, "to": "b"})
    headers = {"Content-Type": "application/json"}
    assert client.post("/ask", content=body, headers=headers).status_code == 413
    assert asker.asked == []


@pytest.mark.parametrize("kind", ["text/plain", "application/x-www-form-urlencoded", ""])
def test_only_json_is_read(client: TestClient, asker: FakeAsker, kind: str) -> None:
    """A form of another page can send text, never JSON."""
    body = b'{"from": "vocal", "to": "mic"}'
    assert client.post("/ask", content=body, headers={"Content-Type": kind}).status_code == 415
    assert asker.asked == []


@pytest.mark.parametrize("body", [b"", b"{", b"\xff\xfe", b"[]", b"5", b'{"from": 3, "to": "x"}'])
def test_what_is_no_question_is_refused(client: TestClient, body: bytes) -> None:
    response = client.post("/ask", content=body, headers={"Content-Type": "application/json"})
    assert response.status_code == 422
    assert set(response.json()["error"]) == {"what", "where", "expected", "remedy"}


@pytest.mark.parametrize(
    "path",
    [
        "/static/../app.py",
        "/static/%2e%2e/app.py",
        "/static//etc/passwd",
        "/static/",
        "/static/%00",
        f"/static/{'a' * 300}.css",
    ],
)
def test_no_path_leads_to_other_files(client: TestClient, path: str) -> None:
    assert client.get(path).status_code in {404, 405}


def test_the_first_load_is_small(client: TestClient) -> None:
    page = client.get("/", params={"from": "mic-vocal-dynamic.out", "to": "mixer-compact.ch1.mic"})
    files = [
        client.get(f"/static/{file.name}") for file in STATIC_FOLDER.iterdir() if file.is_file()
    ]
    assert all(file.status_code == 200 for file in files)
    assert sum(len(file.content) for file in [page, *files]) < FIRST_LOAD_BYTES


def test_scripts_are_small_modules() -> None:
    for file in STATIC_FOLDER.rglob("*.js"):
        assert len(file.read_text(encoding="utf-8").splitlines()) < LONGEST_MODULE


def test_a_file_is_sent_once_and_anew_when_it_changes(tmp_path: Path) -> None:
    """Whoever shows the tag of what it has gets no second copy; a changed file has another tag."""
    (tmp_path / "page.css").write_text("a {}", encoding="utf-8")
    client = TestClient(KeptFiles(tmp_path))
    first = client.get("/page.css")
    again = client.get("/page.css", headers={"If-None-Match": first.headers["etag"]})
    assert (again.status_code, again.content) == (304, b"")
    (tmp_path / "page.css").write_text("a { margin: 0 }", encoding="utf-8")
    anew = client.get("/page.css", headers={"If-None-Match": first.headers["etag"]})
    assert (anew.status_code, anew.text) == (200, "a { margin: 0 }")


def test_the_page_names_every_module_that_its_script_imports_at_once() -> None:
    """What is fetched when somebody looks (drawing, levels, plan) is not asked for before."""
    named = scripts_behind("build/main.js")
    text = "".join((STATIC_FOLDER / each).read_text(encoding="utf-8") for each in named)
    imported = set(re.findall(r'from "\./(\w+\.js)"', text)) | {"grid.js", "wire.js"}
    assert {f"build/{each}" for each in imported} <= set(named)
    assert not {"build/drawing.js", "build/levels.js", "plan/plan.js"} & set(named)
