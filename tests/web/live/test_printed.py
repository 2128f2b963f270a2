"""Paper from the app: printed, remembered, out of date, and those sheets alone anew."""

from __future__ import annotations

import re
from typing import Any

import pytest
from starlette.testclient import TestClient

from levelhead.cli.press import Press
from tests.web.live_show import OWN, page

PAGE = "/show/hall/printed"
OURS = {"origin": OWN}


@pytest.fixture
def client(client: TestClient) -> TestClient:
    """With a press that sets paper here."""
    app: Any = client.app
    app.state.press = Press()
    return client


def test_printed_changed_and_printed_anew(client: TestClient) -> None:
    gain = {"edit": "set", "address": "desk.ch1.gain", "value": "30 dB"}
    with page(client) as one:
        assert "Nothing was printed yet" in client.get(PAGE).text
        both = {"sheet-input-list": "1", "sheet-patch": "1"}
        answer = client.post(PAGE, data=both, headers=OURS)
        assert answer.content.startswith(b"%PDF")
        assert "Everything that was printed holds." in client.get(PAGE).text
        assert one.ask(do="edits", edits=[gain])["kind"] == "done"
        text = client.get(PAGE).text
        assert "Out of date: 1 of 2 sheets." in text
        assert "gain 30 dB (was 36 dB)" in text
        assert "the desk" in text
        changed = client.post(PAGE, data={"changed": "1"}, headers=OURS)
        assert changed.content.startswith(b"%PDF")
        assert "Everything that was printed holds." in client.get(PAGE).text


def test_another_page_prints_nothing(client: TestClient) -> None:
    foreign = {"origin": "http://elsewhere.example"}
    assert client.post(PAGE, data={"changed": "1"}, headers=foreign).status_code == 403


def test_a_sheet_that_tells_ways_out_waits_until_they_were_tried(client: TestClient) -> None:
    """It says how far that is, prints without the rest on demand, and by itself at the end."""
    with page(client) as one:
        wanted = {"sheet-open-findings": "1"}
        answer = client.post(PAGE, data=wanted, headers=OURS, follow_redirects=False)
        assert answer.status_code in {200, 303}
        waiting = f"{PAGE}/waiting?sheet-open-findings=1"
        if answer.status_code == 303:
            assert answer.headers["location"] == waiting
        text = client.get(waiting).text
        assert ("data-ready" in text) != bool(re.search(r"tried: \d+ of \d+ findings", text))
        assert 'name="sheet-open-findings" value="1"' in text
        now = client.post(PAGE, data={**wanted, "now": "1"}, headers=OURS)
        assert now.content.startswith(b"%PDF")
        one.ask(do="stop-work")  # what was tried by then is enough
        assert "data-ready" in client.get(waiting).text
        assert client.post(PAGE, data=wanted, headers=OURS).content.startswith(b"%PDF")
