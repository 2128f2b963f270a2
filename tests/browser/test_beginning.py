"""The first minute in a real browser, with the real program behind the page."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from levelhead.gear.book import load_book
from levelhead.show.document import load_show
from levelhead.web.app import create_app
from levelhead.web.files.shelf import Shelf
from levelhead.web.library import Library
from tests.browser.conftest import PHONE, Seen, Served

pytestmark = pytest.mark.browser

OpenPage = Callable[..., Page]
ROOM_LEFT = "document.documentElement.scrollWidth <= window.innerWidth"


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Served]:
    with Served(create_app(Library(load_book), shelf=Shelf(tmp_path), book=load_book)) as served:
        yield served


@pytest.fixture(autouse=True)
def _quiet(seen: Seen) -> object:
    """Nothing in the console."""
    yield
    assert seen.complaints == []


def test_from_nothing_to_an_answer_that_moves_and_is_kept_by_keyboard(
    open_page: OpenPage, served: Served, tmp_path: Path
) -> None:
    page = open_page()
    page.goto(served.address)
    page.keyboard.type("vocal mic")
    expect(page.get_by_role("option").first).to_be_visible()
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    page.keyboard.type("compact mixer mic")
    expect(page.get_by_role("option").first).to_be_visible()
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Fine", exact=True)).to_be_visible()
    page.get_by_label("Length").focus()
    page.keyboard.type("300")
    expect(page.get_by_role("list", name="What moved")).to_contain_text("300 m, was XLR cable")
    page.get_by_label("Name of the new show").focus()
    page.keyboard.type("friday")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Friday", level=1)).to_be_visible()
    (link,) = load_show(str(tmp_path / "friday.yaml")).show.links
    assert [cable.length_m for cable in link.via] == [300.0]


def test_a_phone_begins_with_an_example_and_mends_it(
    open_page: OpenPage, served: Served, tmp_path: Path
) -> None:
    page = open_page(PHONE, has_touch=True, is_mobile=True)
    page.goto(served.address)
    assert page.evaluate(ROOM_LEFT)
    page.get_by_role("link", name="Conference, morning session").tap()
    expect(page.get_by_role("heading", name="Fails")).to_be_visible()
    assert page.evaluate(ROOM_LEFT)
    page.get_by_role("button", name="Make a copy and open it").tap()
    page.get_by_role("button", name="Do this in the file").tap()
    expect(page.get_by_role("heading", name="Fine")).to_be_visible()
    assert load_show(str(tmp_path / "conference.yaml")).show.settings["desk.ch2.phantom"] == "on"


def test_a_list_is_pasted_asked_about_and_built(
    open_page: OpenPage, served: Served, tmp_path: Path
) -> None:
    page = open_page(PHONE)
    page.goto(served.address + "list")
    page.get_by_label("Inputs").fill("1 kick\n2 bass DI\n3 zorg")
    page.get_by_role("button", name="Show what you understand").press("Enter")
    page.get_by_label("What is 'zorg'?").fill("keys")
    page.get_by_role("button", name="Look again").press("Enter")
    expect(page.get_by_role("heading", name="Understood: 3 of 3 inputs")).to_be_visible()
    assert page.evaluate(ROOM_LEFT)
    assert list(tmp_path.iterdir()) == []
    page.get_by_label("Name of the new show").fill("band")
    page.get_by_role("button", name="Build the show").press("Enter")
    expect(page.get_by_role("heading", name="Band", level=1)).to_be_visible()
    assert len(load_show(str(tmp_path / "band.yaml")).show.links) == 5
