"""``levelhead gear --weak``: a screen of figures to look up or measure first."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

Levelhead = Callable[..., Any]


def test_the_list_fits_a_screen_and_says_what_to_do(levelhead: Levelhead) -> None:
    ran = levelhead("gear", "--weak")
    assert (ran.status, ran.err) == (0, "")
    assert [line for line in ran.out.splitlines() if len(line) > 80 or line != line.rstrip()] == []
    assert "loudspeaker-passive-8: in.excursion-limit" in ran.out
    assert "14.1 V, 11 V to 19 V, from memory" in ran.out
    assert "Next: measure or look up" in ran.out


def test_shows_of_ones_own_count_as_well(levelhead: Levelhead, tmp_path: Path, duo: str) -> None:
    show = tmp_path / "mine.yaml"
    text = Path(duo).read_text(encoding="utf-8")
    show.write_text(text.replace("Duo in a pub", "Another evening"), encoding="utf-8")
    shows = {
        finding["show"]
        for figure in levelhead("gear", "--weak", str(show), "--json").json
        for finding in [*figure["turns"], *figure["heaviest"]]
    }
    assert shows >= {"Duo in a pub", "Evening in the village hall", "Another evening"}


def test_json_has_value_range_and_source(levelhead: Levelhead) -> None:
    first = levelhead("gear", "--weak", "--json").json[0]
    assert first.keys() >= {"type", "figure", "value", "range", "source", "turns", "heaviest"}


def test_a_show_that_cannot_be_read_is_told(levelhead: Levelhead) -> None:
    ran = levelhead("gear", "--weak", "no-such.yaml")
    assert (ran.status, ran.out) == (2, "")
    assert "no-such.yaml" in ran.err
