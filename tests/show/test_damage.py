"""Damaged, hostile and huge files: a ShowError each time, in good time, never a traceback."""

from __future__ import annotations

import time
from pathlib import Path
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from levelhead.errors import ShowError
from levelhead.show.document import load_show, parse_show
from tests.show.hall import HALL
from tests.show.random_shows import random_show, randoms
from tests.show.scribe import Scribe

HEAD = "levelhead: 1\nshow: {name: Hall}\n"
MARKS = (
    "{",
    "}",
    "[",
    "]",
    ":",
    ",",
    "#",
    "&a ",
    "*a ",
    "!x ",
    "%",
    "@",
    "`",
    '"',
    "'",
    "|",
    ">",
    "- ",
    "? ",
    "\t",
    "\n",
)
WORDS = (
    "null", "~", "true", ".nan", ".inf", "1e999", "012", "-1", "3,5 dB", "\x00", "\u2028", "\ud800",
    "\ufeff", "---", "...", "<<: *a",
)  # fmt: skip


def reads_or_refuses(text: str) -> None:
    """Either a show whose text is the text, or an error with all its parts."""
    try:
        document = parse_show(text, "f")
    except ShowError as error:
        for each in error.errors:
            assert each.where.startswith("f")
            assert all(
                isinstance(part, str) and part for part in (each.what, each.expected, each.remedy)
            )
    else:
        assert document.text() == text


def damaged(random: Random, text: str) -> str:
    """The text with pieces lost, doubled, swapped or put in."""
    for _ in range(random.randrange(1, 4)):
        start = random.randrange(len(text) + 1)
        end = min(len(text), start + random.choice((0, 0, 1, 1, 5, 50)))
        piece = random.choice((*MARKS, *WORDS, text[start:end], text[end : end + 30], ""))
        text = text[:start] + piece + text[end:]
    return text


@settings(max_examples=400)
@given(random=randoms)
def test_a_damaged_file_is_read_or_refused(random: Random) -> None:
    base = HALL if random.randrange(2) else Scribe(random).text(random_show(random))
    reads_or_refuses(damaged(random, base))


@pytest.mark.long
@settings(max_examples=10_000)
@given(random=randoms)
def test_a_damaged_file_is_read_or_refused_many_times(random: Random) -> None:
    base = HALL if random.randrange(2) else Scribe(random).text(random_show(random))
    reads_or_refuses(damaged(random, base))


@given(text=st.text(max_size=200))
def test_any_text_is_refused(text: str) -> None:
    reads_or_refuses(text)
    reads_or_refuses(HEAD + text)


@given(content=st.binary(max_size=200))
def test_any_bytes_are_refused(content: bytes, tmp_path_factory: pytest.TempPathFactory) -> None:
    path = tmp_path_factory.mktemp("any") / "f"
    path.write_bytes(content)
    with pytest.raises(ShowError, match="expected"):
        load_show(path)


VALUES = (
    "5", "x", "[]", "[1]", "{}", "{a: b}", "~", "true", ".nan", '""', '"x"', "[[]]", "[{}]", "-1",
    "1.5", "|\n  x",
)  # fmt: skip
FIELDS = ("label", "need", "at", "aim", "supply", "figures", "note")
PLACES = (  # @ is where the value goes
    "levelhead: @\nshow: {name: x}",
    "levelhead: 1\nshow: @",
    "levelhead: 1\nshow: {name: @}",
    *(f"{HEAD}items: {{a: {{type: b, {field}: @}}}}" for field in FIELDS),
    *(f"{HEAD}{section}: @" for section in ("items", "sources", "links", "settings", "stock")),
    *(
        f"{HEAD}{section}: {{a: @}}"
        for section in ("items", "sources", "settings", "supplies", "stock")
    ),
    *(
        f"{HEAD}links: [{link}]"
        for link in ("@", "{from: a.b, to: @, via: @}", "{ends: @, pins: @}")
    ),
    HEAD + "settings: {a: {b: @, lock: @}}",
)


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("value", VALUES)
def test_a_wrong_type_anywhere_is_read_or_refused(value: str, place: str) -> None:
    reads_or_refuses(place.replace("@", value) + "\n")


MEGABYTE = 1_000_000


@pytest.mark.parametrize(
    "text",
    [
        HEAD + "items: {a: {type: b, label: " + "x" * MEGABYTE + "}}\n",
        HEAD + 'items: {a: {type: b, note: "' + "x\\n" * 300_000 + '"}}\n',
        HEAD + "items:\n  a:\n    type: b\n    note: |\n" + "      words\n" * 80_000,
        HEAD + "items:\n  a:\n    type: b\n    label: >\n" + "      words\n" * 80_000,
        HEAD + "items: {" + "a" * MEGABYTE + ": {type: b}}\n",
        HEAD + "links:\n  - {from: " + "a." * 500_000 + "b, to: c.d}\n",
        HEAD + "settings: {a: {b: " + "9" * MEGABYTE + "}}\n",
        HEAD + "stock: {" + "a " * 500_000 + ": 1}\n",
        HEAD + "".join(f"x{n}: y\n" for n in range(20_000)),
        "!" * MEGABYTE,
        "&" * MEGABYTE,
        "[" * MEGABYTE,
        "{a: " * 250_000,
        "- " * 500_000,
        "? " * 500_000,
        "a: &a [x]\n" + "".join(f"b{n}: &b{n} [*a, *a]\n" for n in range(9)),
    ],
    ids=lambda text: f"{text[len(HEAD) :][:30]!r}",
)
def test_a_megabyte_of_anything_is_refused_in_good_time(text: str) -> None:
    """Also in words that fit a screen."""
    started_s = time.perf_counter()
    with pytest.raises(ShowError, match="expected") as caught:
        parse_show(text, "f")
    assert time.perf_counter() - started_s < 20.0
    assert len(str(caught.value)) < 20_000


def test_a_link_list_of_strangers_is_refused_in_good_time() -> None:
    """Each unknown name asks for its nearest: that must not be done a hundred thousand times."""
    items = "items:\n" + "".join(f"  item-number-{n}: {{type: x}}\n" for n in range(500))
    links = "links:\n" + "".join(
        f"  - {{from: itm-numbr-{n}.o, to: itm-nmber-{n}.i}}\n" for n in range(3000)
    )
    started_s = time.perf_counter()
    with pytest.raises(ShowError, match="Did you mean"):
        parse_show(HEAD + items + links, "f")
    assert time.perf_counter() - started_s < 30.0


def test_a_pipe_that_never_ends_is_refused() -> None:
    if Path("/dev/zero").exists():
        with pytest.raises(ShowError, match="more than 5 MB"):
            load_show("/dev/zero")
