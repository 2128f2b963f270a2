"""The page for the phone: room at 390 px, ticks that stay, nothing asked of any machine."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from levelhead.exchange.sheets.pack import paper_pack
from levelhead.paper.phone import sheets_to_html
from tests.browser.conftest import PHONE, Seen
from tests.browser.test_look import LEAST_TYPE_PX, OVERFLOWS, TEXTS, contrast
from tests.paper.shows import checked, checked_abroad

pytestmark = pytest.mark.browser

OpenPage = Callable[..., Page]
LEAST_TARGET_PX = 44  # WCAG 2.1, 2.5.5
SMALL = """() => [...document.querySelectorAll("a, button, label")]
    .filter((node) => node.getBoundingClientRect().height < 44).map((node) => node.textContent)"""


@pytest.fixture
def place(tmp_path: Path) -> Path:
    page = tmp_path / "show.html"
    page.write_text(sheets_to_html(paper_pack(checked("church-band.yaml"))), encoding="utf-8")
    return page


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_it_is_readable_on_a_phone(open_page: OpenPage, place: Path, scheme: str) -> None:
    page = open_page(PHONE, color_scheme=scheme)
    page.goto(place.as_uri())
    assert page.evaluate(OVERFLOWS) == {"over": 0, "cut": []}
    assert page.evaluate(SMALL) == []
    texts = page.evaluate(TEXTS)
    assert len(texts) > 100
    assert min(each["size"] for each in texts) >= LEAST_TYPE_PX
    assert min(contrast(each["ink"], each["ground"]) for each in texts) >= 7


def test_ticks_stay_by_keyboard_and_touch(open_page: OpenPage, place: Path, seen: Seen) -> None:
    page = open_page(PHONE)
    page.goto(place.as_uri())
    boxes = page.locator("#patch input")
    boxes.nth(0).focus()
    page.keyboard.press("Space")
    page.locator("#patch label").nth(1).click()
    expect(page.locator("#patch [data-count]")).to_contain_text("2 of ")
    page.reload()
    expect(boxes.nth(0)).to_be_checked()
    expect(boxes.nth(1)).to_be_checked()
    expect(boxes.nth(2)).not_to_be_checked()
    page.get_by_role("button", name="Take all ticks off").click()
    expect(boxes.nth(0)).not_to_be_checked()
    assert seen.complaints == []
    assert {address.partition(":")[0] for address in seen.addresses} == {"file"}


def test_it_works_where_nothing_may_be_kept(open_page: OpenPage, place: Path, seen: Seen) -> None:
    page = open_page(PHONE)
    page.add_init_script(
        "Object.defineProperty(window, 'localStorage', { get() { throw new Error('no'); } })"
    )
    page.goto(place.as_uri())
    page.locator("#patch label").nth(0).click()
    expect(page.locator("#patch [data-count]")).to_contain_text("1 of ")
    assert seen.complaints == []


def test_names_are_text_and_never_markup(open_page: OpenPage, tmp_path: Path) -> None:
    place = tmp_path / "abroad.html"
    place.write_text(sheets_to_html(paper_pack(checked_abroad())), encoding="utf-8")
    page = open_page(PHONE)
    page.goto(place.as_uri())
    expect(page.get_by_role("heading", level=1)).to_have_text("Bal & fête")
    expect(page.locator("#patch")).to_contain_text("+Жанна")
