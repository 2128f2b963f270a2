"""Whole shows over HTTP: ways to begin, examples and copies, remedies done, questions kept."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from levelhead.gear.book import load_book
from levelhead.planning.check import check_show
from levelhead.show.document import load_show
from levelhead.show.shipped import shipped_example, shipped_examples
from tests.web.live_show import on_folder

OWN = "http://127.0.0.1:8000"
MIC = {"from": "mic-vocal-dynamic.out", "to": "mixer-compact.ch1.mic"}
BAD_NAMES = ("../evil", "a/b", "", "Friday", "a.b", "-a", "a b", "a" * 64, "/etc/x", "a\x00b", "é")


@pytest.fixture
def client(tmp_path: Path) -> Iterator[TestClient]:
    with on_folder(tmp_path, follow_redirects=False) as client:
        yield client


# --- beginning ---


def test_the_first_page_offers_every_way(client: TestClient, tmp_path: Path) -> None:
    (tmp_path / "tuesday.yaml").write_text("levelhead: 1\nshow: {name: T}\n", encoding="utf-8")
    (tmp_path / "notes.yaml").write_text("shopping: [milk]\n", encoding="utf-8")
    page = client.get("/").text
    for example in shipped_examples():
        assert f'href="/example/{example.name}"' in page
        assert example.size in page
    assert 'href="/list"' in page
    assert 'href="/show/tuesday"' in page
    assert 'href="/file/tuesday"' in page
    assert "notes.yaml" not in page


def test_an_example_tells_its_mistake_and_its_remedy(client: TestClient) -> None:
    page = client.get("/example/conference").text
    assert "Chair needs phantom power and gets none" in page
    assert "Set Desk, ch2, phantom 48 V to on" in page  # nobody types here: words of the panel
    assert "/do" not in page


def test_an_unknown_example_is_not_found(client: TestClient) -> None:
    answer = client.get("/example/nowhere")
    assert answer.status_code == 404
    assert "expected" not in answer.text.lower().partition("<dl>")[0]


def test_a_copy_is_made_opened_and_mended_with_one_press(
    client: TestClient, tmp_path: Path
) -> None:
    made = client.post("/begin", data={"example": "conference", "name": "friday"})
    assert (made.status_code, made.headers["location"]) == (303, "/file/friday?after=new")
    text = (tmp_path / "friday.yaml").read_text(encoding="utf-8")
    assert text == shipped_example("conference").text
    assert "Do this in the file" in client.get("/file/friday").text
    remedy = {
        "code": "phantom.missing",
        "where": "chair.out",
        "do": "Set Desk (desk.ch2.phantom) to on",
    }
    done = client.post("/file/friday/do", data=remedy)
    assert done.headers["location"] == "/file/friday?after=done"
    after = load_show(str(tmp_path / "friday.yaml"))
    assert after.show.settings["desk.ch2.phantom"] == "on"
    assert "# A morning of talks" in after.text()
    again = client.post("/file/friday/do", data=remedy)
    assert again.status_code == 422
    assert "is not as it was when this was offered" in again.text


def test_nothing_is_written_over(client: TestClient, tmp_path: Path) -> None:
    (tmp_path / "friday.yaml").write_text("precious", encoding="utf-8")
    for path, fields in (
        ("/begin", {"example": "wedding", "name": "friday"}),
        ("/keep", {**MIC, "name": "friday"}),
        ("/list/build", {"text": "1 kick", "name": "friday"}),
    ):
        answer = client.post(path, data=fields)
        assert answer.status_code == 422
        assert "is there already and stays as it is" in answer.text
    assert (tmp_path / "friday.yaml").read_text(encoding="utf-8") == "precious"


@pytest.mark.parametrize("name", BAD_NAMES)
def test_only_plain_names_become_files(client: TestClient, tmp_path: Path, name: str) -> None:
    before = sorted(tmp_path.parent.rglob("*"))
    for path, fields in (
        ("/begin", {"example": "wedding"}),
        ("/keep", MIC),
        ("/list/build", {"text": "1 kick"}),
    ):
        assert client.post(path, data={**fields, "name": name}).status_code == 422
    assert sorted(tmp_path.parent.rglob("*")) == before


@pytest.mark.parametrize(
    "path", ["/file/..%2Fevil", "/file/%2Fetc%2Fpasswd", "/example/..%2F..%2Fx"]
)
def test_no_address_leads_out_of_the_folder(client: TestClient, path: str) -> None:
    assert client.get(path).status_code in {404, 422}


@pytest.mark.parametrize(
    "path", ["/begin", "/keep", "/keep/into", "/list", "/list/build", "/file/a/do"]
)
def test_forms_of_other_pages_are_refused(client: TestClient, path: str) -> None:
    answer = client.post(path, data={"name": "x"}, headers={"Origin": "http://evil.example"})
    assert answer.status_code == 403


def test_a_form_is_small_and_a_form(client: TestClient) -> None:
    assert client.post("/begin", json={"name": "x"}).status_code == 415
    assert client.post("/begin", data={"name": "x" * 40_000}).status_code == 413


# --- a question kept ---


def test_a_question_becomes_a_show_that_checks_as_it_was_answered(
    client: TestClient, tmp_path: Path
) -> None:
    fields = {**MIC, "length_m": "30", "set.mixer-compact.ch1.gain": "30 dB", "name": "mic-test"}
    kept = client.post("/keep", data=fields)
    assert kept.headers["location"] == "/file/mic-test?after=new"
    show = load_show(str(tmp_path / "mic-test.yaml")).show
    assert show.name == "Mic test"
    assert show.settings["mixer-compact.ch1.gain"] == "30 dB"
    assert [cable.length_m for cable in show.links[0].via] == [30.0]
    asked = client.post("/ask", json={**MIC, "settings": {"mixer-compact.ch1.gain": "30 dB"}})
    assert check_show(show, load_book(), None).verdict.value == asked.json()["verdict"]


def test_the_page_of_an_answer_offers_to_change_and_to_keep_it(client: TestClient) -> None:
    page = client.get("/", params={**MIC, "length_m": "30"}).text
    assert '<option value="cable-xlr">XLR cable</option>' in page
    assert 'name="set.mixer-compact.phantom" form="ask"' in page
    assert '<input type="hidden" name="length_m" value="30.0">' in page
    assert 'action="/keep"' in page


def test_an_answer_goes_into_a_show_of_the_folder(client: TestClient, tmp_path: Path) -> None:
    """Its desk has a free channel: the microphone goes there, and the comments stay."""
    client.post("/begin", data={"example": "guitar-and-bass-in-a-pub", "name": "pub"})
    page = client.get("/", params={**MIC, "to": "mixer-compact-8.ch1.mic"}).text
    assert '<option value="pub">pub.yaml</option>' in page
    fields = {**MIC, "to": "mixer-compact-8.ch1.mic", "show": "pub"}
    put = client.post("/keep/into", data=fields)
    assert put.headers["location"] == "/file/pub?after=added"
    after = load_show(str(tmp_path / "pub.yaml"))
    link = after.show.link_at("mic-vocal-dynamic.out")
    assert link is not None
    assert link.ends["b"] == "desk.ch7.mic"
    assert "# Places are metres" in after.text()
    again = client.post("/keep/into", data=fields)
    assert again.status_code == 303
    assert "mic-vocal-dynamic-2" in load_show(str(tmp_path / "pub.yaml")).show.items
    assert client.post("/keep/into", data={**fields, "show": "../pub"}).status_code == 422


@pytest.mark.parametrize(
    ("from_", "to", "verdict"),
    [
        ("amp speaker out", "powered loudspeaker line input", "Harm"),
        ("active di", "compact mixer mic", "Care"),
        ("laptop headphones", "mixer stereo line", "Fine"),
    ],
)
def test_real_answers_have_pages(client: TestClient, from_: str, to: str, verdict: str) -> None:
    """Every unit that a finding may bring can be written."""
    page = client.get("/", params={"from": from_, "to": to}).text
    assert f">{verdict}</h2>" in page


def test_what_is_picked_from_the_list_is_understood(client: TestClient) -> None:
    (first, *_) = client.get("/candidates", params={"text": "vocal", "side": "from"}).json()
    answer = client.post("/ask", json={**MIC, "from": first["address"]}).json()
    assert answer["from"]["address"] == first["address"]


def test_remedies_of_an_answer_read_as_on_the_gear(client: TestClient) -> None:
    """Who asks in the app types no addresses."""
    asked = {"from": "amp speaker out", "to": "powered loudspeaker"}
    page = client.get("/", params=asked).text
    assert "Plug amplifier, ch1, link into powered loudspeaker, input with XLR cable" in page
    assert "(amplifier-two-channel.ch1.link)" not in page
