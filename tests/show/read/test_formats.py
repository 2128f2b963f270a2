"""Versions of the format: older ones are brought up to date, newer ones refused."""

from __future__ import annotations

import pytest

from levelhead.errors import ShowError
from levelhead.show.document import parse_show
from levelhead.show.read.formats import MIGRATIONS, brought_up_to_date
from levelhead.show.read.schema import FORMAT
from levelhead.show.yaml.text import YamlText
from levelhead.show.yaml.tree import MapNode, read_tree


def source_of(text: str) -> tuple[YamlText, MapNode]:
    source = YamlText(text, "f")
    root, _ = read_tree(source)
    assert isinstance(root, MapNode)
    return source, root


def plugs_to_links(text: str) -> str:
    """From an imagined format 1, in which links were called plugs."""
    return text.replace("levelhead: 1", "levelhead: 2").replace("plugs:", "links:")


def stores_to_stock(text: str) -> str:
    """From an imagined format 2."""
    return text.replace("levelhead: 2", "levelhead: 3").replace("stores:", "stock:")


STEPS = {1: plugs_to_links, 2: stores_to_stock}


def test_every_older_format_has_a_step() -> None:
    assert sorted(MIGRATIONS) == list(range(1, FORMAT))


def test_the_newest_format_stays_as_it_is() -> None:
    source, root = source_of("levelhead: 3\n")
    assert brought_up_to_date(source, root, newest=3, migrations=STEPS) is source


def test_an_old_file_goes_through_every_step_and_keeps_its_comments() -> None:
    source, root = source_of("levelhead: 1  # old\nplugs: []\nstores: {}  # none\n")
    newer = brought_up_to_date(source, root, newest=3, migrations=STEPS)
    assert newer.text == "levelhead: 3  # old\nlinks: []\nstock: {}  # none\n"
    assert newer.name == "f"


def test_a_show_is_read_from_the_text_that_was_brought_up_to_date(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """What the reader goes on with, and what is saved, is the newer text."""

    def newer(source: YamlText, root: MapNode) -> YamlText:
        assert root.entry("levelhead") is not None
        return YamlText(source.text.replace("plugs", "links"), source.name)

    monkeypatch.setattr("levelhead.show.read.reading.brought_up_to_date", newer)
    document = parse_show("levelhead: 1\nshow: {name: x}\nplugs: []  # none\n", "f")
    assert document.text() == "levelhead: 1\nshow: {name: x}\nlinks: []  # none\n"
    assert document.where("links") == "f:3:1"


def test_a_step_that_forgets_the_head_is_caught() -> None:
    source, root = source_of("levelhead: 1\n")
    with pytest.raises(ShowError, match="could not be brought to format 2"):
        brought_up_to_date(source, root, newest=2, migrations={1: str.strip})


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("levelhead: 4", "f:1:12, levelhead: format 4 is newer than this levelhead; .*Get a newer"),
        ("levelhead: 0", "there is no format 0; expected a format from 1 to 3"),
        ("levelhead: -1", "there is no format -1"),
        ("levelhead: 1.0", "the number of the format cannot be read"),
        ('levelhead: "1"', "Write the number alone, without quotes"),
        ("levelhead: [1]", "the number of the format cannot be read"),
        ("show: {}", "f:1:1: 'levelhead' is missing; .*Add 'levelhead: 3' as its first line"),
    ],
)
def test_other_heads_are_refused(text: str, message: str) -> None:
    source, root = source_of(text)
    with pytest.raises(ShowError, match=message):
        brought_up_to_date(source, root, newest=3, migrations=STEPS)
