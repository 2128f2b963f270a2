"""The page of sound check in a real browser: ticks that stay, a reading, the plan taken over."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from tests.browser.conftest import PHONE, served_show
from tests.browser.test_look import OVERFLOWS
from tests.web.hall import TEXT

pytestmark = pytest.mark.browser


@pytest.fixture
def page(open_page: Callable[..., Page], tmp_path: Path) -> Iterator[Page]:
    """The page of a small hall."""
    path = tmp_path / "hall.yaml"
    path.write_text(TEXT, encoding="utf-8")
    with served_show(path) as served:
        page = open_page()
        page.goto(f"{served.address}show/hall/sound-check")
        yield page


def test_a_sound_check_is_ticked_read_and_taken_over(page: Page) -> None:
    """One visit, as somebody at the desk makes it."""
    page.set_viewport_size(PHONE)
    assert page.evaluate(OVERFLOWS) == {"over": 0, "cut": []}
    found = Axe().run(page).response["violations"]
    assert [each["id"] for each in found if each["impact"] in {"serious", "critical"}] == []

    boxes, count = page.locator("#order input[type=checkbox]"), page.locator("[data-count]")
    expect(count).to_have_text(f"0 of {boxes.count()} done")
    boxes.first.check()
    expect(count).to_have_text(f"1 of {boxes.count()} done")
    page.reload()
    expect(count).to_have_text(f"1 of {boxes.count()} done")
    expect(boxes.first).to_be_checked()

    page.get_by_label("One line each").fill("desk.ch1.preamp: +1 dBu")
    page.get_by_role("button", name="What does that say?").click()
    expect(page.locator(".reading h3")).to_have_count(1)

    page.get_by_role("button", name="Take the gain plan over").click()
    expect(page.get_by_role("button", name="Take the gain plan over")).to_have_count(0)
