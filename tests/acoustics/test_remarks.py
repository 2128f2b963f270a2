"""Remarks are folded by what they are about, whatever names are in them."""

from __future__ import annotations

from levelhead.acoustics.remarks import Remark, no_place, told_together
from levelhead.show.model import Item


def item(name: str) -> Item:
    return Item(id=name.lower().replace(" ", "-"), type="mic-vocal-dynamic", label=name)


def test_what_is_to_be_given_the_same_is_one_sentence() -> None:
    """The first three by name; others stay as they are, each once, in their order."""
    other = Remark("acoustics.no-room", "care", "room", "no room is given")
    names = ("Ada", "Ben", "Cleo", "Dora")
    remarks = [other, *(no_place(item(each), "'at'") for each in names), other]
    box = no_place(item("Box"), "'at' and 'aim'")
    assert [each.what for each in told_together([*remarks, box])] == [
        "no room is given",
        "Ada, Ben, Cleo and 1 more have no place and are left out: give them 'at'",
        "Box has no place and is left out: give it 'at' and 'aim'",
    ]


def test_a_name_that_reads_like_the_sentence_is_a_name() -> None:
    odd = item("One has no place and is left out: give it 'at'")
    (told,) = told_together([no_place(item("Ada"), "'at'"), no_place(odd, "'at'")])
    assert told.what.startswith("Ada and One has no place and is left out: give it 'at' have")
