"""The gain plan in a real browser: beside what is set, and taken over by one press."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from tests.browser.conftest import PHONE, served_show
from tests.browser.test_look import OVERFLOWS
from tests.web.hall import TEXT

pytestmark = pytest.mark.browser


def test_one_press_takes_the_plan_over(open_page: Callable[..., Page], tmp_path: Path) -> None:
    path = tmp_path / "hall.yaml"
    path.write_text(TEXT, encoding="utf-8")
    with served_show(path) as served:
        page = open_page()
        page.goto(f"{served.address}show")
        page.wait_for_selector("body[data-ready]")
        page.get_by_role("link", name="Gains", exact=True).click()
        row = page.locator('#gains-table tr[data-key="desk.ch1.gain"]')
        expect(row).to_contain_text("36 dB")
        expect(row.locator("svg")).to_be_visible()
        expect(page.locator("#gains-plan")).not_to_contain_text("null")
        page.set_viewport_size(PHONE)
        assert page.evaluate(OVERFLOWS) == {"over": 0, "cut": []}
        found = Axe().run(page).response["violations"]
        assert [each["id"] for each in found if each["impact"] in {"serious", "critical"}] == []
        page.locator("#take-gains").click()
        expect(page.get_by_text("Everything stands where it goes.")).to_be_visible()
        expect(page.locator("#undo")).to_be_enabled()
        page.locator("#undo").click()
        expect(page.locator("#take-gains")).to_be_visible()
