"""The shows that come with the program, and copies of them."""

from __future__ import annotations

from pathlib import Path

import pytest

from levelhead.errors import ShowError
from levelhead.show.document import load_show
from levelhead.show.shipped import shipped_example, shipped_examples
from levelhead.show.written.new_file import write_new


@pytest.mark.parametrize("example", shipped_examples(), ids=lambda each: each.name)
def test_an_example_says_what_it_is_in_one_sentence(example: object) -> None:
    one = shipped_example(example.name)  # type: ignore[attr-defined]
    assert one.summary.endswith(".")
    assert "\n" not in one.summary
    assert 40 < len(one.summary) < 240
    assert (
        one.size
        == f"{len(one.document.show.items)} pieces of gear, {len(one.document.show.links)} leads"
    )


def test_the_smallest_comes_first() -> None:
    sizes = [len(each.document.show.items) for each in shipped_examples()]
    assert sizes == sorted(sizes)


def test_an_unknown_example_is_told_with_those_that_there_are() -> None:
    with pytest.raises(
        ShowError, match="no example is called 'x'; expected one of church-with-band"
    ):
        shipped_example("x")


def test_a_copy_is_the_very_text(tmp_path: Path) -> None:
    example = shipped_example("conference")
    write_new(tmp_path / "mine.yaml", example.text)
    assert (tmp_path / "mine.yaml").read_text(encoding="utf-8") == example.text
    assert load_show(str(tmp_path / "mine.yaml")).show == example.document.show


def test_a_file_that_is_there_stays(tmp_path: Path) -> None:
    place = tmp_path / "mine.yaml"
    place.write_text("precious", encoding="utf-8")
    with pytest.raises(ShowError, match="is there already and stays as it is"):
        write_new(place, "new")
    assert place.read_text(encoding="utf-8") == "precious"


def test_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(ShowError, match="cannot be written"):
        write_new(tmp_path / "nowhere" / "mine.yaml", "new")
