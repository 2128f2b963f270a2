"""Tables of plain fields in a real browser: they fit, and what is folded away can be reached."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Seen, served_show

pytestmark = pytest.mark.browser

EXAMPLES = Path(__file__).parents[2] / "src" / "levelhead" / "examples"
SMALL_LAPTOP = {"width": 1366, "height": 768}
NO_SIDEWAYS = """() => ![...document.querySelectorAll(".scroll")]
    .some((each) => each.checkVisibility() && each.scrollWidth > each.clientWidth + 1)"""


@pytest.fixture
def page(open_page: Callable[..., Page], tmp_path: Path) -> Iterator[Page]:
    """The example with most leads, and long names."""
    path = tmp_path / "outdoor-stage.yaml"
    shutil.copy(EXAMPLES / path.name, path)
    with served_show(path) as served:
        page = open_page(SMALL_LAPTOP)
        page.goto(f"{served.address}show")
        page.wait_for_selector("body[data-ready]", timeout=20_000)
        yield page


def test_tables_fit_and_folded_fields_open(page: Page, seen: Seen) -> None:
    """No table scrolls sideways on a small laptop; a folded field is one press away."""
    for view in ("outputs", "leads", "gear", "stock", "settings", "plan"):
        page.evaluate("view => { location.hash = view; }", view)
        expect(page.locator(f'[data-view="{view}"] table.plain').first).to_be_visible()
        page.wait_for_function(NO_SIDEWAYS)
    page.evaluate("location.hash = 'gear'")
    note = page.locator('#items-table [data-key="desk"] [name="note"]')
    expect(note).to_be_hidden()
    page.locator("#items-table").get_by_role("button", name="More fields").click()
    expect(page.locator("#items-table :focus")).to_be_visible()
    expect(note).to_be_visible()
    note.fill("mind the step")
    note.press("Enter")
    expect(page.locator("#undo")).to_be_enabled()
    page.locator("#undo").click()
    expect(note).to_have_value("")
    expect(note).to_be_visible()  # does not vanish under the hand
    assert seen.complaints == []
