"""How long a person waits for the page of an open show: a real browser on a real server.

It needs Chromium and the playwright package of the dev group; server and browser share the machine.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Final

from benchmarks.harness import as_installed, format_s
from benchmarks.shows import DESK, show_text

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Response

COMMAND: Final = "import sys; from levelhead.cli import main; main(sys.argv[1:])"
CHROMIUM: Final = "/usr/bin/chromium"
FLAGS: Final = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"]
CHANNELS: Final = 128
STARTS: Final = 5
EDITS: Final = 12
WARM_UPS: Final = 2
GOALS: Final = {"start": "1 s", "load": "150 kB", "edit": "p95 100 ms"}
GEAR: Final = f"""\
{DESK}:
  like: mixer-compact
  label: Mixer with {CHANNELS} mic channels
  blocks: {{ch: {{repeat: {CHANNELS}}}}}
"""
# Types a gain and tells when the cell, and when the verdict of that state, stand on the page.
EDIT: Final = """async ([row, text]) => {
    const cell = document.querySelector(`tr[data-row="${row}"] td[data-column="gain"]`);
    const whole = document.getElementById("whole");
    const seen = (node, holds) => new Promise((done) => {
        const tell = () => done(performance.now());
        const look = () => holds() && (watch.disconnect(), requestAnimationFrame(tell));
        const watch = new MutationObserver(look);
        watch.observe(node, { childList: true, subtree: true, characterData: true });
    });
    cell.focus();
    cell.dispatchEvent(new KeyboardEvent("keydown", { key: "F2", bubbles: true }));
    const field = cell.querySelector("input");
    field.value = text;
    const began = performance.now();
    const shown = seen(cell, () => cell.textContent.startsWith(text));
    field.dispatchEvent(new KeyboardEvent("keydown", { key: "Enter", bubbles: true }));
    const cellAt = await shown;
    const judged = await seen(whole, () => !whole.textContent.includes("anew"));
    return [cellAt - began, judged - began];
}"""


@contextmanager
def server(folder: Path, show: str, *more: str) -> Iterator[tuple[str, float]]:
    """A server on a show, its address, and when it was started."""
    started = time.perf_counter()
    with running(folder, show, *more) as (_, address):
        yield address, started


@contextmanager
def running(folder: Path, show: str, *more: str) -> Iterator[tuple[subprocess.Popen[str], str]]:
    """The program on a show, and its address."""
    path = folder / "show.yaml"
    path.write_text(show)
    with subprocess.Popen(
        [sys.executable, "-c", COMMAND, "open", str(path), "--no-browser", *more],
        stderr=subprocess.PIPE,
        text=True,
        env=as_installed(),
    ) as program:
        if program.stderr is None:
            raise RuntimeError
        words = program.stderr.readline().split()
        yield program, next(word for word in words if word.startswith("http"))
        program.terminate()


def main() -> None:
    """Print start, first load and edits."""
    from playwright.sync_api import sync_playwright

    with (
        tempfile.TemporaryDirectory() as name,
        sync_playwright() as playwright,
        playwright.chromium.launch(executable_path=CHROMIUM, args=list(FLAGS)) as browser,
    ):
        folder = Path(name)
        (folder / "gear").mkdir()
        (folder / "gear" / "desk.yaml").write_text(GEAR)
        demo = Path(__file__).parents[1] / "src/levelhead/examples/village-hall.yaml"
        for title, show, more in (
            ("the demo", demo.read_text(), ()),
            (f"{CHANNELS} channels", show_text(CHANNELS), ("--gear", str(folder / "gear"))),
        ):
            starts = [usable_s(browser, folder, show, more) for _ in range(STARTS + 1)][1:]
            print(
                f"{title}: start of the process to a usable page, median "
                f"{format_s(statistics.median(starts))}, fastest {format_s(min(starts))}"
            )
            with server(folder, show, *more) as (address, _):
                page = browser.new_page()
                loaded: list[int] = []
                page.on("response", lambda each, to=loaded: to.append(size_of(each)))
                page.goto(address)
                page.wait_for_selector("body[data-ready]")
                print(f"{title}: first load {sum(loaded) / 1000:.0f} kB")
                page.wait_for_selector(".whole .verdict-word", timeout=60_000)
                edits(page, title)
                page.close()
    print(f"goals: {GOALS}")


def usable_s(browser: Browser, folder: Path, show: str, more: Sequence[str]) -> float:
    """From the start of the process to a page whose list can be edited. [s]

    The browser runs already, and has never seen the page.
    """
    for left in folder.glob("show.yaml*"):
        left.unlink()
    page = browser.new_context().new_page()
    with server(folder, show, *more) as (address, started):
        page.goto(address, wait_until="commit")
        page.wait_for_selector("body[data-ready]")
        seconds = time.perf_counter() - started
        page.context.close()
    return seconds


def size_of(response: Response) -> int:
    """What came over the line; what only leads on has no body. [bytes]"""
    return 0 if response.headers.get("location") else len(response.body())


def edits(page: object, title: str) -> None:
    """Time from Enter to the repainted cell, and to the verdict of that state."""
    cells, verdicts = [], []
    for number in range(EDITS + WARM_UPS):
        text = str(20 + number % 15)
        row = f"desk.ch{1 + number % 4}"
        cell_ms, verdict_ms = page.evaluate(EDIT, [row, text])  # type: ignore[attr-defined]
        if number >= WARM_UPS:
            cells.append(cell_ms / 1000)
            verdicts.append(verdict_ms / 1000)
    for what, seconds in (("cell repainted", cells), ("verdicts repainted", verdicts)):
        p95 = statistics.quantiles(seconds, n=20)[-1]
        print(
            f"{title}: {what}, median {format_s(statistics.median(seconds))}, p95 {format_s(p95)}"
        )


if __name__ == "__main__":
    main()
