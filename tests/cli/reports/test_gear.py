"""``levelhead gear``: lists and single types."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from levelhead.gear.book import load_book
from levelhead.gear.compile.addresses import figure_addresses

Levelhead = Callable[..., Any]

OWN = """
mixer-of-the-hall:
  like: mixer-compact
  label: The hall's own mixer
"""


def test_a_kind_alone(levelhead: Levelhead) -> None:
    rows = levelhead("gear", "--kind", "microphone", "--json").json
    assert rows
    assert {row["kind"] for row in rows} == {"microphone"}
    assert "Cable" not in levelhead("gear", "--kind", "microphone").out


def test_a_search_finds_what_a_question_would_find(levelhead: Levelhead) -> None:
    assert levelhead("gear", "--search", "small mixer", "--json").json[0]["id"] == "mixer-compact"
    assert levelhead("gear", "--search", "mixers", "--json").json[0]["kind"] == "mixer"
    assert levelhead("gear", "--search", "xlr cable", "--json").json[0]["id"] == "cable-xlr"


def test_words_in_the_place_of_a_type_are_searched(levelhead: Levelhead) -> None:
    told = levelhead("gear", "small condenser").out
    assert "No type is called 'small condenser'" in told
    assert "mic-instrument-condenser" in told
    assert levelhead("gear", "xyzzy").status == 2


def test_nothing_found_is_said(levelhead: Levelhead) -> None:
    ran = levelhead("gear", "--search", "submarine")
    assert (ran.status, ran.out) == (0, "No type fits. List them all with: levelhead gear\n")
    assert levelhead("gear", "--search", "submarine", "--json").json == []


def test_figures_have_value_range_and_source(levelhead: Levelhead) -> None:
    """The passive DI of the gear book: 12:1, 11 to 13, handbook."""
    lines = [line.split() for line in levelhead("gear", "di-passive").out.splitlines()]
    assert ["ratio", "12", "11", "to", "13", "handbook"] in lines


def test_strips_that_are_alike_are_told_once(levelhead: Levelhead) -> None:
    text = levelhead("gear", "mixer-compact").out
    assert "ch[1-4].mic: mic input (XLR, female)" in text
    assert "st[1-2].in-left/in-right: stereo line input" in text
    assert "control ch[1-4].gain: 0 dB to 60 dB" in text
    assert "ch2" not in text


def test_noise_and_ceilings_are_levels(levelhead: Levelhead) -> None:
    lines = [line.split() for line in levelhead("gear", "mixer-compact").out.splitlines()]
    ein = next(line for line in lines if line[:3] == ["input", "noise", "(EIN)"])
    assert ein[3:] == ["-127.0", "dBu", "-129.0", "to", "-124.0", "dBu", "typical"]


def test_a_cable_shows_ends_and_pins(levelhead: Levelhead) -> None:
    text = " ".join(levelhead("gear", "lead-jack-xlr").out.split())
    assert "end a: 6.35 mm jack, two-pole end b: XLR, male" in text
    assert "a.tip to b.2, a.sleeve to b.1, a.sleeve to b.3" in text


def test_own_entries_are_known_to_every_command(levelhead: Levelhead, tmp_path: Path) -> None:
    (tmp_path / "own.yaml").write_text(OWN)
    own = ("--gear", str(tmp_path))
    assert "The hall's own mixer" in levelhead("gear", "mixer-of-the-hall", *own).out
    ran = levelhead("ask", "vocal mic", "hall's own mixer mic input", *own)
    assert "Into    The hall's own mixer: mic input" in ran.out
    assert ran.status == 0


@pytest.mark.parametrize("kind", ["microphone", "instrument", "cable"])
def test_names_keep_their_column(levelhead: Levelhead, kind: str) -> None:
    """The longest name has a space behind it, and every label begins below the one before."""
    rows = levelhead("gear", "--kind", kind, "--json").json
    out = levelhead("gear", "--kind", kind).out
    starts = {
        line.index(row["label"].split()[0], 2 + len(row["id"]))
        for row in rows
        for line in out.splitlines()
        if line.startswith(f"  {row['id']} ")
    }
    assert len(starts) == 1
    assert starts.pop() > 2 + max(len(row["id"]) for row in rows)


@pytest.mark.parametrize("type_id", ["mixer-compact", "di-passive", "amplifier-two-channel"])
def test_a_page_ends_with_how_to_give_a_reading(levelhead: Levelhead, type_id: str) -> None:
    """With an address that the type really has."""
    words = " ".join(levelhead("gear", type_id).out.split())
    address = words.partition("--figure ITEM.")[2].partition("=")[0]
    assert address in set(figure_addresses(load_book().entry(type_id)))


def test_the_reading_that_is_offered_stands_on_the_page(levelhead: Levelhead) -> None:
    """Nobody measures phantom feed resistors in a loudspeaker."""
    assert "figures: {in.impedance: ...}" in levelhead("gear", "loudspeaker-passive-12").out


def test_words_need_no_quotes(levelhead: Levelhead) -> None:
    """As a person types them."""
    assert levelhead("gear", "stereo", "di").out == levelhead("gear", "stereo di").out
