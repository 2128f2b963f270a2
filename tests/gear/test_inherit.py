"""``like``: what an entry takes over, and what it may not."""

from __future__ import annotations

from copy import deepcopy

import pytest
from hypothesis import given
from hypothesis import strategies as st

from levelhead.errors import GearError
from levelhead.gear.inherit import RawEntry, laid_over, resolved

BASE: RawEntry = {
    "label": "Base",
    "words": ["one", "two"],
    "ports": {"in": {"socket": "xlr-f", "impedance": "2 kohm"}, "out": {"socket": "xlr-m"}},
}
NESTED = st.recursive(
    st.text(max_size=3), lambda inner: st.dictionaries(st.text(max_size=2), inner, max_size=3)
)
MAPPING = st.dictionaries(st.text(max_size=2), NESTED, max_size=4)


def test_mappings_are_laid_over_to_the_single_key_and_lists_replaced() -> None:
    own = {"like": "base", "words": ["three"], "ports": {"in": {"impedance": "20 kohm"}}}
    entry = resolved("own", {"base": BASE, "own": own})
    assert entry["words"] == ["three"]
    assert entry["ports"]["in"] == {"socket": "xlr-f", "impedance": "20 kohm"}
    assert entry["ports"]["out"] == {"socket": "xlr-m"}
    assert "like" not in entry


def test_null_takes_a_key_away() -> None:
    entry = resolved("own", {"base": BASE, "own": {"like": "base", "ports": {"out": None}}})
    assert list(entry["ports"]) == ["in"]


def test_nothing_that_it_is_made_from_is_changed() -> None:
    raw = {
        "base": deepcopy(BASE),
        "own": {"like": "base", "blocks": {"a": {"repeat": 2}, "b": {"like": "a"}}},
    }
    before = deepcopy(raw)
    assert resolved("own", raw) == resolved("own", raw)
    assert raw == before


def test_a_block_may_be_like_another() -> None:
    raw = {"desk": {"blocks": {"aux": {"ports": {"out": 1}}, "main": {"like": "aux", "repeat": 2}}}}
    assert resolved("desk", raw)["blocks"]["main"] == {"ports": {"out": 1}, "repeat": 2}


@pytest.mark.parametrize(
    ("raw", "said"),
    [
        ({"own": {"like": "bass"}, "base": BASE}, r"unknown gear type 'bass'.*'base'"),
        ({"own": {"like": "b"}, "b": {"like": "c"}, "c": {}}, r"'b' is itself like something else"),
        ({"own": {"blocks": {"a": {"like": "axu"}, "aux": {}}}}, r"no other block 'axu'.*'aux'"),
        ({"own": {"blocks": {"a": {"like": "a"}}}}, r"no other block 'a'"),
        (
            {"own": {"blocks": {"a": {"like": "b"}, "b": {"like": "c"}, "c": {}}}},
            r"gear type 'own', block 'a': 'b' is itself like something else",
        ),
    ],
)
def test_what_is_like_nothing_is_refused(raw: dict[str, RawEntry], said: str) -> None:
    with pytest.raises(GearError, match=said):
        resolved("own", raw)


@given(MAPPING)
def test_a_mapping_over_itself_is_itself(mapping: RawEntry) -> None:
    assert laid_over(mapping, mapping) == mapping
    assert laid_over(mapping, {}) == mapping


@given(MAPPING, MAPPING)
def test_what_lies_above_wins(base: RawEntry, over: RawEntry) -> None:
    """Every single value of the upper one is there afterwards, and every key of both."""
    merged = laid_over(base, over)
    assert merged.keys() == base.keys() | over.keys()
    for key, value in over.items():
        if not isinstance(value, dict):
            assert merged[key] == value
