"""The tree of a YAML text: values, places, and what is refused."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path
from random import Random
from typing import Any

import pytest
import yaml
from hypothesis import given
from ruamel.yaml import YAML
from ruamel.yaml.error import YAMLError

from levelhead.errors import ShowError
from levelhead.show.read.problems import located
from levelhead.show.yaml.events import Event, EventKind, _by_libyaml, _by_pure_python
from levelhead.show.yaml.refusals import LONGEST_LINE
from levelhead.show.yaml.scalars import Kind, plain_number
from levelhead.show.yaml.text import YamlText
from levelhead.show.yaml.tree import DEEPEST, MapNode, Node, ScalarNode, SeqNode, read_tree
from tests.show.random_shows import random_show, randoms
from tests.show.scribe import Scribe

EXAMPLES = Path(__file__).parents[3] / "src" / "levelhead" / "examples"
_SPOILING = [*" \t\n:-#,[]{}&*!|>'\"%@`?0.~/=\\", "\u20ac", "\U0001f600", "\u00a0", "\ufeff", ""]


def value_of(node: Node) -> Any:
    """What a YAML reader makes of a node."""
    if isinstance(node, MapNode):
        return {str(value_of(entry.key)): value_of(entry.value) for entry in node.entries}
    if isinstance(node, SeqNode):
        return [value_of(item) for item in node.items]
    if node.kind is Kind.BOOLEAN:
        return node.text.lower() == "true"
    if node.kind is Kind.NULL:
        return None
    if node.kind is Kind.INTEGER:
        return int(plain_number(node.text) or 0)
    return node.text if node.kind is Kind.TEXT else plain_number(node.text)


def with_text_keys(value: Any) -> Any:
    """The same from the other reader, which resolves keys and dates as well."""
    if isinstance(value, dict):
        return {str(key): with_text_keys(each) for key, each in value.items()}
    if isinstance(value, list):
        return [with_text_keys(each) for each in value]
    return str(value) if type(value).__name__ == "date" else value


@given(random=randoms)
def test_another_reader_reads_the_same(random: Random) -> None:
    """Values agree with the YAML library's own loader, in all spellings of random shows."""
    text = Scribe(random).text(random_show(random))
    root, errors = read_tree(YamlText(text, "show"))
    other = YAML(typ="safe", pure=True).load(text)
    assert value_of(root) == with_text_keys(other)
    assert not errors


@given(random=randoms)
def test_another_reader_finds_the_same_places(random: Random) -> None:
    """Lines and columns agree with those that the library's round-trip loader keeps."""
    text = Scribe(random).text(random_show(random))
    source = YamlText(text, "f")
    root, _ = read_tree(source)
    other = YAML(typ="rt", pure=True).load(text)
    for section, entries in other.items():
        for key in entries if isinstance(entries, dict) else ():
            line, column = entries.lc.key(key)
            if isinstance(key, str):
                index = located(root, [section, key])[0]
                if isinstance(entries[key], (dict, list)):
                    assert source.place(index) == f"f:{line + 1}:{column + 1}"
                else:
                    line, column = entries.lc.value(key)
                    assert source.place(index) == f"f:{line + 1}:{column + 1}"


@given(random=randoms)
def test_every_leaf_stands_where_it_says(random: Random) -> None:
    """The text between the ends of a leaf is the leaf; leaves never overlap."""
    text = Scribe(random).text(random_show(random))
    root, _ = read_tree(YamlText(text, "show"))
    leaves = sorted(leaves_of(root), key=lambda leaf: (leaf.start, leaf.end))
    assert all(before.end <= after.start for before, after in pairwise(leaves))
    for leaf in leaves:
        if not leaf.style and leaf.text:
            assert text[leaf.start : leaf.end] == leaf.text


def leaves_of(node: Node) -> list[ScalarNode]:
    """All keys and values below a node."""
    if isinstance(node, ScalarNode):
        return [node]
    if isinstance(node, SeqNode):
        return [leaf for item in node.items for leaf in leaves_of(item)]
    return [leaf for entry in node.entries for leaf in (entry.key, *leaves_of(entry.value))]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("a: *b", r"f:1:4: an alias \(\*\); expected every value in full"),
        ("a: &b 1", r"f:1:4: an anchor \(&\)"),
        ("a: !!python/name:os.system x", r"f:1:4: a tag \(!\)"),
        ("a: !x y", r"f:1:4: a tag \(!\)"),
        ("a: b\n---\nc: d", "f:2:1: a second document; expected one show to a file"),
        ("%YAML 1.1\n---\na: b", "f:2:1: a % directive"),
        ("? a\n: b", "f:1:3: 'a' without a colon"),
        ("? [a]\n: b", "f:1:3: a list or mapping as a name"),
        ("{a, b: c}", "f:1:2: 'a' without a colon; expected 'name: value'. Add a colon"),
        ("a: {b: 3,5 dB}", "f:1:10: '5 dB' without a colon; .*point, not a comma"),
        ("a: b: c", "f:1:5: this is not YAML: mapping values are not allowed here; .*quotes"),
        ("a:\n\tb: c", "f:2:1: this is not YAML: .*Use spaces, not tabs"),
        ("a: [1, 2", "f:1:9: this is not YAML: .*Close the bracket"),
        ("l: {from: box.out[1-4]}", "f:1:18: this is not YAML: .*a range, goes in quotes"),
        ('a: "b', "f:1:6: this is not YAML: .*Close the quotes"),
        ('a: "\\q"', "f:1:6: this is not YAML"),
        ("a: \x00", "f:1:4: this is not YAML: special characters are not allowed; .*UTF-8"),
        ("a: b\u2028c: d", r"f:1:5: the line separator U\+2028"),
        ("a: b\rc: d", "f:1:5: a carriage return alone"),
        ('a: "\\UFFFFFFFF"', r"f:1:1: the file is damaged \(.*\); .*older copy"),
        ("a: " + "[" * (DEEPEST + 1), f"nesting deeper than {DEEPEST}"),
        ("x" * (LONGEST_LINE + 1), f"f:1:1: a line of {LONGEST_LINE + 1} characters"),
    ],
)
def test_what_no_show_needs_is_refused_with_its_place(text: str, message: str) -> None:
    with pytest.raises(ShowError, match=message):
        read_tree(YamlText(text, "f"))


def test_repeated_names_are_told_all_at_once() -> None:
    root, errors = read_tree(YamlText("a: 1\nb: {c: 1, c: 2}\na: 3\n", "f"))
    assert isinstance(root, MapNode)
    assert [error.where for error in errors] == ["f:2:11", "f:3:1"]
    assert "first at f:1:1" in errors[1].what


def test_a_long_line_may_be_as_long_as_a_whole_show() -> None:
    read_tree(YamlText("a: " + "x" * (LONGEST_LINE - 3), "f"))


def test_an_empty_value_stands_after_its_colon() -> None:
    root, _ = read_tree(YamlText("a:   # nothing\nb: c\n", "f"))
    assert isinstance(root, MapNode)
    assert root.entries[0].value.start == 2


# ---------------------------------------------------------------- two parsers


def _events(text: str) -> list[Event] | None:
    """What the parser in Python reads; ``None`` where it refuses. An empty value has no place."""
    try:
        found = list(_by_pure_python(text))
    except (YAMLError, ValueError):
        return None
    return [_placed(each) for each in found]


def _placed(event: Event) -> Event:
    """An event whose place counts: not of what is not there, nor of the document's own ends."""
    is_empty = event.kind is EventKind.SCALAR and not (event.value or event.style)
    is_outer = event.kind.name.startswith(("STREAM", "DOCUMENT"))
    return event._replace(start=0, end=0) if is_empty or is_outer else event


def _read_alike(text: str) -> bool:
    """Whether libyaml leaves a text alone, or reads it as the parser in Python does."""
    quickly = _by_libyaml(text)
    return quickly is None or [_placed(each) for each in quickly] == _events(text)


@given(random=randoms)
def test_both_parsers_read_random_shows_alike(random: Random) -> None:
    """The same values in the same places, in all spellings of a show."""
    assert _read_alike(Scribe(random).text(random_show(random)))


@pytest.mark.parametrize("path", sorted(EXAMPLES.glob("*.yaml")), ids=lambda path: path.stem)
def test_shows_that_people_write_are_read_by_libyaml(path: Path) -> None:
    """The quick way is the usual one."""
    text = path.read_text(encoding="utf-8")
    assert _by_libyaml(text) is not None
    assert _read_alike(text)


@given(random=randoms)
def test_both_parsers_take_damage_alike(random: Random) -> None:
    """What libyaml accepts of a damaged text, the parser of YAML 1.2 reads in the same way."""
    lines = Scribe(random).text(random_show(random)).split("\n")
    first = random.randrange(len(lines))
    text = "\n".join(lines[first : first + random.randrange(1, 12)])
    for _ in range(random.randrange(1, 6)):
        at = random.randrange(len(text) + 1)
        text = text[:at] + random.choice(_SPOILING) + text[at + random.randrange(2) :]
    assert _read_alike(text)


def test_without_libyaml_the_parser_in_python_reads(monkeypatch: pytest.MonkeyPatch) -> None:
    """As where PyYAML was built without it."""
    monkeypatch.delattr(yaml, "CSafeLoader")
    text = "show: {name: Fete}\n"
    assert _by_libyaml(text) is None
    assert value_of(read_tree(YamlText(text, "show"))[0]) == {"show": {"name": "Fete"}}
