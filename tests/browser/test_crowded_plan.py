"""Forty things on a plan: a layout to begin with, a finger that drags, words that are read."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from levelhead.acoustics.heard.heard import heard_by
from levelhead.chain.solve import solve
from levelhead.drawing.plan.stage_plan import stage_plan
from levelhead.drawing.seats.seat_map import seat_map_svg
from levelhead.exchange.paperwork.work import Paperwork
from levelhead.exchange.sheets.pack import PLANS, check_for
from levelhead.gear.book import load_book
from levelhead.planning.first_places import first_places
from levelhead.rig.build import build_rig
from levelhead.show.document import parse_show
from levelhead.show.edits import apply
from tests.browser.conftest import LAPTOP, PHONE, Seen, served_show
from tests.browser.test_look import OVERFLOWS

pytestmark = pytest.mark.browser

SINGERS = 28
HEARD = 3  # of them; the others stand there without a lead
# Words that lie on words: of each two of a drawing that are shown, by their boxes.
OVERLAPS = """selector => {
  const shown = [...document.querySelectorAll(`${selector} text`)].filter((each) => each.getAttribute("visibility") !== "hidden" && each.textContent.trim());
  const boxes = shown.map((each) => [each.textContent, each.getBoundingClientRect()]);
  const over = ([, a], [, b]) => Math.min(a.right, b.right) - Math.max(a.left, b.left) > 1 && Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 5;
  return boxes.flatMap((one, index) => boxes.slice(index + 1).filter((other) => over(one, other)).map((other) => `${one[0]} on ${other[0]}`));
}"""  # noqa: E501 - a script


def crowd() -> str:
    """A choir with a microphone each, six loudspeakers, a desk, boxes; nothing has a place."""
    mics = [
        f'  v{n}: {{type: mic-vocal-dynamic, label: "Voice number {n}"}}' for n in range(SINGERS)
    ]
    sources = [f"  s{n}: {{type: voice-singer, at: v{n}}}" for n in range(HEARD)]
    into = [
        f"  - {{from: v{n}.out, to: desk.ch{n + 1}.mic, via: [cable-xlr 10 m]}}"
        for n in range(HEARD)
    ]
    wedges = [f"  w{n}: {{type: loudspeaker-powered-12, label: Wedge {n}}}" for n in range(1, 5)]
    out = [
        f"  - {{from: desk.aux{n}.out, to: w{n}.in, via: [cable-xlr 10 m]}}" for n in range(1, 5)
    ]
    rest = [f"  r{n}: {{type: di-active, label: Spare box {n}}}" for n in range(5)]
    lines = [
        "levelhead: 1",
        "show: {name: Choir}",
        "items:",
        *mics,
        "  desk: {type: mixer-digital-32, label: Desk}",
        "  left: {type: loudspeaker-powered-12, label: Left loudspeaker}",
        "  right: {type: loudspeaker-powered-12, label: Right loudspeaker}",
        *wedges,
        *rest,
        "sources:",
        *sources,
        "links:",
        *into,
        "  - {from: desk.main-left.out, to: left.in, via: [cable-xlr 20 m]}",
        "  - {from: desk.main-right.out, to: right.in, via: [cable-xlr 20 m]}",
        *out,
        "room: {corners: [[-6, -4], [6, -4], [6, 16], [-6, 16]], height: 5 m}",
        "areas:",
        "  stalls: {corners: [[-5, 3], [5, 3], [5, 13], [-5, 13]]}",
        "  rail: {label: At the rail, at: [3, 14, 1.2]}",
    ]
    return "\n".join(lines) + "\n"


@pytest.fixture
def phone(open_page: Callable[..., Page], tmp_path: Path) -> Iterator[Page]:
    """The plan of the choir on a phone."""
    path = tmp_path / "choir.yaml"
    path.write_text(crowd(), encoding="utf-8")
    with served_show(path) as served:
        page = open_page(PHONE, has_touch=True, is_mobile=True)
        page.goto(f"{served.address}show#plan")
        page.wait_for_selector("#plan-begin", timeout=20_000)
        yield page


def finger(page: Page, start: tuple[float, float], end: tuple[float, float]) -> None:
    """A finger down at a place, moved in two steps, and up."""
    session: Any = page.context.new_cdp_session(page)
    halfway = tuple((a + b) / 2 for a, b in zip(start, end, strict=True))
    for kind, at in (("Start", start), ("Move", halfway), ("Move", end), ("End", None)):
        points = [] if at is None else [{"x": at[0], "y": at[1]}]
        session.send("Input.dispatchTouchEvent", {"type": f"touch{kind}", "touchPoints": points})


def middle(page: Page, selector: str) -> tuple[float, float]:
    page.locator(selector).scroll_into_view_if_needed()
    box = page.locator(selector).bounding_box()
    assert box is not None
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def for_paper() -> Iterator[str]:
    """The map of the seats and the stage plan of the same choir, with everything at its place."""
    document = parse_show(crowd(), "choir.yaml")
    show = document.show
    placed, _ = apply(show, first_places(build_rig(show, load_book())))
    solution = solve(build_rig(placed, load_book()))
    yield seat_map_svg(heard_by(solution), placed)
    work = Paperwork(check_for(("stage",), placed, load_book(), document))
    assert PLANS["stage"].pictures is not None
    (picture,) = PLANS["stage"].pictures(work)
    yield stage_plan(work.rig, picture.stage, width=1076, height=560)


def test_forty_things_by_finger(phone: Page, seen: Seen) -> None:
    """Pressed, placed, dragged by touch; no words lie on others on a phone or a laptop."""
    phone.locator("#plan-begin").tap()
    expect(phone.locator(".thing")).to_have_count(SINGERS + 12, timeout=20_000)
    phone.wait_for_selector("#plan-legend .tone", timeout=20_000)
    assert phone.evaluate(OVERLAPS, "svg.plan") == []
    assert phone.evaluate(OVERFLOWS) == {"over": 0, "cut": []}

    x, y = middle(phone, '.thing[data-id="left"] .hit')
    finger(phone, (x, y), (x + 30, y - 20))
    expect(phone.locator("#undo")).to_have_attribute("title", re.compile("Move Left loudspeaker"))
    expect(phone.locator("text.chosen")).to_have_text("Left loudspeaker")
    assert phone.evaluate(OVERLAPS, "svg.plan") == []
    phone.set_viewport_size(LAPTOP)
    phone.wait_for_timeout(300)
    assert phone.evaluate(OVERLAPS, "svg.plan") == []
    assert seen.complaints == []
    phone.goto("about:blank")
    for drawing in for_paper():
        phone.set_content(drawing)
        assert phone.evaluate(OVERLAPS, "svg") == []
