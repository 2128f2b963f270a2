"""What eyes need: room, contrast, both schemes, both sizes, names for screen readers, print."""

from __future__ import annotations

import io
from collections.abc import Callable
from itertools import pairwise
from typing import Any

import pytest
from playwright.sync_api import Page
from pypdf import PdfReader

from tests.browser.conftest import LAPTOP, PHONE, Seen, Served
from tests.web.fake_asker import ANSWERS

pytestmark = pytest.mark.browser

OpenPage = Callable[..., Page]
TARGET = "mixer-compact.ch5.line"
ADDRESSES = ["", *(f"?from={source}&to={TARGET}" for source in ANSWERS), "?from=zebra&to=mixer"]
LEAST_CONTRAST = 4.5  # WCAG 2.1, 1.4.3
LEAST_TYPE_PX = 14.0

# Every run of visible text with its colour, the ground under it and its size on screen.
TEXTS = """() => {
    const shown = (node) => node.checkVisibility({ checkOpacity: true, checkVisibilityCSS: true });
    const groundOf = (node) => {
        for (let at = node; at; at = at.parentElement) {
            const ground = getComputedStyle(at).backgroundColor;
            if (!/^rgba\\(.*, 0\\)$/.test(ground)) return ground;
        }
        return "rgb(255, 255, 255)";
    };
    const found = [];
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    while (walker.nextNode()) {
        const node = walker.currentNode.parentElement;
        if (!walker.currentNode.data.trim() || !shown(node)) continue;
        if (node.closest(".unseen, script")) continue;
        const style = getComputedStyle(node);
        const svg = node.ownerSVGElement;
        const scale = svg ? svg.getBoundingClientRect().width / svg.viewBox.baseVal.width : 1;
        found.push({
            text: walker.currentNode.data.trim(),
            ink: svg ? style.fill : style.color,
            ground: groundOf(node),
            size: parseFloat(style.fontSize) * scale,
        });
    }
    for (const node of document.querySelectorAll("input")) {
        if (!shown(node)) continue;
        const style = getComputedStyle(node, "::placeholder");
        const ground = groundOf(node);
        const size = parseFloat(style.fontSize);
        found.push({ text: "placeholder", ink: style.color, ground, size });
        found.push({ text: "input", ink: getComputedStyle(node).color, ground, size });
    }
    return found;
}"""

# Whatever reaches over the right edge of the screen or is cut inside its own box.
OVERFLOWS = """() => {
    const over = document.documentElement.scrollWidth - window.innerWidth;
    const cut = [...document.querySelectorAll("svg text, p, li, h1, h2, h3, button, label")]
        .filter((node) => node.checkVisibility() && !node.closest(".unseen"))
        .filter((node) => {
            const svg = node.ownerSVGElement;
            const box = node.getBoundingClientRect();
            const room = (svg || document.body).getBoundingClientRect();
            return box.right > room.right + 1 || box.left < room.left - 1;
        });
    return { over, cut: cut.map((node) => node.textContent) };
}"""


def channels(colour: str) -> list[float]:
    """Red, green, blue from 0 to 1 of ``rgb(...)``; a colour seen through is an error here."""
    parts = colour[colour.index("(") + 1 : -1].split(",")
    assert len(parts) == 3, colour
    return [int(part) / 255 for part in parts]


def luminance(colour: str) -> float:
    """Relative luminance, WCAG 2.1, definition."""
    red, green, blue = (
        part / 12.92 if part <= 0.03928 else ((part + 0.055) / 1.055) ** 2.4
        for part in channels(colour)
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio, WCAG 2.1, definition."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def opened(page: Page, address: str) -> Page:
    """The page with everything unfolded."""
    page.goto(address)
    page.evaluate("document.querySelectorAll('details').forEach((part) => (part.open = true))")
    return page


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("viewport", [LAPTOP, PHONE], ids=["laptop", "phone"])
def test_every_text_can_be_read(
    viewport: dict[str, int], scheme: str, open_page: OpenPage, served: Served, seen: Seen
) -> None:
    """Contrast and size of each run of text, as the browser paints it."""
    page = open_page(viewport, color_scheme=scheme)
    for query in ADDRESSES:
        texts: list[dict[str, Any]] = opened(page, served.address + query).evaluate(TEXTS)
        assert len(texts) > 10
        weak = [t for t in texts if contrast(t["ink"], t["ground"]) < LEAST_CONTRAST]
        small = [t for t in texts if t["size"] < LEAST_TYPE_PX]
        assert (weak, small) == ([], [])
    assert seen.complaints == []


def test_schemes_differ(open_page: OpenPage, served: Served) -> None:
    grounds = []
    for scheme in ("light", "dark"):
        page = open_page(color_scheme=scheme)
        page.goto(served.address)
        ground = page.evaluate("getComputedStyle(document.body).backgroundColor")
        grounds.append(luminance(ground))
    assert grounds[0] > 0.8
    assert grounds[1] < 0.05


@pytest.mark.parametrize("width", [320, 390, 768, 1280])
def test_nothing_runs_over_the_edge(width: int, open_page: OpenPage, served: Served) -> None:
    page = open_page({"width": width, "height": 800})
    for query in ADDRESSES:
        found = opened(page, served.address + query).evaluate(OVERFLOWS)
        assert found == {"over": 0, "cut": []}, query


def test_a_phone_shows_the_narrow_picture_and_a_laptop_the_wide_one(
    open_page: OpenPage, served: Served
) -> None:
    for viewport, name in ((PHONE, "on-narrow"), (LAPTOP, "on-wide")):
        page = open_page(viewport)
        page.goto(served.address + ADDRESSES[1])
        assert page.locator(".levels:visible").count() == 1
        assert page.locator(f".{name} .levels").is_visible()


def test_every_field_and_picture_has_a_name(open_page: OpenPage, served: Served) -> None:
    page = open_page()
    opened(page, served.address + ADDRESSES[1])
    nameless = page.evaluate(
        """() => [...document.querySelectorAll("input, button, svg[role=img], section")]
            .filter((node) => node.checkVisibility())
            .filter((node) => !(node.ariaLabel || node.labels?.length || node.textContent.trim()))
            .map((node) => node.outerHTML)"""
    )
    assert nameless == []
    ids = page.evaluate("[...document.querySelectorAll('[id]')].map((node) => node.id)")
    assert len(ids) == len(set(ids))
    dangling = page.evaluate(
        """() => ["aria-labelledby", "aria-controls", "aria-describedby"].flatMap((name) =>
            [...document.querySelectorAll(`[${name}]`)]
                .filter((node) => !document.getElementById(node.getAttribute(name)))
                .map((node) => node.outerHTML))"""
    )
    assert dangling == []


def test_headings_go_down_by_one_step(open_page: OpenPage, served: Served) -> None:
    page = open_page()
    page.goto(served.address + ADDRESSES[1])
    ranks = page.evaluate(
        "[...document.querySelectorAll('h1, h2, h3, h4')].map((node) => Number(node.tagName[1]))"
    )
    assert ranks[0] == 1
    assert all(later - earlier <= 1 for earlier, later in pairwise(ranks))


def test_print_shows_the_answer_with_its_figures(open_page: OpenPage, served: Served) -> None:
    """Also what is folded away on screen."""
    page = open_page()
    page.goto(served.address + ADDRESSES[1])
    printed = PdfReader(io.BytesIO(page.pdf(format="A4")))
    text = " ".join(sheet.extract_text() for sheet in printed.pages)
    for words in ("Fine", "Peaks leave 19.1 dB", "peak at the preamp", "mixer-compact"):
        assert words in text
