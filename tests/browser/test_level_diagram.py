"""The level diagram as a browser sets it: no text over another, none cut off, in either scheme."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page

from levelhead.chain.solve import solve
from levelhead.drawing.levels.diagram import level_diagram_of
from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.show.document import load_show
from tests.browser.conftest import LAPTOP

pytestmark = pytest.mark.browser

SHOWS = sorted((Path(__file__).parents[2] / "src" / "levelhead" / "examples").glob("*.yaml"))

# Texts of the drawing that touch another text or reach over its edge, by their real boxes.
OVERLAPS = """() => {
    const svg = document.querySelector("svg").getBoundingClientRect();
    const texts = [...document.querySelectorAll("svg text")];
    const boxes = texts.map((node) => node.getBoundingClientRect());
    const found = [];
    boxes.forEach((a, i) => {
        if (a.left < svg.left || a.right > svg.right) found.push(texts[i].textContent);
        boxes.slice(i + 1).forEach((b, j) => {
            const across = Math.min(a.right, b.right) - Math.max(a.left, b.left);
            const down = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
            if (across > 0.5 && down > 2)
                found.push(texts[i].textContent + " / " + texts[i + 1 + j].textContent);
        });
    });
    return { count: texts.length, found };
}"""


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("show", SHOWS, ids=lambda path: path.stem)
def test_no_text_is_hidden(show: Path, scheme: str, open_page: Callable[..., Page]) -> None:
    document = load_show(show)
    drawing = level_diagram_of(solve(build_rig(document.show, load_book(), document)))
    page = open_page({**LAPTOP, "width": 1280}, color_scheme=scheme)
    page.set_content(drawing)
    seen: dict[str, Any] = page.evaluate(OVERLAPS)
    assert seen["count"] > 50
    assert seen["found"] == []
