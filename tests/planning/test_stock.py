"""Stock: what there is goes first, by what reaches; what is missing is said."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import pytest

from levelhead.planning.remedy.remedies import remedies_for
from levelhead.planning.settle import settled
from levelhead.planning.stock import drawn, has_type, in_stock, lacking, stock_words
from levelhead.show.edits import AddItem, Plug, Set, Unplug
from levelhead.show.model import Cable, Item, Link, Show
from levelhead.verdicts.loading.levels import TONE
from tests.verdicts.shows import tried_text

VAN: Final = Show(
    "van", stock={"cable-xlr 5 m": 1, "cable-xlr 20 m": 1, "di-active": 1, "di-passive": 0}
)
ENDS: Final = {"a": "m.out", "b": "d.ch1.mic"}


def plug(length_m: float | None, type_id: str = "cable-xlr") -> Plug:
    return Plug(Link(ENDS, (Cable(type_id, length_m),)))


@pytest.mark.parametrize(
    ("least_m", "found_m"), [(None, 5), (3, 5), (5, 5), (5.1, 20), (20, 20), (20.1, None)]
)
def test_the_shortest_that_reaches_is_taken(least_m: float | None, found_m: float | None) -> None:
    found = in_stock(VAN, "cable-xlr", least_m)
    assert (found and found.length_m) == found_m


def test_none_left_is_none() -> None:
    assert has_type(VAN, "di-active")
    assert has_type(VAN, "cable-xlr")
    assert not has_type(VAN, "di-passive")
    assert lacking(VAN, [AddItem(Item("x", "di-passive"))]) == ("di-passive",)


def test_each_is_there_once() -> None:
    """Two that reach 3 m, and a third that does not exist."""
    assert lacking(VAN, [plug(3), plug(3)]) == ()
    assert lacking(VAN, [plug(3), plug(3), plug(3)]) == ("cable-xlr 3 m",)
    assert stock_words(VAN, [plug(3)] * 4) == "not in stock: 2 x cable-xlr 3 m"


def test_what_a_move_sets_free_is_no_purchase() -> None:
    out = Unplug(Link(ENDS, (Cable("cable-jack", 6.0),)))
    again = plug(6, "cable-jack")
    assert lacking(VAN, [out, again]) == ()
    assert stock_words(VAN, [out, again]) == ""
    assert drawn(VAN, [out, again]) == (out, again)
    assert lacking(VAN, [again]) == ("cable-jack 6 m",)


def test_cables_come_out_of_the_stock() -> None:
    assert drawn(VAN, [plug(10), Set("d.main", "0 dB")])[0] == plug(20)
    assert drawn(VAN, [plug(30)]) == (plug(30),)
    assert stock_words(VAN, [plug(20)]) == "in stock"


def test_without_a_list_nothing_is_missing() -> None:
    bare = Show("bare")
    assert lacking(bare, [plug(10)]) == ()
    assert stock_words(bare, [plug(10)]) == ""


BASS: Final = """
    items: {b: {type: bass-passive}, d: {type: mixer-compact}}
    links: [{from: b.out, to: d.ch1.mic, via: [lead-jack-xlr 6 m]}]
    """


def test_remedies_say_what_is_there_and_what_is_not() -> None:
    """A DI box and its leads: all in the van, or the box only."""
    full = "stock: {di-active: 1, cable-jack 3 m: 1, cable-xlr 10 m: 1}\n    "
    trial = settled(tried_text(BASS + full), frozenset())
    finding = next(each for each in trial.judgement.findings if each.code == TONE)
    first = remedies_for(trial, finding)[0]
    assert first.do.endswith("(in stock)")
    assert Cable("cable-xlr", 10.0) in [
        cable for edit in first.edits if isinstance(edit, Plug) for cable in edit.link.via
    ]
    poor = trial.after([])
    assert poor is not None
    poor = replace(trial, show=replace(trial.show, stock={"cable-xlr 10 m": 1}), _kept={})
    offered = remedies_for(poor, finding)
    assert "not in stock: di" in offered[0].do  # before a wireless set, which would do as well
    assert all("not in stock: " in each.do or "in stock" not in each.do for each in offered)
