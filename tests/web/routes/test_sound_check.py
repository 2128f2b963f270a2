"""The page of gains and sound check: the plan beside what is set, taken over in one press."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from levelhead.gear.book import load_book
from levelhead.planning.gains.make import plan_gains
from levelhead.show.document import load_show
from tests.paper.shows import EXAMPLES
from tests.web.live_show import OWN, on_shelf

PAGE = "/show/duo/sound-check"
FORM = {"content-type": "application/x-www-form-urlencoded", "origin": OWN}


@pytest.fixture
def client(tmp_path: Path) -> Iterator[TestClient]:
    text = (EXAMPLES / "duo-in-a-pub.yaml").read_text(encoding="utf-8")
    (tmp_path / "duo.yaml").write_text(text, encoding="utf-8")
    with on_shelf(tmp_path / "duo.yaml", follow_redirects=False) as client:
        yield client


def test_the_plan_stands_beside_what_is_set(client: TestClient) -> None:
    page = client.get(PAGE).text
    assert 'href="/show/duo#gains"' in page
    assert "Take the gain plan over" in page
    assert "Order of sound check" in page
    assert "Own limit of Left loudspeaker" in page


def test_boxes_to_tick_are_numbered(client: TestClient) -> None:
    page = client.get(PAGE).text
    numbers = [int(each) for each in re.findall(r'<span class="number">(\d+)</span>', page)]
    assert numbers == list(range(1, len(numbers) + 1))
    keys = re.findall(r'type="checkbox"[^>]* data-key="([^"]+)"', page)
    assert len(set(keys)) == len(keys) == len(numbers)


def test_one_press_takes_the_plan_over(client: TestClient) -> None:
    answer = client.post(f"{PAGE}/take-over", headers=FORM, content="")
    assert (answer.status_code, answer.headers["location"]) == (303, PAGE)
    page = client.get(PAGE).text
    assert "Every control stands there already." in page
    assert "Take the gain plan over" not in page


def test_a_reading_is_answered_and_written_into_the_show(client: TestClient) -> None:
    """Afterwards the meter is expected where its mark is: level corrected, gain turned."""
    sent = {"seen": "desk.ch1.preamp: +20 dBu peak"}
    asked = client.get(PAGE, params=sent).text
    assert "than was taken" in asked
    assert "Turn the gain" in asked
    answer = client.post(f"{PAGE}/seen", headers={"origin": OWN}, data=sent)
    assert answer.status_code == 303
    plan = plan_gains(load_show(EXAMPLES / "duo-in-a-pub.yaml").show, load_book())
    mark = next(each for each in plan.meters if each.at == "desk.ch1.preamp")
    again = client.get(PAGE, params={"seen": f"desk.ch1: {mark.reads_db:.1f} dB peak"}).text
    off = re.search(r"Mia is (\d+\.\d) dB \w+ than was taken", again)
    assert off is not None
    assert float(off[1]) <= 0.2


def test_a_reading_that_is_none_says_why(client: TestClient) -> None:
    answer = client.get(PAGE, params={"seen": "desk.ch1 loud"})
    assert answer.status_code == 422
    assert "ADDRESS: LEVEL DETECTOR" in answer.text


def test_another_page_takes_nothing_over(client: TestClient) -> None:
    foreign = {**FORM, "origin": "http://elsewhere.example"}
    assert client.post(f"{PAGE}/take-over", headers=foreign, content="").status_code == 403


def test_the_show_leads_there(client: TestClient) -> None:
    assert 'href="/show/duo/day"' in client.get("/show/duo").text
    assert f'href="{PAGE}"' in client.get("/show/duo/day").text
