"""The published JSON Schema says what the reader says."""

from __future__ import annotations

import re
from random import Random
from typing import Any

import pytest
from hypothesis import given
from ruamel.yaml import YAML

from levelhead.errors import ShowError
from levelhead.show.document import parse_show
from levelhead.show.read.schema import fields_of, json_schema
from tests.show.hall import HALL
from tests.show.random_shows import random_show, randoms
from tests.show.scribe import Scribe

SCHEMA = json_schema()
HEAD = "levelhead: 1\nshow: {name: Hall}\n"
TYPES = {"string": str, "integer": int, "number": (int, float), "boolean": bool, "null": type(None)}


def fits(value: Any, schema: dict[str, Any]) -> bool:
    """A reader of the few words of JSON Schema (2020-12) that ours uses."""
    if "$ref" in schema:
        return fits(value, SCHEMA["$defs"][schema["$ref"].rpartition("/")[2]])
    if "anyOf" in schema:
        return any(fits(value, each) for each in schema["anyOf"])
    if "const" in schema or "enum" in schema:
        return value in schema.get("enum", [schema.get("const")])
    if isinstance(value, dict):
        return schema.get("type") == "object" and fits_object(value, schema)
    if isinstance(value, list):
        return schema.get("type") == "array" and fits_array(value, schema)
    kinds = schema.get("type", list(TYPES))
    if not any(
        isinstance(value, TYPES.get(kind, ()))
        for kind in ([kinds] if isinstance(kinds, str) else kinds)
    ):
        return False
    if isinstance(value, str):
        return len(value) <= schema.get("maxLength", 1e9) and bool(
            re.search(schema.get("pattern", ""), value)
        )
    return value is None or value >= schema.get("minimum", value)


def fits_object(value: dict[str, Any], schema: dict[str, Any]) -> bool:
    """Names, and a value for each."""
    named = schema.get("properties", {})
    patterns = schema.get("patternProperties", {})
    if not set(schema.get("required", [])) <= set(value):
        return False
    for name, each in value.items():
        found = [inner for pattern, inner in patterns.items() if re.search(pattern, name)]
        inner = named.get(
            name, found[0] if found else schema.get("additionalProperties", not patterns)
        )
        if inner is False or (isinstance(inner, dict) and not fits(each, inner)):
            return False
    return all(fits(name, schema.get("propertyNames", {})) for name in value)


def fits_array(value: list[Any], schema: dict[str, Any]) -> bool:
    """Items, and how many."""
    items = schema.get("prefixItems", [schema.get("items", {})] * len(value))
    enough = schema.get("minItems", 0) <= len(value) <= schema.get("maxItems", len(value))
    return enough and all(fits(each, inner) for each, inner in zip(value, items, strict=False))


def plain(value: Any) -> Any:
    """As a JSON reader has it: names and dates are text."""
    if isinstance(value, dict):
        return {str(key): plain(each) for key, each in value.items()}
    if isinstance(value, list):
        return [plain(each) for each in value]
    return value if isinstance(value, (str, int, float, bool, type(None))) else str(value)


def loaded(text: str) -> Any:
    """What another YAML reader makes of a file."""
    return plain(YAML(typ="safe", pure=True).load(text))


def test_the_small_show_fits() -> None:
    assert fits(loaded(HALL), SCHEMA)


@given(random=randoms)
def test_any_show_fits(random: Random) -> None:
    """Ids that other readers take for numbers or truths are left out: they change them."""
    show = random_show(random)
    if not {"null", "true", "1e3", "012"} & {*show.items, *show.sources, *show.supplies}:
        assert fits(loaded(Scribe(random).text(show)), SCHEMA)


@pytest.mark.parametrize(
    "text",
    [
        "levelhead: 2\nshow: {name: x}\n",
        "levelhead: 1\n",
        "levelhead: 1\nshow: {}\n",
        HEAD + "extra: 1\n",
        HEAD + "items: [a]\n",
        HEAD + "items: {A: {type: b}}\n",
        HEAD + "items: {a: {label: b}}\n",
        HEAD + "items: {a: {type: b, lable: c}}\n",
        HEAD + "items: {a: {type: b, label: 12}}\n",
        HEAD + "items: {a: {type: b, label: null}}\n",
        HEAD + "items: {a: {type: b, need: may}}\n",
        HEAD + "items: {a: {type: b, at: [1, 2]}}\n",
        HEAD + "items: {a: {type: b, figures: {x: [1]}}}\n",
        HEAD + "sources: {a: {type: b}}\n",
        HEAD + "links: {a: b}\n",
        HEAD + "links: [{from: a.b, to: c.d, via: x}]\n",
        HEAD + "settings: {a: 1}\n",
        HEAD + "supplies: {a: {circuit: b}}\n",
        HEAD + "supplies: {a: {outlet: b, earth: lifted}}\n",
        HEAD + "stock: {a: -1}\n",
        HEAD + "stock: {a: many}\n",
    ],
)
def test_what_the_schema_refuses_the_reader_refuses(text: str) -> None:
    assert not fits(loaded(text), SCHEMA)
    with pytest.raises(ShowError, match="expected"):
        parse_show(text, "f")


def test_fields_are_those_that_files_have() -> None:
    """Names as written, ``from`` included."""
    assert fields_of(["links", 0, "x"]) == [
        "from",
        "to",
        "ends",
        "via",
        "pins",
        "plugged",
        "beside",
    ]
    assert fields_of(["items", "a", "x"])[:2] == ["type", "label"]
    assert fields_of(["x"]) == list(SCHEMA["properties"])


def test_the_schema_says_what_it_is() -> None:
    assert SCHEMA["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert SCHEMA["required"] == ["levelhead", "show"]


@pytest.mark.parametrize(
    ("via", "meant"),
    [
        ("[cable-xlr 10,5 m]", "cable-xlr 10.5 m"),
        ("[cable-xlr 10,5, adaptor-xlr-turn]", "cable-xlr 10.5 m"),
    ],
)
def test_a_decimal_comma_between_brackets_is_told_as_one(via: str, meant: str) -> None:
    """YAML makes two entries of it; neither of them is what a person wrote."""
    text = f"""levelhead: 1
show: {{name: Comma}}
items:
  vox: {{type: mic-vocal-dynamic}}
  desk: {{type: mixer-compact}}
links:
  - {{from: vox.out, to: desk.ch1.mic, via: {via}}}
"""
    with pytest.raises(ShowError, match=rf"the comma parts this .* Write {meant}\."):
        parse_show(text, "comma.yaml")


def test_two_cables_between_brackets_are_two() -> None:
    text = """levelhead: 1
show: {name: Two}
items:
  vox: {type: mic-vocal-dynamic}
  desk: {type: mixer-compact}
links:
  - {from: vox.out, to: desk.ch1.mic, via: [cable-xlr 10 m, adaptor-xlr-turn, cable-xlr 5 m]}
"""
    (link,) = parse_show(text, "two.yaml").show.links
    assert len(link.via) == 3
