"""Several devices in real browsers: three people, a network that dies, sleep, a new start, the LAN.

What needs no browser is held in process (web/live/test_several.py, web/access/test_door.py).
"""

from __future__ import annotations

import contextlib
import os
import random
import re
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from levelhead.show.edits import Set
from levelhead.show.history.journal import History
from levelhead.show.opened.open_show import OpenShow
from levelhead.web import listen
from levelhead.web.access.passes import Passes
from tests.browser.conftest import PHONE, Served, served_show
from tests.browser.crew import OpenPage, Person, comes
from tests.browser.relay import Relay
from tests.web.hall import TEXT

pytestmark = [pytest.mark.browser, pytest.mark.long]

ROOT = Path(__file__).parents[2]
PROGRAM = "import sys; from levelhead.cli import main; sys.exit(main(sys.argv[1:]))"
SOON = 15_000  # ms: a dead network is found within 9 s
COLUMNS = ("gain", "note", "source")
ROWS = ("desk.ch1", "desk.ch2", "desk.ch3")
TYPED = re.compile(r"(2[1-9]|3[0-2]) dB")  # gains that are typed under load
LIST = """() => [...document.querySelectorAll("#inputs-table tr[data-row]")].map((row) =>
    [...row.cells].slice(0, -1).map((cell) => cell.textContent).join("|"))"""


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "hall.yaml"
    path.write_text(TEXT, encoding="utf-8")
    return path


@pytest.fixture
def served(path: Path) -> Iterator[Served]:
    with served_show(path) as served:
        yield served


def port_of(served: Served) -> int:
    return int(served.address.rstrip("/").rpartition(":")[2])


# ---------------------------------------------------------------- three people


def test_three_people_type_undo_and_lose_their_network(served: Served, open_page: OpenPage) -> None:
    """Sixty random moves; at the end every list says the same."""
    chance = random.Random(7)  # noqa: S311 - which cell is typed into
    with contextlib.closing(Relay(port_of(served))) as relay:
        crew = [
            comes(open_page, f"http://127.0.0.1:{relay.port}/", "Anna"),
            comes(open_page, served.address, "Ben"),
            comes(open_page, served.address, "Ines"),
        ]
        crew[1].type("desk.ch2", "gear", "vocal mic")
        crew[2].type("desk.ch3", "gear", "vocal mic")
        for move in range(60):
            person = chance.choice(crew)
            if move % 20 == 10:
                relay.cut()
            if move % 20 == 17:
                relay.mend()
            if chance.random() < 0.25:  # maybe there is nothing to take back
                person.page.locator("#undo").evaluate("node => node.click()")
            else:
                row, column = chance.choice(ROWS), chance.choice(COLUMNS)
                text = str(chance.randint(20, 50)) if column == "gain" else f"{column} {move}"
                person.type(row, column, text)
        relay.mend()
        for person in crew:
            expect(person.line("lost")).to_be_hidden(timeout=SOON)
        crew[0].type("desk.ch1", "note", "the end")
        for person in crew:
            expect(person.cell("desk.ch1", "note")).to_have_text("the end", timeout=SOON)
        for person in crew:
            expect(person.line("file")).to_contain_text("in the file", timeout=SOON)
        first = crew[0].page.evaluate(LIST)
        for person in crew[1:]:
            theirs = person.page.evaluate(LIST)
            unlike = [pair for pair in zip(first, theirs, strict=True) if pair[0] != pair[1]]
            assert unlike == []


def test_what_was_typed_before_there_was_gear_goes_in_once_somebody_brings_it(
    served: Served, open_page: OpenPage
) -> None:
    """Anna's words wait on her page alone; Ben's gear makes a row of them, for both."""
    anna, ben = (comes(open_page, served.address, name) for name in ("Anna", "Ben"))
    anna.type("desk.ch4", "note", "by the door")
    expect(anna.cell("desk.ch4", "note")).to_have_text("by the door")
    ben.type("desk.ch4", "gear", "vocal mic")
    for person in (anna, ben):
        expect(person.cell("desk.ch4", "note")).to_have_text("by the door", timeout=SOON)
    ben.type("desk.ch4", "note", "by the stairs")
    expect(anna.cell("desk.ch4", "note")).to_have_text("by the stairs", timeout=SOON)


def test_in_the_other_tables_the_second_is_told_as_well(
    served: Served, open_page: OpenPage
) -> None:
    """Both type the label of the desk; Ben is quicker, and Anna sees what it says now."""
    crew = [comes(open_page, served.address, name) for name in ("Anna", "Ben")]
    label = '#items-table tr[data-key="desk"] input[name="label"]'
    for person in crew:
        person.page.keyboard.press("Alt+g")
        person.page.locator(label).focus()
    anna, ben = (person.page for person in crew)
    anna.keyboard.type("Old d")
    ben.keyboard.type("Front of house")
    ben.keyboard.press("Enter")
    told = anna.locator('#items-table tr[data-key="desk"] td[data-under]')
    expect(told).to_have_attribute("data-under", "Ben: now Front of house")
    assert anna.locator(label).input_value() == "Old d"
    anna.keyboard.press("Escape")
    anna.keyboard.press("Tab")
    expect(anna.locator(label)).to_have_value("Front of house")
    expect(told).to_have_count(0)


# ---------------------------------------------------------------- networks


def test_a_network_that_dies_without_a_word_is_found_out(
    served: Served, open_page: OpenPage
) -> None:
    """Nothing is closed, nothing comes through: the page asks, and then says so."""
    with contextlib.closing(Relay(port_of(served))) as relay:
        anna = comes(open_page, f"http://127.0.0.1:{relay.port}/", "Anna")
        ben = comes(open_page, served.address, "Ben")
        relay.stall()
        anna.type("desk.ch1", "gain", "41")
        expect(anna.line("lost")).to_contain_text("1 not sent yet", timeout=SOON)
        ben.type("desk.ch2", "gain", "22")
        relay.mend()
        expect(anna.line("lost")).to_be_hidden(timeout=SOON)
        for person in (anna, ben):
            expect(person.cell("desk.ch1", "gain")).to_have_text("41 dB")
            expect(person.cell("desk.ch2", "gain")).to_have_text("22 dB")
        ben.page.locator("#undo").click()
        expect(anna.cell("desk.ch2", "gain")).not_to_have_text("22 dB")


def test_a_phone_that_slept_is_told_what_it_missed(served: Served, open_page: OpenPage) -> None:
    """Frozen as a phone freezes a page, while its network goes; the page is not loaded again."""
    with contextlib.closing(Relay(port_of(served))) as relay:
        address = f"http://127.0.0.1:{relay.port}/"
        anna = comes(open_page, address, "Anna", viewport=PHONE, has_touch=True, is_mobile=True)
        ben = comes(open_page, served.address, "Ben")
        anna.page.evaluate("window.isStillHere = true")
        phone = anna.page.context.new_cdp_session(anna.page)
        phone.send("Page.setWebLifecycleState", {"state": "frozen"})
        relay.cut()
        ben.type("desk.ch1", "gain", "33")
        ben.type("desk.ch2", "gear", "vocal mic")
        expect(ben.line("people")).not_to_contain_text("Anna")
        relay.mend()
        phone.send("Page.setWebLifecycleState", {"state": "active"})
        expect(anna.cell("desk.ch1", "gain")).to_have_text("33 dB", timeout=SOON)
        expect(anna.cell("desk.ch2", "gear")).to_contain_text("microphone")
        assert anna.page.evaluate("window.isStillHere")


def test_steps_that_were_not_sent_outlive_the_page(served: Served, open_page: OpenPage) -> None:
    """The phone puts the page away while it has no network; it is loaded again when it has."""
    with contextlib.closing(Relay(port_of(served))) as relay:
        anna = comes(open_page, f"http://127.0.0.1:{relay.port}/", "Anna")
        ben = comes(open_page, served.address, "Ben")
        relay.cut()
        anna.type("desk.ch1", "gain", "41")
        expect(anna.line("lost")).to_contain_text("1 not sent yet")
        anna.page.on("dialog", lambda dialog: dialog.accept())
        anna.page.goto("about:blank")
        relay.mend()
        anna.page.go_back()
        anna.page.wait_for_selector("body[data-ready]")
        expect(ben.cell("desk.ch1", "gain")).to_have_text("41 dB", timeout=SOON)
        expect(anna.cell("desk.ch1", "gain")).to_have_text("41 dB")


# ---------------------------------------------------------------- the program ends


@contextmanager
def program(path: Path, port: int, *more: str) -> Iterator[subprocess.Popen[str]]:
    """The program as a user starts it."""
    paths = os.pathsep.join([str(ROOT / "src"), *filter(None, sys.path)])
    command = [sys.executable, "-c", PROGRAM, "open", str(path), "--no-browser", "--port"]
    with subprocess.Popen(
        [*command, str(port), *more],
        stderr=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONPATH": paths},
    ) as running:
        assert running.stderr is not None
        assert "http" in running.stderr.readline()
        try:
            yield running
        finally:
            running.terminate()


def free_port() -> int:
    with listen(0) as listener:
        return int(listener.getsockname()[1])


def opens(page: Page, address: str) -> Person:
    page.goto(f"{address}show")
    page.wait_for_selector("body[data-ready]", timeout=SOON)
    return Person(page)


def test_a_new_start_of_the_program_is_no_end(path: Path, open_page: OpenPage) -> None:
    """Stopped and started again: undo reaches over it, what was typed between is sent."""
    port = free_port()
    page = open_page()
    with program(path, port):
        anna = opens(page, f"http://127.0.0.1:{port}/")
        anna.type("desk.ch1", "gain", "41")
        expect(anna.cell("desk.ch1", "gain")).to_have_text("41 dB", timeout=SOON)
    expect(anna.line("lost")).to_contain_text("No connection", timeout=SOON)
    anna.type("desk.ch2", "gain", "22")
    with program(path, port):
        expect(anna.cell("desk.ch2", "gain")).to_have_text("22 dB", timeout=30_000)
        for gain in ("41 dB", "36 dB"):
            page.locator("#undo").click()
            expect(anna.cell("desk.ch1", "gain")).to_have_text(gain)
        expect(page.locator("#undo")).to_be_disabled()


def test_a_kill_under_load_loses_nothing_that_a_page_has_shown(
    path: Path, open_page: OpenPage
) -> None:
    """Three pages type as fast as they can; what stood acknowledged is there afterwards."""
    port = free_port()
    address = f"http://127.0.0.1:{port}/"
    with program(path, port) as running:
        crew = [comes(open_page, address, name) for name in ("Anna", "Ben", "Ines")]
        for number in range(12):
            for row, person in zip(ROWS, crew, strict=True):
                person.type(row, "gain", str(21 + number))
        expect(crew[0].cell(ROWS[0], "gain")).to_have_text(TYPED, timeout=SOON)  # one at least
        shown = {row: crew[0].cell(row, "gain").text_content() for row in ROWS}
        running.send_signal(signal.SIGKILL)
        running.wait()
    with History.at(path) as history:
        first = history.steps_after(0)[0].number
        stood = {
            (each.address, each.value)
            for step in history.steps_after(first - 1)
            for each in step.change
            if isinstance(each, Set)
        }
        assert OpenShow.at(path, history, at=datetime.now(UTC)).number == history.last_step
    for row, text in shown.items():
        if TYPED.fullmatch(text or ""):
            assert (f"{row}.gain", text) in stood
    with program(path, port):
        for person in crew:
            expect(person.line("lost")).to_be_hidden(timeout=30_000)
        for row in ROWS:
            for person in crew:
                expect(person.cell(row, "gain")).to_have_text("32 dB", timeout=SOON)


# ---------------------------------------------------------------- over the network, under a name


@contextmanager
def lan(path: Path) -> Iterator[tuple[Passes, str]]:
    """The app as phones reach it: under a name that is not this machine's loopback."""
    listener = listen(0)
    port = int(listener.getsockname()[1])
    listener.close()
    passes = Passes(("hall.test",), port)
    with served_show(path, passes=passes, port=port) as served:
        yield passes, served.address


def joins(page: Page, address: str, name: str) -> Person:
    page.goto(address)
    page.fill("#name", name)
    page.click("main button")
    page.wait_for_selector("body[data-ready]")
    return Person(page)


def test_phones_come_in_over_the_network_and_no_further_than_they_may(
    path: Path, open_page: OpenPage
) -> None:
    with lan(path) as (passes, here):
        phone = {"viewport": PHONE, "has_touch": True, "is_mobile": True}
        ben = joins(open_page(**phone), passes.address("change"), "Ben")
        eve = joins(open_page(**phone), passes.address("look"), "Eve")
        desk = opens(open_page(), here)
        expect(desk.line("people")).to_contain_text("Here: Ben, Eve (looks) and you.")
        expect(ben.page.locator(".people")).to_contain_text("has a code can come in (hall.test)")
        assert not ben.page.evaluate("isSecureContext")  # so this is the form that phones get
        cell = ben.cell("desk.ch1", "gain")
        cell.tap()
        ben.page.keyboard.type("41")
        ben.page.keyboard.press("Enter")
        expect(desk.cell("desk.ch1", "gain")).to_have_text("41 dB")
        expect(eve.cell("desk.ch1", "gain")).to_have_text("41 dB")
        eve.type("desk.ch1", "gain", "20")
        expect(eve.line("told")).to_contain_text("this device may look, not change")
        expect(desk.cell("desk.ch1", "gain")).to_have_text("41 dB")


@pytest.mark.parametrize("word", ["", "wrong"])
def test_without_a_pass_nothing_is_shown(path: Path, open_page: OpenPage, word: str) -> None:
    with lan(path) as (passes, _):
        page = open_page()
        address = passes.address("change").rpartition("/join/")[0]
        page.goto(f"{address}/show")
        expect(page.locator("body")).to_contain_text("has no pass")
        if word:
            page.goto(f"{address}/join/{word}")
            expect(page.locator("body")).to_contain_text("has no pass")
        ends = page.evaluate(
            """(address) => new Promise((done) => {
                const socket = new WebSocket(`${address}/show/hall/live?page=aaaaaaaa`);
                socket.onclose = () => done("shut");
                socket.onmessage = () => done("open");
            })""",
            address.replace("http", "ws"),
        )
        assert ends == "shut"


def test_a_page_from_elsewhere_gets_no_socket_although_the_browser_has_the_pass(
    path: Path, open_page: OpenPage
) -> None:
    """The cookie is Ben's; the page that asks is not ours."""
    with lan(path) as (passes, _):
        page = open_page()
        joins(page, passes.address("change"), "Ben")
        page.goto(passes.address("change").replace("hall.test", "evil.example"))
        ends = page.evaluate(
            """(address) => new Promise((done) => {
                const socket = new WebSocket(`${address}/show/hall/live?page=aaaaaaaa`);
                socket.onclose = () => done("shut");
                socket.onmessage = () => done("open");
            })""",
            f"ws://hall.test:{passes.port}",
        )
        assert ends == "shut"


def test_a_pass_that_has_ended_is_told_and_what_was_typed_is_sent_after_the_next(
    path: Path, open_page: OpenPage
) -> None:
    page = open_page(viewport=PHONE)
    with lan(path) as (passes, _):
        ben = joins(page, passes.address("change"), "Ben")
    port = passes.port
    expect(ben.line("lost")).to_contain_text("No connection", timeout=SOON)
    ben.type("desk.ch1", "gain", "41")
    new = Passes(("hall.test",), port)
    with served_show(path, passes=new, port=port):
        expect(ben.line("lost")).to_contain_text("pass has ended", timeout=SOON)
        page.on("dialog", lambda dialog: dialog.accept())
        ben = joins(page, new.address("change"), "Ben")
        expect(ben.cell("desk.ch1", "gain")).to_have_text("41 dB", timeout=SOON)
