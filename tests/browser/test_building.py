"""A show built in a real browser: by keys alone, by paste, back and forth, on a phone, cut off."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect
from pypdf import PdfReader

from tests.browser.conftest import PHONE, Seen, Served, served_show
from tests.browser.test_look import OVERFLOWS, TEXTS, contrast

pytestmark = pytest.mark.browser

OpenPage = Callable[..., Page]
DESK = """\
mixer-of-the-test:
  like: mixer-compact
  label: Mixer with 128 mic channels
  blocks: {ch: {repeat: 128}}
"""
SHOW = """\
levelhead: 1
show: {name: Hall}
items:
  desk: {type: mixer-of-the-test, label: Desk}
  left: {type: loudspeaker-powered-12}
links:
  - {from: desk.main-left.out, to: left.in, via: [cable-xlr 20 m]}
settings:
  left: {level: -20 dB}
stock: {di-active: 2, cable-xlr 10 m: 6}
"""
VIEWS = (
    "inputs", "outputs", "findings", "gains", "gear", "leads", "settings", "stock", "text",
)  # fmt: skip


@pytest.fixture
def path(tmp_path: Path) -> Path:
    (tmp_path / "gear").mkdir()
    (tmp_path / "gear" / "desk.yaml").write_text(DESK)
    path = tmp_path / "hall.yaml"
    path.write_text(SHOW)
    return path


@pytest.fixture
def served(path: Path) -> Iterator[Served]:
    with served_show(path, str(path.parent / "gear")) as served:
        yield served


@pytest.fixture
def page(open_page: OpenPage, served: Served) -> Page:
    return came(open_page(), served)


def came(page: Page, served: Served) -> Page:
    page.goto(f"{served.address}show")
    page.wait_for_selector("body[data-ready]")
    return page


def cell(page: Page, row: str, column: str) -> Any:
    return page.locator(f'tr[data-row="desk.{row}"] td[data-column="{column}"]')


def keys(page: Page, *pressed: str) -> None:
    for key in pressed:
        page.keyboard.press(key)


def test_a_show_is_built_from_the_keyboard_alone(page: Page, seen: Seen) -> None:
    """From the first Tab to two full rows, one of them taken back and done again."""
    for _ in range(30):
        keys(page, "Tab")
        if page.evaluate("document.activeElement.matches('td')"):
            break
    page.keyboard.type("Anna")
    keys(page, "Tab")
    expect(cell(page, "ch1", "state")).to_have_text("needs gear")
    page.keyboard.type("vocal mic")
    page.wait_for_selector("#meant li")
    keys(page, "ArrowDown", "Tab")
    expect(cell(page, "ch1", "gear")).to_have_text("Vocal microphone, dynamic")
    expect(cell(page, "ch1", "source")).to_have_text("Anna")
    page.keyboard.type("12 m")
    keys(page, "Tab")
    expect(cell(page, "ch1", "cable")).to_have_text("XLR cable, 12 m")
    keys(page, "Tab") if page.evaluate("!document.activeElement.matches('td')") else None
    keys(page, "ArrowRight")
    page.keyboard.type("36")
    keys(page, "Enter")
    expect(cell(page, "ch1", "gain")).to_have_text("36 dB")
    keys(page, "Control+z")
    expect(cell(page, "ch1", "gain")).to_have_text("20 dB")
    keys(page, "Control+y")
    expect(cell(page, "ch1", "gain")).to_have_text("36 dB")
    keys(page, "F2", "Escape")
    assert seen.complaints == []


def test_a_block_of_128_by_6_is_pasted_and_taken_back(page: Page, seen: Seen) -> None:
    lines = [f"Voice {n}\tvocal mic\t10 m\toff\t36 dB\tstand {n}" for n in range(1, 129)]
    cell(page, "ch1", "source").focus()
    page.evaluate(
        """(text) => {
            const data = new DataTransfer();
            data.setData("text/plain", text);
            document.dispatchEvent(new ClipboardEvent("paste", { clipboardData: data }));
        }""",
        "\r\n".join(lines),
    )
    expect(cell(page, "ch128", "note")).to_have_text("stand 128", timeout=15_000)
    expect(cell(page, "ch64", "source")).to_have_text("Voice 64")
    assert page.locator("#inputs-table tr[data-row]:not(.free)").count() == 128
    page.locator("#undo").click()
    expect(cell(page, "ch128", "note")).to_have_text("", timeout=15_000)
    page.locator("#redo").click()
    expect(cell(page, "ch128", "note")).to_have_text("stand 128", timeout=15_000)
    printed = PdfReader(io.BytesIO(page.pdf(format="A4")))
    words = " ".join(sheet.extract_text() for sheet in printed.pages)
    assert all(f"Voice {n}" in words for n in (1, 64, 127, 128))
    page.reload()  # all but the last rows are taken: the list opens at its top all the same
    expect(cell(page, "ch1", "source")).to_be_focused()
    assert page.evaluate("[scrollY, document.querySelector('.list').scrollTop]") == [0, 0]
    assert seen.complaints == []


def test_fill_down_copy_and_rows(page: Page) -> None:
    cell(page, "ch1", "gain").focus()
    page.keyboard.type("33")
    keys(page, "Enter", "ArrowUp", "Shift+ArrowDown", "Shift+ArrowDown", "Control+d")
    for row in ("ch1", "ch2", "ch3"):
        expect(cell(page, row, "gain")).to_have_text("33 dB")
    expect(cell(page, "ch4", "gain")).to_have_text("20 dB")
    cell(page, "ch1", "gain").focus()
    keys(page, "Control+-")
    expect(cell(page, "ch1", "gain")).to_have_text("33 dB")


def test_two_pages_and_a_cell_that_is_being_typed_in(
    page: Page, open_page: OpenPage, served: Served
) -> None:
    """What the other page changed is told beside the field, never put over it."""
    other = came(open_page(), served)
    cell(page, "ch1", "gain").focus()
    page.keyboard.type("2")
    cell(other, "ch1", "gain").focus()
    other.keyboard.type("44")
    keys(other, "Enter")
    expect(cell(other, "ch1", "gain")).to_have_text("44 dB")
    expect(cell(page, "ch1", "gain")).to_have_attribute(
        "data-under", "another page of yours: now 44 dB"
    )
    assert cell(page, "ch1", "gain").locator("input").input_value() == "2"


def test_one_more_is_found_and_taken_back(page: Page) -> None:
    page.locator("#more-field").fill("singer")
    keys(page, "Enter")
    page.locator("#offers .ways button").first.click(timeout=20_000)
    expect(cell(page, "ch1", "source")).not_to_be_empty()
    expect(page.locator("#undo")).to_be_enabled()
    keys(page, "Escape")
    page.locator("#undo").click()
    expect(cell(page, "ch1", "source")).to_have_text("")


def test_a_wrong_text_is_shown_at_its_line(page: Page, seen: Seen) -> None:
    page.goto(page.url.split("#")[0] + "#text")
    field = page.locator("#text-field")
    expect(field).to_have_value(SHOW)
    field.fill(SHOW.replace("loudspeaker-powered-12", "loudspeaker-powerd-12"))
    page.locator("#text button[type=submit]").click()
    expect(page.locator(".errors button").first).to_have_text("Line 5, column 3")
    expect(page.locator(".numbers .wrong")).to_have_text(["5"])
    field.fill(SHOW.replace("Hall", "Barn"))
    page.locator("#text button[type=submit]").click()
    expect(page.locator(".errors li")).to_have_count(0)
    assert seen.complaints == []


@pytest.mark.parametrize("viewport", [None, PHONE], ids=["laptop", "phone"])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_view_can_be_read_and_reached(
    viewport: dict[str, int] | None, scheme: str, open_page: OpenPage, served: Served, seen: Seen
) -> None:
    """Contrast, size, edges; and an accessibility checker with nothing serious to say."""
    page = came(open_page(viewport, color_scheme=scheme, reduced_motion="reduce"), served)
    for view in VIEWS:
        page.evaluate(f"location.hash = '#{view}'")
        page.wait_for_selector(f'[data-view="{view}"]:not([hidden])')
        texts: list[dict[str, Any]] = page.evaluate(TEXTS)
        weak = [t for t in texts if contrast(t["ink"], t["ground"]) < 4.5]
        small = [t for t in texts if t["size"] < 14]
        assert (view, weak, small) == (view, [], [])
        if scheme == "light":
            found = page.evaluate(OVERFLOWS)
            assert (view, found["over"]) == (view, 0)
            checked = Axe().run(page, options={"resultTypes": ["violations"]})
            serious = [
                (each["id"], each["nodes"][0]["html"])
                for each in checked.response["violations"]
                if each["impact"] in {"serious", "critical"}
            ]
            assert (view, serious) == (view, [])
    if scheme == "light":
        in_reach(page, is_phone=viewport is not None)
    assert seen.complaints == []
    own = served.address
    assert {address[: len(own)] for address in seen.addresses} == {own}


def in_reach(page: Page, *, is_phone: bool) -> None:
    """Views stand in one line from 1024 px on; on a phone a button says which is open."""
    links, menu = page.locator(".moments a"), page.locator(".menu")
    if not is_phone:
        for width in (1280, 1180, 1024):
            page.set_viewport_size({"width": width, "height": 768})
            boxes = [box for link in links.all() if (box := link.bounding_box())]
            assert len({round(box["y"]) for box in boxes}) == 1
            assert max(box["x"] + box["width"] for box in boxes) <= width
            assert (page.evaluate(OVERFLOWS)["over"], menu.is_visible()) == (0, False)
        names_until_typed_over(page)
        return
    assert (menu.inner_text(), links.first.is_visible()) == ("View: Text", False)
    menu.press("Enter")
    expect(links.last).to_be_visible()
    checked = Axe().run(page, options={"resultTypes": ["violations"]})
    assert [
        each["id"] for each in checked.response["violations"] if each["impact"] == "serious"
    ] == []
    keys(page, "Tab", "Tab", "Escape")
    expect(menu).to_be_focused()
    expect(links.first).not_to_be_visible()
    menu.click()
    page.get_by_role("link", name="Leads").click()
    expect(menu).to_have_text("View: Leads")
    expect(links.first).not_to_be_visible()


def names_until_typed_over(page: Page) -> None:
    """A field tells the name of what the file calls by an id, and has the id while it is open."""
    page.keyboard.press("Alt+g")
    field = page.locator('tr[data-key="desk"] input[name="type"]')
    expect(field).to_have_value("Mixer with 128 mic channels")
    field.focus()
    expect(field).to_have_value("mixer-of-the-test")
    page.keyboard.press("Tab")
    expect(field).to_have_value("Mixer with 128 mic channels")
    expect(page.locator("#undo")).to_be_disabled()  # nothing was changed by looking
    page.keyboard.press("Alt+l")
    lead = page.locator('tr[data-key="desk.main-left.out"]')
    expect(lead.locator('input[name="via"]')).to_have_value("XLR cable, 20 m")
    expect(lead.get_by_role("button")).to_have_accessible_name("Remove Desk, main-left")
