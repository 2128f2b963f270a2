"""Take the pictures of the manual anew: every use of the app, every sheet.

    make pictures                      # all of them, into docs/pictures/
    make pictures ARGS=inputs          # those whose name holds the word

Needs the system's Chromium and the development tools. Shows are the examples, in a folder of their
own that is thrown away; the program is started as a user starts it. Pages are cut off below what
they show, and after a given height.
"""

from __future__ import annotations

import base64
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np
from pictures_crew import NAMES, crew
from playwright.sync_api import Browser, Page, sync_playwright
from small_png import small_png

ROOT: Final = Path(__file__).resolve().parents[1]
PICTURES: Final = ROOT / "docs" / "pictures"
EXAMPLES: Final = ROOT / "src" / "levelhead" / "examples"
PROGRAM: Final = "import sys; from levelhead.cli import main; sys.exit(main())"
SHOW: Final = "village-hall"
WITH_A_ROOM: Final = "school-play"  # for sheets of the air
AIR_SHEETS: Final = ("seats-map", "feedback")  # the others are tables like these
ROOMY: Final = "church-with-band"  # with inputs that are free
LAPTOP: Final = {"width": 1180, "height": 740}
PHONE: Final = {"width": 390, "height": 844}
SHEET_WIDTH: Final = 840  # px
SHEET_PPI: Final = 144
SHEET_COLOURS: Final = 16  # black, white and what lies between
SCREEN_COLOURS: Final = 128
MOST_BYTES: Final = 3_000_000  # all pictures together
PATIENCE_MS: Final = 60_000
FLAGS: Final = ["--no-sandbox", f"--host-resolver-rules={NAMES}"]
BAND: Final = (
    "1 kick\n2 snare - dynamic\n3 bass DI, pad\n4 gtr\n5/6 keys\n7 vox Anna, condenser\n8 spare\n"
)

# A picture's pixels at a width, without the empty paper below: red, green, blue, as base64.
PIXELS: Final = """async ([source, width]) => {
    const image = new Image();
    image.src = source;
    await image.decode();
    const size = [width, Math.round(image.naturalHeight * width / image.naturalWidth)];
    const canvas = document.createElement("canvas");
    [canvas.width, canvas.height] = size;
    const pen = canvas.getContext("2d");
    pen.imageSmoothingQuality = "high";
    pen.drawImage(image, 0, 0, ...size);
    const data = pen.getImageData(0, 0, ...size).data;
    let last = data.length - 4;
    while (last > 0 && data[last] > 250 && data[last + 1] > 250 && data[last + 2] > 250) last -= 4;
    const height = Math.min(size[1], Math.ceil((last / 4 + 1) / width) + 20);
    let text = "";
    for (let at = 0; at < height * width * 4; at += 4) {
        text += String.fromCharCode(data[at], data[at + 1], data[at + 2]);
    }
    return [height, btoa(text)];
}"""


@dataclass(frozen=True, slots=True)
class Shot:
    """A picture of the app: where, at which size, in which scheme, after what was done there."""

    name: str
    at: str
    do: Callable[[Page], None] | None = None
    is_phone: bool = False
    is_dark: bool = False
    height: int | None = None


# ---------------------------------------------------------------- what is done before a picture


def solved(page: Page) -> None:
    """The show is judged."""
    page.wait_for_selector("body[data-ready]", timeout=PATIENCE_MS)
    page.wait_for_selector("#whole .verdict-word", timeout=PATIENCE_MS)


def answered(page: Page) -> None:
    """The answer to a question stands there."""
    page.wait_for_selector(".verdict", timeout=PATIENCE_MS)


def one_more(page: Page) -> None:
    """A singer is offered places."""
    solved(page)
    page.fill("#more-field", "singer")
    page.click("#more button")
    page.wait_for_selector("#offers .offer", timeout=PATIENCE_MS)


def pasted(page: Page) -> None:
    """The band's list, read but not yet built."""
    page.locator("textarea").first.fill(BAND)
    page.locator("main form button[type=submit], form button[type=submit]").first.click()
    page.wait_for_load_state("networkidle")


def view(name: str, then: Callable[[Page], None] = solved) -> Callable[[Page], None]:
    """A view of the open show."""

    def do(page: Page) -> None:
        then(page)
        page.evaluate("name => { location.hash = name; }", name)
        page.wait_for_selector(f'[data-view="{name}"]:not([hidden])', timeout=PATIENCE_MS)

    return do


PLAN_HEIGHT: Final = 900


def on_plan(page: Page) -> None:
    """The plan of a show with a room and seats, a loudspeaker selected."""
    view("plan")(page)
    page.locator('svg.plan .thing[data-id="left"]').focus()
    page.wait_for_selector("svg.plan .cells .parts", timeout=PATIENCE_MS)
    page.wait_for_selector("#plan-lines:not([aria-busy])", timeout=PATIENCE_MS)
    page.evaluate("scrollTo(0, 0)")


def drawn(page: Page) -> None:
    """The drawing, with what stands behind the desk."""
    view("drawing")(page)
    page.wait_for_selector('.ground g[data-item="desk"]', timeout=PATIENCE_MS)
    page.locator('.ground g[data-item="desk"] .box').click()
    page.wait_for_selector(".part h3", timeout=PATIENCE_MS)


def turned(page: Page) -> None:
    """Levels of a way, with a gain held but not let go."""
    view("levels")(page)
    page.wait_for_selector(".lanes [data-at]", timeout=PATIENCE_MS)
    gain = page.locator(".lanes input[type=range]").first
    event = "new Event('input', { bubbles: true })"
    gain.evaluate(f"input => {{ input.value -= 20; input.dispatchEvent({event}); }}")
    page.wait_for_selector(".lanes .is-tried", timeout=PATIENCE_MS)


def listed(page: Page) -> None:
    """The drawing as a list in the order of the signal."""
    view("drawing")(page)
    page.wait_for_selector(".signal-list .thing", timeout=PATIENCE_MS)


HARM: Final = "?from=amplifier-two-channel.ch1.out&to=loudspeaker-powered-12.in"
CARE: Final = "?from=laptop.headphones&to=mixer-compact.st1.in-left"


def on_the_day(page: Page) -> None:
    """The first two lines are ticked, the plan is locked."""
    page.wait_for_selector("body[data-ready]", timeout=PATIENCE_MS)
    if page.locator("#locked").is_hidden():
        page.click("#lock")
        page.wait_for_selector("#locked:not([hidden])", timeout=PATIENCE_MS)
    while page.locator('#all .box:text-is("✓")').count() < 2:  # noqa: PLR2004 -- two of them
        page.click("#tick")
        page.wait_for_timeout(300)


def stale(page: Page) -> None:
    """Three sheets were printed, then the gain plan was taken over."""
    sheets = {f"sheet-{name}": "1" for name in ("input-list", "patch", "start-up")}
    page.request.post(page.url, form=sheets, timeout=PATIENCE_MS)
    plan = page.url.replace("/printed", "/sound-check/take-over")
    page.request.post(plan, form={"now": "1"}, timeout=PATIENCE_MS)
    page.reload()


def read_off(page: Page) -> None:
    """What a meter reads is typed, and answered."""
    on_the_day(page)
    page.click("#write-reading")
    page.fill("#reading-field", "14")
    page.click("#reading button[type=submit]")
    page.wait_for_selector("#card-answer h3", timeout=PATIENCE_MS)
    page.locator("#card-answer h3").evaluate("head => head.scrollIntoView()")


SHOTS: Final = (
    Shot("start", ""),
    Shot("start-dark", "", is_dark=True, height=620),
    Shot("start-phone", "", is_phone=True),
    Shot("answer", HARM, answered, height=1330),
    Shot("answer-dark", CARE, answered, is_dark=True),
    Shot("answer-phone", HARM, answered, is_phone=True),
    Shot("band", "list", pasted, height=1000),
    Shot("inputs", f"show/{SHOW}", solved),
    Shot("inputs-dark", f"show/{SHOW}", solved, is_dark=True),
    Shot("inputs-phone", f"show/{SHOW}", solved, is_phone=True),
    Shot("one-more", f"show/{ROOMY}", one_more),
    Shot("findings", f"show/{SHOW}", view("findings")),
    Shot("findings-phone-dark", f"show/{SHOW}", view("findings"), is_phone=True, is_dark=True),
    Shot("outputs", f"show/{SHOW}", view("outputs")),
    Shot("drawing", f"show/{ROOMY}", drawn),
    Shot("levels", f"show/{ROOMY}", turned, height=1100),
    Shot("drawing-phone-dark", f"show/{ROOMY}", listed, is_phone=True, is_dark=True),
    Shot("gear", f"show/{SHOW}", view("gear")),
    Shot("settings", f"show/{SHOW}", view("settings")),
    Shot("stock", f"show/{SHOW}", view("stock")),
    Shot("text", f"show/{SHOW}", view("text")),
    Shot("plan", f"show/{WITH_A_ROOM}", on_plan, height=PLAN_HEIGHT),
    Shot("plan-phone-dark", f"show/{WITH_A_ROOM}", on_plan, is_phone=True, is_dark=True),
    Shot("day-phone", f"show/{ROOMY}/day#line-check", on_the_day, is_phone=True),
    Shot("day-reading-phone", f"show/{ROOMY}/day#line-check", read_off, is_phone=True, height=1500),
    Shot("day", f"show/{ROOMY}/day#line-check", on_the_day),
    Shot("paper", f"show/{SHOW}/printed", stale, height=900),
    Shot("walk-phone", f"show/{ROOMY}/walk?at=desk.ch3.mic&symptom=thin", is_phone=True),
    Shot(
        "walk-found-phone",
        f"show/{ROOMY}/walk?at=desk.ch3.mic&symptom=silent&seen=1=right&seen=3=-40",
        is_phone=True,
        height=1500,
    ),
)


# ---------------------------------------------------------------- the app


@contextmanager
def opened(folder: Path) -> Iterator[str]:
    """The program as a user starts it, and its address."""
    for name in (SHOW, ROOMY, WITH_A_ROOM):
        shutil.copy(EXAMPLES / f"{name}.yaml", folder / f"{name}.yaml")
    command = [sys.executable, "-c", PROGRAM, "open", f"{SHOW}.yaml", "--no-browser"]
    with subprocess.Popen(command, cwd=folder, stderr=subprocess.PIPE, text=True) as program:
        said = program.stderr.readline() if program.stderr is not None else ""
        found = re.search(r"http://\S+?/", said)
        try:
            if found is None:
                raise SystemExit("levelhead open says no address")
            yield found[0]
        finally:
            program.terminate()


def shoot(browser: Browser, address: str, shot: Shot) -> bytes:
    """A picture of the app."""
    size = PHONE if shot.is_phone else LAPTOP
    context = browser.new_context(
        viewport=size,
        color_scheme="dark" if shot.is_dark else "light",
        reduced_motion="reduce",
    )
    try:
        page = context.new_page()
        page.goto(address + shot.at)
        if shot.do is not None:
            shot.do(page)
        page.evaluate("document.fonts.ready")
        whole = page.evaluate("document.documentElement.scrollHeight")
        height = min(whole, shot.height or size["height"])
        page.set_viewport_size({"width": size["width"], "height": height})
        page.evaluate("scrollTo(0, 0)")
        page.wait_for_timeout(300)  # a result that is under way may move the page once more
        return page.screenshot()
    finally:
        context.close()


# ---------------------------------------------------------------- sheets and the page for the phone


def sheets() -> Iterator[tuple[str, bytes]]:
    """The first page of each sheet, as pictures."""
    from levelhead.exchange.sheets.pack import PLANS, check_for, paper_pack
    from levelhead.gear.book import load_book
    from levelhead.paper.pdf import sheets_to_pictures
    from levelhead.show.document import load_show

    left_out = {*AIR_SHEETS, "delays", "exposure"}
    usual = tuple(name for name in PLANS if name not in left_out)
    for show, names in ((SHOW, usual), (WITH_A_ROOM, AIR_SHEETS)):
        document = load_show(EXAMPLES / f"{show}.yaml")
        check = check_for(names, document.show, load_book(), document)
        for sheet in paper_pack(check, names):
            yield f"sheet-{sheet.name}", sheets_to_pictures([sheet], ppi=SHEET_PPI)[0]


def smaller(browser: Browser, picture: bytes, *, width: int, colours: int) -> bytes:
    """A picture at a width, without empty paper below, in a few colours."""
    page = browser.new_page()
    try:
        source = f"data:image/png;base64,{base64.b64encode(picture).decode()}"
        height, text = page.evaluate(PIXELS, [source, width])
    finally:
        page.close()
    pixels = np.frombuffer(base64.b64decode(text), np.uint8).reshape(height, width, 3)
    return small_png(pixels, colours=colours)


def pocket(browser: Browser, folder: Path) -> Iterator[tuple[str, bytes]]:
    """The page for the phone, light and dark."""
    command = [sys.executable, "-c", PROGRAM, "paper", f"{SHOW}.yaml", "--phone", "-o", "hall.html"]
    subprocess.run(command, cwd=folder, check=True, stderr=subprocess.DEVNULL)
    for name, part, is_dark in (("pocket", "input-list", False), ("pocket-dark", "start-up", True)):
        context = browser.new_context(viewport=PHONE, color_scheme="dark" if is_dark else "light")
        page = context.new_page()
        page.goto((folder / "hall.html").as_uri())
        page.locator(f"#{part} input").first.check()
        page.locator(f"#{part}").evaluate("part => part.scrollIntoView()")
        yield name, page.screenshot()
        context.close()


# ---------------------------------------------------------------- all of it


def taken(browser: Browser, words: Sequence[str]) -> Iterator[tuple[str, bytes]]:
    """Every picture whose name holds one of the words, all without any."""
    for name, picture, width, colours in _raw(browser, words):
        yield name, smaller(browser, picture, width=width, colours=colours)


def _raw(browser: Browser, words: Sequence[str]) -> Iterator[tuple[str, bytes, int, int]]:
    """Pictures as they come, with the width and the colours that they are kept in."""

    def is_wanted(name: str) -> bool:
        return not words or any(word in name for word in words)

    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        yield from _shots(browser, folder, filter(lambda shot: is_wanted(shot.name), SHOTS))
        if is_wanted("pocket"):
            for name, picture in pocket(browser, folder):
                yield name, picture, PHONE["width"], SCREEN_COLOURS
        if is_wanted("several"):
            for name, picture, width in crew(browser, folder):
                yield name, picture, width, SCREEN_COLOURS
    if any(is_wanted(f"sheet-{word}") for word in (*words, "")):
        for sheet, picture in sheets():
            if is_wanted(sheet):
                yield sheet, picture, SHEET_WIDTH, SHEET_COLOURS


def _shots(
    browser: Browser, folder: Path, shots: Iterable[Shot]
) -> Iterator[tuple[str, bytes, int, int]]:
    with opened(folder) as address:
        for shot in shots:
            width = (PHONE if shot.is_phone else LAPTOP)["width"]
            yield shot.name, shoot(browser, address, shot), width, SCREEN_COLOURS


def main() -> int:
    """Take them, and refuse more than the manual can carry."""
    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    if chromium is None:
        raise SystemExit("Chromium is not installed; pictures are taken with it.")
    PICTURES.mkdir(exist_ok=True)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium, args=FLAGS)
        for name, picture in taken(browser, sys.argv[1:]):
            (PICTURES / f"{name}.png").write_bytes(picture)
            print(f"{name}.png: {len(picture) / 1e3:.0f} kB")
        browser.close()
    size = sum(each.stat().st_size for each in PICTURES.glob("*.png"))
    print(f"all: {size / 1e6:.2f} MB")
    return int(size > MOST_BYTES)


if __name__ == "__main__":
    raise SystemExit(main())
