"""Asking in a real browser: keys, focus, the address, and the rest of the network shut off."""

from __future__ import annotations

import re
from collections.abc import Callable
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import PHONE, Seen, Served
from tests.web.fake_asker import FakeAsker

pytestmark = pytest.mark.browser

OpenPage = Callable[..., Page]
OPTION = ".choices [role=option]:visible"
MIC = "?from=mic-vocal-dynamic.out&to=mixer-compact.ch1.mic"


@pytest.fixture
def page(open_page: OpenPage, served: Served) -> Page:
    page = open_page()
    page.goto(served.address)
    return page


@pytest.fixture(autouse=True)
def _quiet(seen: Seen) -> object:
    """Nothing in the console, nothing asked of another machine."""
    yield
    assert seen.complaints == []
    assert {urlsplit(address).hostname for address in seen.addresses} <= {"127.0.0.1"}


def type_and_pick(page: Page, words: str) -> None:
    """Type into the field that has the keyboard and take the first thing offered."""
    page.keyboard.type(words)
    expect(page.locator(OPTION).first).to_be_visible()
    page.keyboard.press("Enter")


def ask_by_keyboard(page: Page) -> None:
    type_and_pick(page, "vocal dyn")
    page.keyboard.press("Tab")
    type_and_pick(page, "mic input")


def test_a_question_takes_two_picks_and_no_mouse(page: Page, asker: FakeAsker) -> None:
    """The first field has the keyboard when the page opens; the second pick asks."""
    ask_by_keyboard(page)
    expect(page.get_by_role("heading", name="Fine")).to_be_visible()
    expect(page.locator(".why")).to_contain_text("Peaks leave 19.1 dB")
    assert [(asked["from"], asked["to"]) for asked in asker.asked] == [
        ("mic-vocal-dynamic.out", "mixer-compact.ch1.mic")
    ]


def test_arrows_choose_and_escape_closes(page: Page) -> None:
    field = page.get_by_role("combobox", name="What you have")
    page.keyboard.type("vocal")
    options = page.locator(OPTION)
    expect(options).to_have_count(2)
    expect(options.nth(0)).to_have_attribute("aria-selected", "true")
    page.keyboard.press("ArrowDown")
    expect(options.nth(1)).to_have_attribute("aria-selected", "true")
    expect(field).to_have_attribute(
        "aria-activedescendant", options.nth(1).get_attribute("id") or ""
    )
    page.keyboard.press("Escape")
    expect(field).to_have_attribute("aria-expanded", "false")
    expect(field).to_have_value("vocal")
    page.keyboard.press("ArrowDown")
    expect(options.first).to_be_visible()
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    expect(field).to_have_value("Vocal microphone, condenser")


def test_a_touch_picks(page: Page) -> None:
    page.get_by_role("combobox", name="What you have").fill("vocal")
    page.locator(OPTION, has_text="condenser").click()
    expect(page.get_by_role("combobox", name="What you have")).to_have_value(
        "Vocal microphone, condenser"
    )


def test_words_need_not_be_picked(page: Page, asker: FakeAsker) -> None:
    page.get_by_role("combobox", name="What you have").fill("keyboard")
    page.get_by_role("combobox", name="Where it should go").fill("line input")
    page.get_by_role("button", name="Ask").click()
    expect(page.get_by_role("heading", name="Fails")).to_be_focused()
    assert (asker.asked[-1]["from"], asker.asked[-1]["to"]) == ("keyboard", "line input")


def test_the_answer_is_said_to_a_screen_reader(page: Page) -> None:
    ask_by_keyboard(page)
    expect(page.get_by_role("status")).to_have_text(re.compile(r"^Fine\. Peaks leave 19\.1 dB"))
    expect(page).to_have_title("Fine - levelhead")


def test_another_gain_moves_the_answer_and_keeps_the_keyboard(
    page: Page, asker: FakeAsker, served: Served
) -> None:
    page.goto(served.address + MIC)
    field = page.get_by_label("Try another setting")
    field.focus()
    page.keyboard.type("45 dB")
    page.keyboard.press("Enter")
    expect(page.get_by_text("headroom 6.1 dB").first).to_be_attached()
    expect(page.get_by_label("Try another setting")).to_be_focused()
    expect(page.get_by_label("Try another setting")).to_have_value("45 dB")
    assert asker.asked[-1]["settings"] == {"mixer-compact.ch1.gain": "45 dB"}


def test_settings_stay_behind_when_the_question_changes(
    page: Page, asker: FakeAsker, served: Served
) -> None:
    page.goto(served.address + MIC + "&set.mixer-compact.ch1.gain=45 dB")
    assert asker.asked[-1]["settings"] != {}
    page.get_by_role("combobox", name="What you have").fill("condenser")
    expect(page.locator(OPTION)).to_have_count(1)
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Care")).to_be_visible()
    assert asker.asked[-1]["settings"] == {}


def test_a_longer_cable_moves_the_answer(page: Page, served: Served) -> None:
    page.goto(served.address + MIC)
    page.get_by_label("Length").focus()
    page.keyboard.type("25")  # the answer follows without a key that sends it
    expect(page.get_by_text("XLR cable, 25 m").first).to_be_visible()
    expect(page.get_by_label("Length")).to_be_focused()
    expect(page.get_by_role("list", name="What moved")).to_contain_text(
        "cable: XLR cable, 25 m, was XLR cable, 10 m"
    )
    expect(page.get_by_role("status")).to_contain_text("was XLR cable, 10 m")
    assert "length_m=25" in page.url


def test_another_cable_is_picked_by_the_keyboard(
    page: Page, asker: FakeAsker, served: Served
) -> None:
    page.goto(served.address + MIC)
    page.get_by_role("combobox", name="Cable").focus()
    page.keyboard.press("ArrowDown")
    with page.expect_response(lambda it: "cable-xlr-reversed" in (it.request.post_data or "")):
        page.keyboard.press("ArrowDown")
    expect(page.get_by_role("list", name="What moved")).to_be_visible()
    expect(page).to_have_url(re.compile("cable=cable-xlr-reversed"))
    asked = [question.get("cable") for question in asker.asked]
    assert "cable-xlr-reversed" in asked  # two keys, two questions: they may come in either order
    expect(page.get_by_role("combobox", name="Cable")).to_be_focused()


def test_a_refused_length_keeps_the_fields(page: Page, served: Served) -> None:
    page.goto(served.address + MIC)
    page.get_by_label("Length").fill("zebra")
    expect(page.get_by_role("heading", name="No answer")).to_be_visible()
    expect(page.get_by_label("Length")).to_have_value("zebra")
    page.get_by_label("Length").fill("5")
    expect(page.get_by_role("heading", name="Fine")).to_be_visible()


def test_reload_and_back_find_the_same_answer(page: Page) -> None:
    ask_by_keyboard(page)
    expect(page.get_by_role("heading", name="Fine")).to_be_visible()
    page.get_by_role("combobox", name="What you have").fill("amplifier")
    expect(page.locator(OPTION).first).to_be_visible()
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Harm")).to_be_visible()
    page.reload()
    expect(page.get_by_role("heading", name="Harm")).to_be_visible()
    page.go_back()
    expect(page.get_by_role("heading", name="Fine")).to_be_visible()
    expect(page.get_by_role("combobox", name="What you have")).to_have_value(
        "Vocal microphone, dynamic"
    )


def test_a_refusal_says_what_to_do(page: Page) -> None:
    page.get_by_role("combobox", name="What you have").fill("zebra")
    page.get_by_role("combobox", name="Where it should go").fill("mixer")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="No answer: nothing fits 'zebra'")).to_be_visible()
    expect(page.get_by_text("Type fewer letters and pick from the list.")).to_be_visible()


def test_late_suggestions_do_not_replace_newer_ones(page: Page) -> None:
    """The answer to "v" comes after the answer to "vocal dyn"; it is dropped."""
    page.evaluate(
        """() => {
            const real = window.fetch;
            window.fetch = async (...given) => {
                const text = new URL(given[0], location).searchParams.get("text");
                const response = await real(...given);
                await new Promise((done) => setTimeout(done, text === "v" ? 500 : 0));
                return response;
            };
        }"""
    )
    page.keyboard.type("v")
    page.wait_for_timeout(150)
    page.keyboard.type("ocal dyn")
    expect(page.locator(OPTION)).to_have_count(1)
    page.wait_for_timeout(700)
    expect(page.locator(OPTION)).to_have_count(1)


def test_without_scripts_the_form_asks_too(open_page: OpenPage, served: Served) -> None:
    page = open_page(java_script_enabled=False)
    page.goto(served.address)
    page.get_by_label("What you have").fill("amplifier")
    page.get_by_label("Where it should go").fill("loudspeaker")
    page.get_by_role("button", name="Ask").click()
    expect(page.get_by_role("heading", name="Harm")).to_be_visible()


def test_everything_can_be_reached_by_the_keyboard(page: Page, served: Served) -> None:
    page.goto(served.address + MIC)
    reachable = page.locator("input:visible, select:visible, button:visible, summary:visible")
    wanted = reachable.count()
    reached = set()
    for _ in range(wanted + 3):
        page.keyboard.press("Tab")
        reached.add(page.evaluate("document.activeElement.outerHTML"))
        outline = page.evaluate("getComputedStyle(document.activeElement).outlineWidth")
        if page.evaluate("document.activeElement !== document.body"):
            assert outline == "3px"
    here = {reachable.nth(at).evaluate("node => node.outerHTML") for at in range(wanted)}
    assert here <= reached


def test_a_phone_can_ask(open_page: OpenPage, served: Served) -> None:
    page = open_page(PHONE, has_touch=True, is_mobile=True)
    page.goto(served.address)
    page.get_by_role("combobox", name="What you have").fill("media")
    page.locator(OPTION).first.tap()
    page.get_by_role("combobox", name="Where it should go").fill("line")
    page.locator(OPTION).first.tap()
    expect(page.get_by_role("heading", name="Depends", exact=True)).to_be_visible()
