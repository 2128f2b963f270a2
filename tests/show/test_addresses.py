"""Ids, addresses and ranges."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from levelhead.errors import ShowError
from levelhead.show.addresses import (
    LARGEST_RANGE,
    LONGEST_ID,
    expand_range,
    is_address,
    is_id,
    item_of,
    join_range,
    renamed_address,
    split_address,
)

ids = st.from_regex(r"[a-z0-9][a-z0-9-]{0,9}", fullmatch=True)


@pytest.mark.parametrize("text", ["vox-1", "0", "7-inch", "a-", "x" * LONGEST_ID])
def test_small_letters_digits_and_hyphens_are_an_id(text: str) -> None:
    assert is_id(text)


@pytest.mark.parametrize(
    "text", ["", "-a", "Vox", "a b", "a.b", "é", "a\n", "x" * (LONGEST_ID + 1), "²"]
)
def test_anything_else_is_no_id(text: str) -> None:
    assert not is_id(text)


@pytest.mark.parametrize("text", ["desk", "a.b.c.d.e", "a..b", ".a", "a.", "a.B", "a.b[1-2]", ""])
def test_what_is_no_address_is_refused_with_an_example(text: str) -> None:
    assert not is_address(text)
    with pytest.raises(ShowError, match=r"is no address; expected .*Write it like desk\.ch7\.mic"):
        split_address(text)


@given(parts=st.lists(ids, min_size=2, max_size=4))
def test_an_address_splits_into_its_parts(parts: list[str]) -> None:
    address = ".".join(parts)
    assert split_address(address) == tuple(parts)
    assert item_of(address) == parts[0]


def test_a_range_counts_up_or_down() -> None:
    assert expand_range("desk.ch[9-11].mic") == ["desk.ch9.mic", "desk.ch10.mic", "desk.ch11.mic"]
    assert expand_range("box.out[2-1]") == ["box.out2", "box.out1"]
    assert expand_range("box.out[3-3]") == ["box.out3"]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("desk.ch[0-3].mic", "is no range; expected a first and a last number from 1"),
        ("desk.ch[01-03].mic", "is no range"),
        ("desk.ch[1].mic", "is no range"),
        ("desk.ch[1-].mic", "is no range"),
        ("desk.ch[a-b].mic", "is no range"),
        ("desk.ch[1-2].in[1-2]", "is no address"),
        ("desk.ch[1-2.mic", "is no address"),
        (f"desk.ch[1-{LARGEST_RANGE + 1}].mic", f"names {LARGEST_RANGE + 1} places"),
        ("desk.ch[1-999999999999].mic", "is no range"),
        ("[1-2]", "is no address"),
    ],
)
def test_a_range_that_is_none_is_refused(text: str, message: str) -> None:
    with pytest.raises(ShowError, match=message):
        expand_range(text)


def test_the_largest_range_is_read() -> None:
    assert len(expand_range(f"desk.ch[1-{LARGEST_RANGE}].mic")) == LARGEST_RANGE


@given(
    before=st.sampled_from(["box.out", "desk.ch", "a1.in", "x.ch1.send"]),
    first=st.integers(1, 1500),
    count=st.integers(1, 40),
    down=st.booleans(),
    after=st.sampled_from(["", ".mic", "-left.in", ".in2"]),
)
def test_joining_undoes_expanding(
    *, before: str, first: int, count: int, down: bool, after: str
) -> None:
    """Whatever digits stand around it: the same addresses in the same order."""
    addresses = [f"{before}{first + step}{after}" for step in range(count)]
    addresses = addresses[::-1] if down else addresses
    joined = join_range(addresses)
    assert joined is not None
    assert expand_range(joined) == addresses


@given(numbers=st.lists(st.integers(1, 30), min_size=2, max_size=6))
def test_only_neighbours_join(numbers: list[int]) -> None:
    joined = join_range([f"desk.ch{number}.mic" for number in numbers])
    steps = {after - before for before, after in pairwise(numbers)}
    assert (joined is not None) == (steps in ({1}, {-1}))


@pytest.mark.parametrize(
    "addresses", [["a.x1", "b.x2"], ["a.x01", "a.x02"], ["a.x", "a.x"], ["a.x1.y2", "a.x2.y3"]]
)
def test_what_differs_elsewhere_does_not_join(addresses: list[str]) -> None:
    assert join_range(addresses) is None


def test_a_rename_keeps_the_rest_of_an_address() -> None:
    assert renamed_address("box", "box", "stage-box") == "stage-box"
    assert renamed_address("box.out1", "box", "stage-box") == "stage-box.out1"
    assert renamed_address("box-2.out1", "box", "stage-box") == "box-2.out1"
