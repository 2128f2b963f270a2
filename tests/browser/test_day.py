"""Show day on a phone in a real browser: the line check from start to end with one thumb."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from tests.browser.conftest import PHONE, Seen, served_show
from tests.browser.test_look import LEAST_TYPE_PX, OVERFLOWS, TEXTS, contrast
from tests.paper.shows import EXAMPLES

pytestmark = pytest.mark.browser

OpenPage = Callable[..., Page]
LEAST_TARGET_PX = 44  # WCAG 2.1, 2.5.5
SMALL = """() => [...document.querySelectorAll("a, button, select, input")]
    .filter((node) => node.checkVisibility() && node.getBoundingClientRect().height < 44)
    .map((node) => node.textContent)"""
REACH = """() => [...document.querySelectorAll("footer.thumb button, footer.thumb a")]
    .map((node) => node.getBoundingClientRect().top)"""


@pytest.fixture
def address(tmp_path: Path) -> Iterator[str]:
    path = tmp_path / "duo.yaml"
    path.write_text((EXAMPLES / "duo-in-a-pub.yaml").read_text(encoding="utf-8"), "utf-8")
    with served_show(path) as served:
        yield f"{served.address}show/duo"


def ready(page: Page, address: str) -> Page:
    page.goto(address)
    page.wait_for_selector("body[data-ready]", timeout=20_000)
    return page


def is_readable(page: Page) -> None:
    """Nothing sticks out, is small, pale, or too small to be hit; nothing serious by axe."""
    assert page.evaluate(OVERFLOWS) == {"over": 0, "cut": []}
    assert page.evaluate(SMALL) == []
    texts = page.evaluate(TEXTS)
    assert min(each["size"] for each in texts) >= LEAST_TYPE_PX
    assert min(contrast(each["ink"], each["ground"]) for each in texts) >= 7
    found = Axe().run(page).response["violations"]
    assert [each["id"] for each in found if each["impact"] in {"serious", "critical"}] == []


def test_line_check_start_to_end_with_one_thumb(
    open_page: OpenPage, address: str, seen: Seen
) -> None:
    """Locked, every line ticked by touch, one noted, one read; the desk's screen goes along."""
    phone = ready(open_page(PHONE, has_touch=True, color_scheme="light"), f"{address}/day")
    desk = ready(open_page(), f"{address}/day")
    is_readable(phone)
    assert phone.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(15, 18, 20)"
    assert min(phone.evaluate(REACH)) > PHONE["height"] / 2
    phone.locator("#lock").tap()
    expect(desk.locator("#locked")).to_contain_text("locked for the show")
    count = desk.locator("#all li").count()
    assert count >= 3
    phone.locator("#write-note").tap()
    phone.locator("#note-field").fill("stand squeaks")
    phone.locator("#note button").tap()
    expect(desk.locator("#card-marks")).to_contain_text("stand squeaks")
    phone.locator("#write-reading").tap()
    phone.locator("#reading-field").fill("6")
    phone.locator("#reading button[type=submit]").tap()
    expect(phone.locator("#card-answer")).to_contain_text("than was taken", timeout=20_000)
    phone.get_by_role("button", name="Write it into the show").tap()
    expect(desk.locator("#card-marks")).to_contain_text("Meter read −6 dB", timeout=20_000)
    for done in range(1, count + 1):
        phone.locator("#tick").tap()
        expect(desk.locator("#count")).to_have_text(f"{done} of {count}")
    expect(phone.locator("#tick")).to_have_text("Done. Take the tick off")
    desk.locator("#all button").first.click()
    desk.locator("#tick").click()
    expect(phone.locator("#count")).to_have_text(f"{count - 1} of {count}")
    phone.locator("#lock").tap()
    phone.get_by_role("button", name="Unlock", exact=True).last.tap()
    expect(desk.locator("#locked")).to_be_hidden()
    assert seen.complaints == []


@pytest.mark.long
def test_a_walk_by_touch(open_page: OpenPage, address: str, seen: Seen) -> None:
    """From the card to the walk, right, then a reading: the fault lies in between."""
    page = ready(open_page(PHONE, has_touch=True), f"{address}/day")
    page.locator("#wrong").tap()
    page.wait_for_url("**/walk?at=*")
    is_readable(page)
    for stop in (1, 2):
        page.get_by_role("link", name="As expected", exact=True).tap()
        expect(page.locator(".now")).to_contain_text(f"Stop {stop + 1} of")
    page.locator("#value").fill("40")
    page.get_by_role("button", name="Tell").tap()
    expect(page.locator("#answer")).to_contain_text("The fault lies behind")
    is_readable(page)
    assert seen.complaints == []
