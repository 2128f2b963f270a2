"""Pictures of several devices at one show: a phone joins, two people in a cell, no network."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import IO, Final

from playwright.sync_api import Browser, Page

__all__ = ["NAMES", "crew"]

EXAMPLES: Final = Path(__file__).resolve().parents[1] / "src" / "levelhead" / "examples"
PROGRAM: Final = "import sys; from levelhead.cli import main; sys.exit(main())"
SHOW: Final = "church-with-band"
HOST: Final = "hall.test"  # a name that is no machine's (RFC 2606)
NAMES: Final = f"MAP {HOST} 127.0.0.1"
LAPTOP: Final = {"width": 1180, "height": 740}
PHONE: Final = {"width": 390, "height": 844}
PATIENCE_MS: Final = 60_000
STRIP: Final = 'tr[data-row="desk.ch3"] td[data-column="{}"]'


def crew(browser: Browser, folder: Path) -> Iterator[tuple[str, bytes, int]]:
    """Each picture with its name and its width."""
    shutil.copy(EXAMPLES / f"{SHOW}.yaml", folder / "sunday.yaml")
    command = [sys.executable, "-c", PROGRAM, "open", "sunday.yaml", "--no-browser", "--lan", HOST]
    with subprocess.Popen(command, cwd=folder, stderr=subprocess.PIPE, text=True) as program:
        try:
            if program.stderr is None:
                raise SystemExit("levelhead open says nothing")
            here, change, look = addresses(program.stderr)
            desk, ben, ines = desk_at(browser, here), phone(browser), phone(browser)
            ben.goto(change)
            yield "several-join", ben.screenshot(), PHONE["width"]
            joins(ben, "Ben")
            ines.goto(look)
            ines.fill("#name", "Ben")
            ines.locator("#name").press("Enter")
            ines.wait_for_selector("[role=alert]")
            yield "several-same-name", ines.screenshot(), PHONE["width"]
            joins(ines, "Ines")
            yield from together(desk, ben)
            desk.goto(f"{here.rpartition('/show')[0]}/devices")
            clip = {"x": 0, "y": 0, "width": LAPTOP["width"], "height": 500}
            yield "several-codes", desk.screenshot(clip=clip), LAPTOP["width"]  # type: ignore[arg-type]
        finally:
            program.terminate()
    ben.wait_for_selector("#lost:not([hidden])", timeout=PATIENCE_MS)
    typed(ben, "36")
    ben.wait_for_timeout(500)
    yield "several-lost", ben.screenshot(), PHONE["width"]


def addresses(said: IO[str]) -> tuple[str, str, str]:
    """Where the desk opens the show, and where phones join, to change or to look."""
    found: list[str] = []
    for line in said:
        found += re.findall(r"http://\S+/(?:show|join/\S+)", line)
        if len(found) > 2:  # noqa: PLR2004 - the three of them
            break
    here, change, look = found[:3]
    return here, change, look


def desk_at(browser: Browser, address: str) -> Page:
    """The desk's own page."""
    page = browser.new_context(viewport=LAPTOP, reduced_motion="reduce").new_page()  # type: ignore[arg-type]
    page.goto(address)
    page.wait_for_selector("#whole .verdict-word", timeout=PATIENCE_MS)
    return page


def phone(browser: Browser) -> Page:
    """A phone in the dark."""
    context = browser.new_context(
        viewport=PHONE,  # type: ignore[arg-type]
        color_scheme="dark",
        has_touch=True,
        is_mobile=True,
        reduced_motion="reduce",
    )
    return context.new_page()


def joins(page: Page, name: str) -> None:
    """Come in under a name."""
    page.fill("#name", name)
    page.locator("#name").press("Enter")
    page.wait_for_selector("body[data-ready]", timeout=PATIENCE_MS)


def typed(page: Page, text: str) -> None:
    """A gain."""
    page.locator(STRIP.format("gain")).focus()
    page.keyboard.type(text)
    page.keyboard.press("Enter")


def together(desk: Page, ben: Page) -> Iterator[tuple[str, bytes, int]]:
    """The desk and Ben type into one cell; the desk's undo is refused."""
    ben.locator(STRIP.format("gain")).tap()
    typed(desk, "33")
    ben.wait_for_selector("[data-under]", timeout=PATIENCE_MS)
    ben.locator(STRIP.format("gain")).scroll_into_view_if_needed()
    yield "several-cell", ben.screenshot(), PHONE["width"]
    ben.keyboard.type("35")
    ben.keyboard.press("Enter")
    desk.locator("#people", has_text="35 dB").wait_for(timeout=PATIENCE_MS)
    desk.wait_for_selector("#whole .verdict-word", timeout=PATIENCE_MS)
    desk.click("#undo")
    desk.wait_for_selector("#told .refusal", timeout=PATIENCE_MS)
    desk.evaluate("scrollTo(0, 0)")
    yield "several-desk", desk.screenshot(), LAPTOP["width"]
