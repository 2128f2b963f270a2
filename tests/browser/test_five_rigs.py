"""Five unlike rigs, each given as the band's own list, built by keys until nothing fails or harms.

Counted is what a person does: a field is a text that is typed, a press any other key. A paste of
the list is one press. Nothing is clicked, and nothing is opened that was ready.
"""

from __future__ import annotations

import re
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from _pytest.mark import ParameterSet
from playwright.sync_api import Page, expect

from levelhead.gear.book import load_book
from levelhead.planning.trial import try_show
from levelhead.show.document import load_show
from levelhead.verdicts.told.severity import Severity
from levelhead.web.app import create_app
from levelhead.web.files.shelf import Shelf
from levelhead.web.library import Library
from tests.browser.conftest import Seen, Served

pytestmark = pytest.mark.browser

OpenPage = Callable[..., Page]
LISTS = Path(__file__).with_name("rigs")
WRITTEN_WITHIN_S = 15.0
GOAL = 5  # fields and presses for each channel
MOST_REMEDIES = 6
SPEAKER, WEDGE = "powered speaker", "powered wedge"
DECIDED = """() => {
    const whole = document.getElementById("whole");
    const first = document.querySelector("li[data-id]");
    return !whole.textContent.includes("worked out") && !first?.textContent.includes("being tried");
}"""


@dataclass
class Hands:
    """The keyboard, with what was done on it."""

    page: Page
    fields: int = 0
    presses: int = 0
    channels: int = 0

    def press(self, *keys: str) -> None:
        for key in keys:
            self.presses += 1
            self.page.keyboard.press(key)

    def type(self, text: str) -> None:
        self.fields += 1
        self.page.keyboard.type(text)

    def paste(self, text: str) -> None:
        self.page.evaluate("(text) => navigator.clipboard.writeText(text)", text)
        self.press("Control+v")

    def tab_to(self, words: str) -> None:
        """As often as it takes; each counts."""
        for _ in range(40):
            self.press("Tab")
            if self.page.evaluate("document.activeElement.textContent").strip() == words:
                return
        raise AssertionError(words)

    @property
    def each(self) -> float:
        return (self.fields + self.presses) / self.channels


@dataclass(frozen=True)
class Rig:
    """How one list is built."""

    name: str
    outputs: tuple[str, ...]  # what the mains go into, then the sends, in the order of the table
    answers: tuple[str, ...] = ()  # to questions about the list, in their order
    mends: dict[str, str] = field(default_factory=dict)  # other gear for a row: what no knob mends
    rows: tuple[tuple[str, ...], ...] = ()  # typed one by one: source, and gear where it says none


RIGS = (
    Rig(
        "pub-duo",
        (SPEAKER, SPEAKER, WEDGE),
        rows=(
            ("Nell vocal mic",), ("Corin vocal mic",), ("acoustic guitar",),
            ("Corin's cajon", "instrument mic"), ("fiddle clip mic",), ("bass DI",), ("keys DI",),
            ("laptop stereo",),
        ),
    ),
    Rig("church-with-band", (SPEAKER, SPEAKER, WEDGE, WEDGE)),
    Rig("conference-panel", (SPEAKER, SPEAKER)),
    Rig("school-play", (SPEAKER, SPEAKER, WEDGE)),
    Rig(
        "outdoor-stage",
        (SPEAKER, SPEAKER, WEDGE, WEDGE, WEDGE, WEDGE),
        answers=("guitar-electric", "guitar-electric"),
        mends={"Kick in microphone": "kick mic"},
    ),
)  # fmt: skip


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("shows")


@pytest.fixture(scope="module")
def served(folder: Path) -> Iterator[Served]:
    with Served(create_app(Library(load_book), shelf=Shelf(folder), book=load_book)) as served:
        yield served


def _by_need() -> list[ParameterSet]:
    """All five in the long run; in each run the one that is typed row by row."""
    always = {"pub-duo"}
    long = pytest.mark.long
    return [
        pytest.param(rig, id=rig.name, marks=() if rig.name in always else long) for rig in RIGS
    ]


@pytest.mark.parametrize("rig", _by_need())
def test_a_rig_is_built_by_keys_alone(  # noqa: PLR0917 - fixtures
    rig: Rig,
    open_page: OpenPage,
    served: Served,
    folder: Path,
    seen: Seen,
    request: pytest.FixtureRequest,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Until no finding fails or harms; the file that it leaves says the same, judged anew."""
    page = open_page(permissions=["clipboard-read", "clipboard-write"])
    page.set_default_timeout(20_000)
    hands = Hands(page)
    page.goto(served.address)
    (type_rows if rig.rows else paste_list)(hands, rig)
    join_outputs(hands, rig)
    mend(hands, rig)
    hands.channels = page.locator("tr[data-row]:not(.free)").count()
    with capsys.disabled():
        request.config.pluginmanager.get_plugin("terminalreporter").write_line(
            f" {rig.name}: {hands.channels} channels, {hands.fields} fields typed, "
            f"{hands.presses} presses, {hands.each:.1f} a channel"
        )
    expect(page.locator("#file")).to_contain_text("in the file", timeout=20_000)
    expect_worst(folder / f"{rig.name}.yaml", below=Severity.FAILS)
    assert hands.each <= GOAL
    assert seen.complaints == []


def expect_worst(path: Path, *, below: Severity) -> None:
    """Wait until what stands in the file is no worse; the last step is written a moment later.

    Only the rank is compared: pytest would print a whole judgement.
    """
    until_s = time.monotonic() + WRITTEN_WITHIN_S
    rank = below.rank
    while rank >= below.rank and time.monotonic() < until_s:
        rank = try_show(load_show(path).show, load_book()).judgement.verdict.rank
    assert rank < below.rank


def paste_list(hands: Hands, rig: Rig) -> None:
    """From the first page to the open show by way of the band's own text."""
    (path,) = LISTS.glob(f"{rig.name}.*")
    hands.tab_to("Paste a list")
    hands.press("Enter")
    hands.page.wait_for_selector("#text:focus")
    hands.paste(path.read_text(encoding="utf-8"))
    for answer in rig.answers:
        hands.page.wait_for_selector(".asked input:focus")
        hands.type(answer)
        with hands.page.expect_navigation():
            hands.press("Enter")
    hands.page.wait_for_selector("#keep-name:focus")
    assert hands.page.locator(".asked input").count() == 0
    hands.type(rig.name)
    hands.press("Enter")
    hands.page.wait_for_selector("body[data-ready]")


def type_rows(hands: Hands, rig: Rig) -> None:
    """From the first page to an empty list, then row by row."""
    hands.tab_to("Type it row by row")
    hands.press("Enter")
    hands.page.wait_for_selector("#desk:focus")
    hands.type("Mixer, analogue, 16")
    hands.press("Tab")
    hands.type(rig.name)
    hands.press("Enter")
    hands.page.wait_for_selector("td.source:focus")
    for source, *gear in rig.rows:
        hands.type(source)
        if gear:
            hands.press("Tab")
            hands.type(*gear)
        hands.press("Enter")
    taken = hands.page.locator("tr[data-row]:not(.free)")
    expect(taken).to_have_count(len(rig.rows) + 1)  # the laptop takes two


def join_outputs(hands: Hands, rig: Rig) -> None:
    """Mains and sends into loudspeakers that are brought, each the best that was tried."""
    hands.press("Alt+o")
    for number, words in enumerate(rig.outputs):
        hands.page.wait_for_selector("button.opens:focus")
        hands.press("Enter")
        hands.page.wait_for_selector("#bring:focus")
        if number == 0 or words != rig.outputs[number - 1]:  # the last words stand there
            hands.type(words)
        hands.press("Enter")
        hands.page.wait_for_selector("#sockets .ways button:focus")
        hands.press("Enter")
    hands.page.wait_for_selector("button.opens:focus")


def mend(hands: Hands, rig: Rig) -> None:
    """The first way out of the worst finding, again and again; where there is none, other gear."""
    hands.press("Alt+f")
    for _ in range(MOST_REMEDIES):
        hands.page.wait_for_function(DECIDED)
        if not re.search("harm|fails", hands.page.locator("#whole").inner_text()):
            expect(hands.page.locator("#findings-list .refusal")).to_have_count(0)
            return
        worst = hands.page.locator("li[data-id]").first
        if worst.locator(".remedies button").count() == 0:
            other_gear(hands, rig, worst.locator(".what").inner_text())
            continue
        hands.press("Alt+f")
        hands.page.wait_for_selector(".remedies button:focus")
        hands.press("Enter")
        hands.page.wait_for_function(
            "document.getElementById('whole').textContent.includes('anew')"
        )
    raise AssertionError(hands.page.locator("#findings-list").inner_text())


def other_gear(hands: Hands, rig: Rig, what: str) -> None:
    """To the row that the finding speaks of, and other gear there."""
    gear = next(gear for place, gear in rig.mends.items() if place in what)
    hands.press("Alt+f")
    hands.page.wait_for_selector(".place:focus")
    hands.press("Enter")
    hands.page.wait_for_selector("td.gear:focus")
    with step_taken(hands):
        hands.type(gear)
        hands.press("Enter")


@contextmanager
def step_taken(hands: Hands) -> Iterator[None]:
    """Until undo speaks of another step."""
    undo = hands.page.locator("#undo")
    before = str(undo.get_attribute("title"))
    yield
    expect(undo).not_to_have_attribute("title", before)
