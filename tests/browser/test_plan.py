"""The plan in a real browser: dragged, moved by keys and by numbers, taken back; on a phone too."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from tests.browser.conftest import PHONE, Seen, served_show
from tests.browser.test_look import OVERFLOWS
from tests.web.hall import PLACED

pytestmark = pytest.mark.browser


@pytest.fixture
def plan(open_page: Callable[..., Page], tmp_path: Path) -> Iterator[Page]:
    """The plan of a small hall with its room and seats."""
    path = tmp_path / "hall.yaml"
    path.write_text(PLACED, encoding="utf-8")
    with served_show(path) as served:
        page = open_page()
        page.goto(f"{served.address}show#plan")
        page.wait_for_selector("#plan-legend .tone", timeout=20_000)
        left, right = (middle(page, f'.thing[data-id="{each}"] .hit') for each in ("left", "right"))
        page.evaluate("metre => { window.scale = metre; }", (right[0] - left[0]) / 8)
        yield page


def numbers(page: Page, item: str) -> list[float]:
    """Place and aim of a thing as they stand in the table."""
    fields = page.locator(f'#plan-numbers tr[data-key="{item}"] input')
    shown = [fields.nth(n).input_value().replace("\N{MINUS SIGN}", "-") for n in range(6)]
    return [float(each or "nan") for each in shown]


def middle(page: Page, selector: str) -> tuple[float, float]:
    box = page.locator(selector).bounding_box()
    assert box is not None
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def drag(page: Page, selector: str, right_m: float, into_m: float) -> None:
    """By metres; the loudspeakers of the hall stand 8 m apart."""
    page.evaluate("scrollTo(0, 0)")
    (x, y), scale = middle(page, selector), page.evaluate("scale")
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + scale * right_m / 2, y - scale * into_m / 2)
    page.mouse.move(x + scale * right_m, y - scale * into_m)
    page.mouse.up()


def undone(page: Page, words: str) -> None:
    """What undo would take back."""
    expect(page.locator("#undo")).to_have_attribute("title", re.compile(re.escape(words)))


def moved_by_hand(page: Page) -> None:
    drag(page, '.thing[data-id="left"] .hit', 1.5, 0)
    undone(page, "Move left to -2.5, 0, 2.2 m")
    assert numbers(page, "left") == [-2.5, 0, 2.2, -1, 8, 1.2]
    drag(page, ".handle .hit", 0, -1.5)
    undone(page, "Aim left at -1, 6.5, 1.2 m")


def moved_by_keys(page: Page) -> None:
    """A run of keys is one step."""
    page.locator('.thing[data-id="left"]').focus()
    for key in ("ArrowUp", "ArrowUp", "Shift+ArrowLeft", "+"):
        page.keyboard.press(key)
    undone(page, "Move left to -3.5, 0.2, 2.3 m")
    page.keyboard.press(".")
    undone(page, "Aim left at -0.46, 6.26, 1.2 m")
    expect(page.locator("#plan-read")).to_contain_text("turned 27° to the right, 9° down")


def moved_by_numbers(page: Page) -> None:
    field = page.locator('#plan-numbers tr[data-key="left"] input').first
    at = middle(page, '.thing[data-id="left"] .hit')
    field.fill("-4,5")
    field.press("Enter")
    undone(page, "Move left to -4.5, 0.2, 2.3 m")
    assert middle(page, '.thing[data-id="left"] .hit')[0] < at[0] - 10
    field.fill("far")
    field.press("Enter")
    expect(page.get_by_role("alert")).to_contain_text("far")


def taken_back(page: Page, steps: int) -> None:
    undo = page.locator("#undo")
    for _ in range(steps):
        title = undo.get_attribute("title")
        undo.click()
        expect(undo).not_to_have_attribute("title", title or "")
    expect(undo).to_be_disabled()


def test_things_are_moved_by_hand_by_keys_and_by_numbers(plan: Page, seen: Seen) -> None:
    before = numbers(plan, "left")
    moved_by_hand(plan)
    moved_by_keys(plan)
    moved_by_numbers(plan)
    taken_back(plan, 5)
    assert numbers(plan, "left") == before

    expect(plan.locator("#plan-lines")).to_contain_text("dB(A), from")
    plan.select_option("#plan-map", "1000")
    expect(plan.locator("#plan-legend")).to_contain_text("dB SPL")
    plan.locator(".reader").focus()
    plan.keyboard.press("ArrowLeft")
    expect(plan.locator("#plan-read")).to_contain_text("stalls, 2.0 m left, 8.0 m into the hall: ")
    expect(plan.locator("#plan-read")).to_contain_text("STI 0.")
    plan.locator('.thing[data-id="left"]').focus()
    plan.keyboard.press("PageDown")
    expect(plan.locator('.thing[data-id="right"]')).to_be_focused()
    plan.set_viewport_size(PHONE)
    assert plan.evaluate(OVERFLOWS) == {"over": 0, "cut": []}
    found = Axe().run(plan).response["violations"]
    assert [each["id"] for each in found if each["impact"] in {"serious", "critical"}] == []
    assert seen.complaints == []


def test_outdoors_the_stage_is_named_beside_its_edge(
    open_page: Callable[..., Page], tmp_path: Path, seen: Seen
) -> None:
    """There is no room whose walls would say how wide it is."""
    path = tmp_path / "meadow.yaml"
    room = next(line for line in PLACED.splitlines() if line.startswith("room:"))
    text = PLACED.replace(room, "room: {where: outdoors}").replace("at: [-4, 0,", "at: [-2, 2,")
    path.write_text(text, encoding="utf-8")
    with served_show(path) as served:
        page = open_page()
        page.goto(f"{served.address}show#plan")
        page.wait_for_selector("#plan-legend .tone", timeout=20_000)
        name = page.locator("svg.plan text", has_text="stage").bounding_box()
        drawn = page.locator("svg.plan").bounding_box()
    assert name is not None
    assert drawn is not None
    assert name["x"] > drawn["x"] + 10
    assert seen.complaints == []
