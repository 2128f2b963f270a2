"""Edits as JSON: there and back, and nothing unread from strangers."""

from __future__ import annotations

import json
from random import Random
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from levelhead.errors import EditError
from levelhead.show.edit_json import edit_from_json, edit_name, edit_to_json
from levelhead.show.edits import EDITS, Edit, Move, Plug, Set
from levelhead.show.model import Cable, Link
from tests.show.random_edits import random_edit
from tests.show.random_shows import random_show, randoms

PLUG = {
    "edit": "plug",
    "link": {
        "ends": {"a": "vox-1.out", "b": "desk.ch1.mic"},
        "via": [{"type": "cable-xlr", "length_m": 10}],
        "pins": {"2": "open"},
        "plugged": "full",
        "beside": [],
    },
    "index": None,
}


@given(random=randoms)
def test_any_edit_goes_there_and_back(random: Random) -> None:
    """Through the text that a socket or a journal carries."""
    show = random_show(random)
    for _ in range(10):
        edit = random_edit(random, show)
        assert edit_from_json(json.loads(json.dumps(edit_to_json(edit), allow_nan=False))) == edit


def test_the_shape_is_what_the_app_sends() -> None:
    link = Link({"a": "vox-1.out", "b": "desk.ch1.mic"}, (Cable("cable-xlr", 10.0),), {"2": "open"})
    assert edit_to_json(Plug(link)) == PLUG
    assert edit_from_json(PLUG) == Plug(link)
    assert edit_from_json({"edit": "move", "item": "desk", "at": [0, 18, 1]}) == Move(
        "desk", (0.0, 18.0, 1.0)
    )


def test_fields_with_defaults_may_be_left_out() -> None:
    short = {"edit": "plug", "link": {"ends": {"a": "x.y", "b": "x.z"}}}
    assert edit_from_json(short) == Plug(Link({"a": "x.y", "b": "x.z"}))


def test_every_kind_has_its_own_name() -> None:
    names = [edit_name(kind) for kind in EDITS]
    assert len(set(names)) == len(names)
    assert {"plug", "set", "add-item", "set-pins"} <= set(names)


@pytest.mark.parametrize(
    ("data", "message"),
    [
        (None, "'None' is no edit; expected an object with a field 'edit'"),
        ([], "is no edit"),
        ({}, "is no edit"),
        ({"edit": 5}, "is no edit"),
        ({"edit": "plugg"}, "there is no edit 'plugg'; .*Did you mean 'plug'"),
        ({"edit": "set", "address": "desk.gain"}, "value: field required"),
        ({"edit": "set", "address": 5, "value": "1"}, "address: input should be a valid string"),
        (
            {"edit": "set", "address": "desk.gain", "value": 1},
            "value: input should be a valid string",
        ),
        (
            {"edit": "set", "address": "desk.gain", "value": "1", "vale": 1},
            "unknown field 'vale'; .*Did you",
        ),
        ({"edit": "move", "item": "a", "at": [1, 2]}, "at"),
        ({"edit": "move", "item": "a", "at": ["1", 2, 3]}, "valid number"),
        ({"edit": "move", "item": "a", "at": [float("nan"), 2, 3]}, "its values are no JSON"),
        ({"edit": "set", "address": "a.b", "value": {1, 2}}, "its values are no JSON"),
        (
            {"edit": "plug", "link": {"ends": {"a": 1}}},
            "link.ends.a: input should be a valid string",
        ),
        (
            {"edit": "plug", "link": {"ends": {"a": "x.y"}, "colour": "red"}},
            "unknown field 'colour'",
        ),
        (
            {"edit": "plug", "link": {"ends": {}, "via": [{"type": "x", "length": 3}]}},
            "unknown field 'length'; expected one of type, length_m",
        ),
        ({"edit": "prioritise", "item": "a", "need": "maybe"}, "'must' or 'nice'"),
    ],
)
def test_what_is_no_edit_is_refused(data: Any, message: str) -> None:
    with pytest.raises(EditError, match=message):
        edit_from_json(data)


@given(
    data=st.recursive(
        st.none() | st.booleans() | st.floats() | st.text(max_size=5),
        lambda inner: (
            st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3)
        ),
    ),
    kind=st.sampled_from([edit_name(kind) for kind in EDITS]),
)
def test_anything_else_is_refused_as_well(data: Any, kind: str) -> None:
    """Never anything but an edit or an EditError."""
    given_values = [
        data,
        {"edit": kind, "link": data, "item": data, "address": data, "value": data},
    ]
    for value in given_values:
        try:
            edit = edit_from_json(value)
        except EditError:
            continue
        assert isinstance(edit, Edit)


def test_deep_nesting_is_refused() -> None:
    data: Any = "x"
    for _ in range(100_000):
        data = [data]
    with pytest.raises(EditError, match=r"no JSON|valid string"):
        edit_from_json({"edit": "set", "address": "a.b", "value": data})


def test_an_edit_is_a_value() -> None:
    assert len({Set("a.b", "1"), Set("a.b", "1"), Set("a.b", "2")}) == 2
