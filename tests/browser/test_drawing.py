"""The drawing in a real browser: by keys along the signal, by the pointer, as a list on a phone."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from tests.browser.conftest import PHONE, Seen, served_show
from tests.browser.test_look import OVERFLOWS

pytestmark = pytest.mark.browser

EXAMPLES = Path(__file__).parents[2] / "src" / "levelhead" / "examples"
CHURCH = EXAMPLES / "church-with-band.yaml"  # its reverb rings
FILLS = """() => {
    const box = document.querySelector('.ground svg').viewBox.baseVal
    const area = document.querySelector('.ground svg').getBoundingClientRect()
    return Math.abs(box.width / box.height / (area.width / area.height) - 1) < 0.02
}"""
VIEW = "document.querySelector('.ground svg').getAttribute('viewBox')"


def test_the_drawing_by_keys_by_pointer_and_as_a_list(
    open_page: Callable[..., Page], tmp_path: Path, seen: Seen
) -> None:
    path = tmp_path / "church.yaml"
    path.write_text(CHURCH.read_text(encoding="utf-8"), encoding="utf-8")
    with served_show(path) as served:
        page = open_page()
        page.goto(f"{served.address}show")
        page.wait_for_selector("body[data-ready]")
        page.keyboard.press("Alt+d")
        expect(page.locator('.ground g[data-item="reverb"]')).to_be_visible()
        along_the_signal(page)
        moved_by_hand(page)
        found_in_place(page)
        found = Axe().run(page).response["violations"]
        assert [each["id"] for each in found if each["impact"] in {"serious", "critical"}] == []
        turned_by_hand(page)
        page.locator(".part").get_by_role("button", name="Close").click()
        page.set_viewport_size(PHONE)
        page.get_by_role("button", name="List", exact=True).click()
        assert page.evaluate(OVERFLOWS) == {"over": 0, "cut": []}
        page.locator(".signal-list .thing").first.click()
        expect(page.locator(".part h2")).to_be_focused()
        assert seen.complaints == []


def along_the_signal(page: Page) -> None:
    """Right goes from a box to its lead, and on to the next box; Enter opens, Escape closes."""
    first = page.locator('.ground [tabindex="0"]')
    expect(first).to_be_focused()
    page.keyboard.press("ArrowRight")
    lead = page.locator(".ground g[data-lead]:focus")
    expect(lead).to_have_count(1)
    goal = (lead.get_attribute("data-lead") or "").split(">")[1].split(".")[0]
    page.keyboard.press("ArrowRight")
    assert page.evaluate("document.activeElement.dataset.item") == goal
    page.keyboard.press("Enter")
    expect(page.locator(".part h2")).to_be_focused()
    page.keyboard.press("Escape")
    expect(page.locator(".part")).to_be_hidden()
    assert page.evaluate("document.activeElement.dataset.item") == goal


def moved_by_hand(page: Page) -> None:
    """A drag moves the drawing and presses nothing; the wheel makes it larger."""
    page.wait_for_function(FILLS)  # the part that was closed gives its room a moment later
    before = page.evaluate(VIEW)
    area = page.locator(".ground").bounding_box()
    assert area is not None
    page.mouse.move(area["x"] + 300, area["y"] + 60)
    page.mouse.down()
    page.mouse.move(area["x"] + 200, area["y"] + 90, steps=3)
    page.mouse.up()
    after = page.evaluate(VIEW)
    assert after.split()[2:] == before.split()[2:]
    assert float(after.split()[0]) > float(before.split()[0])
    expect(page.locator(".part")).to_be_hidden()
    page.mouse.wheel(0, -300)
    page.wait_for_function(f"before => {VIEW} !== before", arg=after)
    assert float(page.evaluate(VIEW).split()[2]) < float(after.split()[2])
    page.get_by_role("button", name="Whole").click()
    two_fingers(page, area["x"] + area["width"] / 2, area["y"] + area["height"] / 2)
    page.get_by_role("button", name="Whole").click()


def two_fingers(page: Page, x: float, y: float) -> None:
    """Spread fingers make the drawing larger, and press nothing."""
    before = float(page.evaluate(VIEW).split()[2])
    touch = page.context.new_cdp_session(page)

    def sent(kind: str, apart: float | None = None) -> None:
        points = [] if apart is None else [(x - apart, 0), (x + apart, 1)]
        fingers = [{"x": across, "y": y, "id": finger} for across, finger in points]
        touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": fingers})

    sent("touchStart", 20)
    for apart in (30, 40, 60, 80):
        sent("touchMove", apart)
    sent("touchEnd")
    page.wait_for_function(f"before => Number({VIEW}.split(' ')[2]) < before / 2", arg=before)
    expect(page.locator(".part")).to_be_hidden()


def found_in_place(page: Page) -> None:
    """A finding is marked at its box; a press tells it, and leads to its place in the list."""
    box = page.locator('.ground g[data-item="reverb"]')
    expect(box).to_have_attribute("aria-label", re.compile("Fails"), timeout=20_000)
    box.locator(".box").click()
    expect(page.locator(".part")).to_contain_text("Fails")
    page.locator(".part").get_by_role("button", name="Show it in the list").first.click()
    expect(page.locator("#findings-list li:focus")).to_have_count(1)
    page.keyboard.press("Alt+d")
    expect(page.locator(".ground")).to_be_visible()


def turned_by_hand(page: Page) -> None:
    """A gain dragged moves what is behind it at once; let go it is one step, and so is its undo."""
    page.keyboard.press("Alt+e")
    gain = page.locator(".lanes input[type=range]").first
    gain.evaluate("input => input.scrollIntoView({block: 'center'})")
    last = page.locator(".lanes [data-at] [data-figure=nominal]").last
    before, steps = last.inner_text(), page.locator("#undo").get_attribute("title")
    area = gain.bounding_box()
    assert area is not None
    y = area["y"] + area["height"] / 2
    page.mouse.move(area["x"] + area["width"] / 2, y)
    page.mouse.down()
    page.mouse.move(area["x"] + area["width"] * 0.3, y, steps=5)
    expect(page.locator(".lanes .is-tried output")).to_have_count(1)
    expect(last).not_to_have_text(before)
    assert page.locator("#undo").get_attribute("title") == steps  # nothing is written yet
    page.mouse.up()
    expect(page.locator(".lanes .is-tried")).to_have_count(0)
    page.locator("#undo").click()
    expect(last).to_have_text(before)
    gain.focus()
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("Enter")
    expect(page.locator("#undo")).to_be_enabled()
    found = Axe().run(page).response["violations"]
    assert [each["id"] for each in found if each["impact"] in {"serious", "critical"}] == []
    page.keyboard.press("Alt+d")
    expect(page.locator(".ground")).to_be_visible()
