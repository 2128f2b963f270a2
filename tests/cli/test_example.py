"""``levelhead example``: what there is, and a copy to work on."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from levelhead.show.shipped import shipped_examples

Levelhead = Callable[..., Any]


def test_the_list_names_each_with_its_size(levelhead: Levelhead) -> None:
    ran = levelhead("example")
    assert ran.status == 0
    for each in shipped_examples():
        assert f"{each.name} ({each.size})" in ran.out
    assert max(map(len, ran.out.splitlines())) <= 80


def test_a_name_prints_the_file(levelhead: Levelhead) -> None:
    printed = levelhead("example", "conference").out
    assert printed.startswith("# A morning of talks")
    assert levelhead("check", "-", "--json", stdin=printed.encode()).json["verdict"] == "fails"


def test_a_copy_is_written_once(levelhead: Levelhead, tmp_path: Path) -> None:
    place = tmp_path / "mine.yaml"
    first = levelhead("example", "wedding", "-o", str(place))
    assert (first.status, first.out) == (0, "")
    assert f"now: levelhead check {place}" in first.err
    written = place.read_bytes()
    again = levelhead("example", "conference", "-o", str(place))
    assert again.status == 2
    assert "is there already and stays as it is" in again.err
    assert place.read_bytes() == written


def test_wrong_use_is_told(levelhead: Levelhead) -> None:
    assert "no example is called 'pub'" in levelhead("example", "pub").err
    assert levelhead("example", "-o", "x.yaml").status == 2
