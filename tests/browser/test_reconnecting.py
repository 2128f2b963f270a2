"""The connection of an open show is cut, and comes back: what was typed meanwhile is sent once."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import Served, served_show
from tests.browser.crew import OpenPage, Person, comes
from tests.browser.relay import Relay
from tests.web.hall import TEXT

pytestmark = pytest.mark.browser


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Served]:
    (tmp_path / "hall.yaml").write_text(TEXT)
    with served_show(tmp_path / "hall.yaml") as served:
        yield served


def port_of(served: Served) -> int:
    return int(served.address.rstrip("/").rpartition(":")[2])


def test_what_is_typed_without_a_connection_is_taken_or_refused_when_it_is_back(
    served: Served, open_page: OpenPage
) -> None:
    """Anna's network is cut; Ben works on. The field that is open stays as it is."""
    with contextlib.closing(Relay(port_of(served))) as relay:
        anna = comes(open_page, f"http://127.0.0.1:{relay.port}/", "Anna")
        ben = comes(open_page, served.address, "Ben")
        expect(anna.line("people")).to_contain_text("Here: Ben and you (Anna).")
        relay.cut()
        expect(anna.line("lost")).to_contain_text("No connection")
        _typed_meanwhile(anna, ben)
        relay.mend()
        _back(anna, ben)
        _each_takes_back_their_own(anna, ben)


def _typed_meanwhile(anna: Person, ben: Person) -> None:
    anna.type("desk.ch1", "gain", "41")
    anna.type("desk.ch2", "gain", "22")
    expect(anna.line("file")).to_contain_text("2 not sent yet")
    expect(anna.cell("desk.ch1", "gain")).to_have_text("41")
    expect(anna.cell("desk.ch2", "gain")).to_have_text("22")
    ben.type("desk.ch1", "gain", "33")
    expect(ben.cell("desk.ch1", "gain")).to_have_text("33 dB")
    anna.cell("desk.ch1", "note").focus()
    anna.page.keyboard.type("half typ")


def _back(anna: Person, ben: Person) -> None:
    told = anna.line("told")
    expect(told).to_contain_text(
        "typed without a connection: gain of desk, ch1: 41", timeout=10_000
    )
    expect(told).to_contain_text("Ben changed desk, ch1, gain (now 33 dB) meanwhile")
    expect(anna.line("lost")).to_be_hidden()
    expect(anna.cell("desk.ch1", "gain")).to_have_text("33 dB")
    expect(ben.cell("desk.ch2", "gain")).to_have_text("22 dB")
    expect(ben.line("people")).to_contain_text("Last change by Anna: Set desk, ch2, gain to 22 dB.")
    note = anna.cell("desk.ch1", "note")
    assert note.locator("input").input_value() == "half typ"
    ben.type("desk.ch1", "note", "left")
    expect(note).to_have_attribute("data-under", "Ben: now left")
    anna.page.keyboard.press("Escape")
    expect(note).to_have_text("left")


def _each_takes_back_their_own(anna: Person, ben: Person) -> None:
    anna.page.locator("#undo").click()
    expect(ben.cell("desk.ch2", "gain")).not_to_have_text("22 dB")
    expect(anna.page.locator("#undo")).to_be_disabled()
    anna.type("desk.ch1", "note", "right")
    expect(ben.cell("desk.ch1", "note")).to_have_text("right")
    ben.page.locator("#undo").click()
    expect(ben.line("told")).to_contain_text("Anna changed note of Anna after that")
    expect(ben.cell("desk.ch1", "note")).to_have_text("right")
