"""Edits: each does what it says, finds the way back, and refuses what is impossible."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import fields, is_dataclass
from random import Random

import pytest
from hypothesis import given, settings

from levelhead.errors import EditError
from levelhead.show import edits as e
from levelhead.show.document import _is_same, parse_show
from levelhead.show.model import Cable, Item, Link, Near, Show, Source, Supply
from tests.show.hall import HALL
from tests.show.random_edits import edited, random_edit
from tests.show.random_shows import random_show, randoms

SHOW = parse_show(HALL, "f").show


def after(*edits: e.Edit) -> Show:
    """The small show after edits, which must find their way back."""
    show, back = e.apply(SHOW, edits)
    again, forth = e.apply(show, back)
    assert _is_same(again, SHOW)
    assert _is_same(e.apply(again, forth)[0], show)
    return show


def pair(a: str, b: str, *via: Cable) -> Link:
    """A link with two ends."""
    return Link({"a": a, "b": b}, via)


# ---------------------------------------------------------------- what each does


def test_plugging_adds_a_link_last_or_where_it_is_told() -> None:
    link = pair("comp.x", "box.in1", Cable("cable-xlr", 5.0))
    assert after(e.Plug(link)).links == (*SHOW.links, link)
    assert after(e.Plug(link, 0)).links == (link, *SHOW.links)


def test_unplugging_frees_both_sockets() -> None:
    show = after(e.Unplug(SHOW.links[0]), e.Plug(pair("vox-1.out", "desk.ch2.mic")))
    assert show.link_at("desk.ch1.mic") is None
    assert show.link_at("vox-1.out") == pair("vox-1.out", "desk.ch2.mic")


def test_a_link_gets_other_cables_and_faults_in_its_place() -> None:
    show = after(
        e.Recable("desk.ch1.mic", (Cable("cable-xlr", 20.0),)),
        e.SetPins("vox-1.out", {"2": "open"}),
    )
    assert show.links[0] == Link(
        {"a": "vox-1.out", "b": "desk.ch1.mic"}, (Cable("cable-xlr", 20.0),), {"2": "open"}
    )


def test_a_control_is_set_and_put_back() -> None:
    assert after(e.Set("desk.ch1.gain", "30 dB")).settings["desk.ch1.gain"] == "30 dB"
    assert "desk.ch1.gain" not in after(e.Set("desk.ch1.gain", None)).settings
    assert after(e.Set("desk.ch1.pan", None)) == SHOW


def test_locks_come_and_go() -> None:
    assert after(e.Lock("desk.ch2.gain")).locks == {"desk.ch1.gain", "desk.ch2.gain"}
    assert after(e.Unlock("desk.ch1.gain")).locks == frozenset()
    assert after(e.Lock("desk.ch1.gain")) == after(e.Unlock("desk.ch9.gain")) == SHOW


def test_an_item_is_added_where_it_is_told() -> None:
    item = Item(
        "di", "di-active", "Left", "nice", (1.0, 2.0, 3.0), None, "desk", {"x.y": "3 dB"}, "n"
    )
    assert list(after(e.AddItem(item, 1)).items) == ["vox-1", "di", "keys", "desk", "comp", "box"]
    assert list(after(e.AddItem(item)).items)[-1] == "di"
    assert after(e.AddItem(item)).items["di"] == item


def test_removing_takes_everything_that_hangs_on_an_item() -> None:
    show = after(e.Remove("desk"))
    assert "desk" not in show.items
    assert show.links == ()
    assert show.settings == {}
    assert show.locks == frozenset()
    assert list(after(e.Remove("vox-1")).sources) == []


def test_the_way_back_from_a_removal_restores_place_and_order() -> None:
    show, back = e.apply(SHOW, [e.Remove("box"), e.Remove("vox-1")])
    again, _ = e.apply(show, back)
    assert list(again.items) == list(SHOW.items)
    assert again.links == SHOW.links


def test_a_rename_is_followed_everywhere() -> None:
    supplies = {"strip": Supply("strip", "desk.out1"), "wall": Supply("wall", "desk")}
    show, _ = e.apply(SHOW, [e.AddSupply(supply) for supply in supplies.values()])
    show, _ = e.apply(show, [e.Lock("desk.ch2.gain"), e.Rename("desk", "console")])
    assert list(show.items) == ["vox-1", "keys", "console", "comp", "box"]
    assert show.items["console"].id == "console"
    assert show.links[0].ends["b"] == "console.ch1.mic"
    assert show.links[1].ends == {
        "a": "console.ch1.insert",
        "send": "comp.in",
        "return": "comp.out",
    }
    assert show.settings["console.ch9.gain"] == "unknown"
    assert show.locks == {"console.ch1.gain", "console.ch2.gain"}
    assert show.supplies["strip"].outlet == "console.out1"
    assert show.supplies["wall"].outlet == "desk"
    assert show.items["console"].supply == "desk"


def test_a_renamed_microphone_keeps_its_singer() -> None:
    assert after(e.Rename("vox-1", "vox-2")).sources["anna"].at == "vox-2"
    assert after(e.Rename("vox-1", "vox-1")) == SHOW
    assert after(e.RenameSource("anna", "anna"), e.RenameSupply("desk", "desk")) == SHOW


DIMMERS = (Near("dimmer-rack", 1.0),)


def test_each_field_of_an_item_has_its_edit() -> None:
    """Every field of Item but its id and figures can be changed; figures one by one."""
    changes: dict[str, tuple[e.Edit, object]] = {
        "type": (e.Retype("keys", "piano"), "piano"),
        "label": (e.Relabel("keys", "Keys"), "Keys"),
        "need": (e.Prioritise("keys", "must"), "must"),
        "at": (e.Move("keys", (1.0, 2.0, 0.5)), (1.0, 2.0, 0.5)),
        "aim": (e.Aim("keys", (0.0, 9.0, 1.5)), (0.0, 9.0, 1.5)),
        "supply": (e.Power("keys", None), None),
        "figures": (e.SetFigure("keys", "out.level", "-6 dBu"), {"out.level": "-6 dBu"}),
        "note": (e.Annotate("keys", "a\nb"), "a\nb"),
        "fixings": (e.Hang("keys", 2), 2),
        "switched": (e.SwitchOn("keys", 3), 3),
        "near": (e.StandNear("keys", DIMMERS), DIMMERS),
    }
    assert set(changes) == {field.name for field in fields(Item)} - {"id"}
    for name, (edit, value) in changes.items():
        show = after(edit)
        assert getattr(show.items["keys"], name) == value
        assert list(show.items) == list(SHOW.items)


def test_a_figure_goes_back_to_its_type() -> None:
    show = after(e.SetFigure("keys", "x", "1 dB"), e.SetFigure("keys", "x", None))
    assert show == SHOW


def test_sources_change() -> None:
    source = Source("bert", "voice-singer", "vox-1.grille", 0.1, "Bert")
    assert list(after(e.AddSource(source, 0)).sources) == ["bert", "anna"]
    assert after(e.RemoveSource("anna")).sources == {}
    assert after(e.RenameSource("anna", "berta")).sources["berta"].id == "berta"
    changed = Source("anna", "voice-choir", "keys", None)
    assert after(e.ChangeSource(changed)).sources["anna"] == changed


def test_supplies_change() -> None:
    show = after(e.RenameSupply("desk", "foh"))
    assert list(show.supplies) == ["stage-left", "foh"]
    assert show.items["desk"].supply == "foh"
    changed = Supply("desk", "C1", "C", "Front", "n")
    assert after(e.ChangeSupply(changed)).supplies["desk"] == changed
    assert list(after(e.Power("desk", None), e.RemoveSupply("desk")).supplies) == ["stage-left"]


def test_stock_and_head_change() -> None:
    show = after(
        e.SetStock("cable-xlr 10m", 4), e.SetStock("di-active", None), e.SetStock("pad", 0)
    )
    assert show.stock == {"cable-xlr 10 m": 4, "pad": 0}
    show = after(e.Retitle("Club", None, 4))
    assert (show.name, show.date, show.version) == ("Club", None, 4)


# ---------------------------------------------------------------- what is refused


@pytest.mark.parametrize(
    ("edit", "message"),
    [
        (
            e.Plug(pair("vox-1.out", "desk.ch2.mic")),
            r"vox-1\.out has a plug in it already: vox-1\.out to desk",
        ),
        (
            e.Plug(pair("nobody.out", "desk.ch2.mic")),
            "there is no item 'nobody'; expected an id that this show has",
        ),
        (e.Plug(pair("comp.x", "comp.x")), r"comp\.x is at two ends"),
        (e.Plug(pair("comp", "comp.x")), "'comp' is no address"),
        (e.Plug(pair("comp.[1-2]", "comp.x")), "is no address"),
        (e.Plug(Link({"a": "comp.x"})), "a link with one end"),
        (e.Plug(Link({"A": "comp.x", "b": "comp.y"})), "'A' is no id"),
        (e.Plug(pair("comp.x", "comp.y", Cable("XLR"))), "'XLR' is no id"),
        (e.Plug(pair("comp.x", "comp.y", Cable("xlr", -1.0))), "is no length"),
        (e.Plug(pair("comp.x", "comp.y", Cable("xlr", float("nan")))), "is no length"),
        (e.Plug(Link({"a": "comp.x", "b": "comp.y"}, (), {"p 2": "open"})), "'p 2' is no pin"),
        (e.Unplug(pair("vox-1.out", "desk.ch1.mic")), "there is no such link: .*cables and pins"),
        (
            e.Recable("comp.x", ()),
            "nothing is plugged into 'comp.x'; expected a socket with a plug",
        ),
        (e.SetPins("comp.x", {}), "nothing is plugged into"),
        (e.Recable("vox-1.out", (Cable("Bad"),)), "'Bad' is no id"),
        (e.Set("nobody.gain", "1"), "there is no item 'nobody'"),
        (e.Set("desk", "1"), "is no address of a control"),
        (e.Set("desk.ch1.lock", "1"), "is no address of a control"),
        (e.Set("desk.ch1", "on"), r"desk\.ch1\.gain is set, so desk\.ch1 cannot be"),
        (
            e.Set("desk.ch1.gain.fine", "on"),
            r"desk\.ch1\.gain is set, so desk\.ch1\.gain\.fine cannot",
        ),
        (e.Set("desk.ch1.gain", ""), "is no value"),
        (e.Set("desk.ch1.gain", "3,5 dB"), "has a comma in its number"),
        (e.Set("desk.ch1.gain", "inf"), "is not finite"),
        (e.Lock("nobody.gain"), "there is no item"),
        (e.Unlock("desk"), "is no address"),
        (
            e.AddItem(Item("desk", "x")),
            "the id 'desk' is taken; expected an id that no other item has",
        ),
        (e.AddItem(Item("Desk", "x")), "'Desk' is no id"),
        (e.AddItem(Item("di", "X")), "'X' is no id"),
        (e.AddItem(Item("di", "x", supply="roof")), "there is no supply 'roof'"),
        (e.AddItem(Item("di", "x", at=(0.0, float("inf"), 0.0))), "is no coordinate"),
        (e.AddItem(Item("di", "x", label="a\nb")), "control character"),
        (e.AddItem(Item("di", "x", figures={"a b": "1"})), "names no figure"),
        (e.Remove("des"), "there is no item 'des'; .*Did you mean 'desk'"),
        (e.Rename("nobody", "x"), "there is no item"),
        (e.Rename("desk", "keys"), "the id 'keys' is taken"),
        (e.Rename("desk", "Keys"), "'Keys' is no id"),
        (e.Retype("desk", "A B"), "is no id"),
        (e.Relabel("desk", "x" * 200), "200 characters"),
        (e.Prioritise("desk", "maybe"), "the need 'maybe' is not known"),  # type: ignore[arg-type]
        (e.Move("desk", (1.0, 2.0)), r"\(1\.0, 2\.0\) is no place"),  # type: ignore[arg-type]
        (e.Move("desk", (1.0, 2.0, float("nan"))), "is no coordinate"),
        (e.Aim("desk", (1e9, 0.0, 0.0)), "is no coordinate"),
        (e.Power("desk", "roof"), "there is no supply 'roof'"),
        (e.SetFigure("desk", "a b", "1"), "names no figure"),
        (e.SetFigure("desk", "a", "1,5"), "has a comma"),
        (e.AddSource(Source("anna", "x", "desk")), "the id 'anna' is taken"),
        (e.AddSource(Source("bo", "x", "nobody")), "there is no item"),
        (e.AddSource(Source("bo", "x", "desk", 0.0)), "is no length"),
        (e.RemoveSource("bo"), "there is no source 'bo'"),
        (e.ChangeSource(Source("bo", "x", "desk")), "there is no source 'bo'"),
        (e.RenameSource("anna", "A"), "'A' is no id"),
        (e.AddSupply(Supply("desk", "A1")), "the id 'desk' is taken"),
        (e.AddSupply(Supply("x", "")), "an empty text"),
        (
            e.RemoveSupply("desk"),
            "desk on supply 'desk'; expected a supply that nothing is plugged",
        ),
        (e.ChangeSupply(Supply("x", "A1")), "there is no supply 'x'"),
        (e.RenameSupply("desk", "stage-left"), "the id 'stage-left' is taken"),
        (e.SetStock("Cable", 1), "is no cable"),
        (e.SetStock("pad", -1), "is no such number"),
        (e.Retitle("", None, 1), "an empty text"),
        (e.Retitle("x", "tomorrow", 1), "is no date"),
        (e.Retitle("x", None, 0), "from 1"),
    ],
)
def test_what_is_impossible_is_refused_with_words(edit: e.Edit, message: str) -> None:
    with pytest.raises(EditError, match=message):
        e.apply(SHOW, [edit])


def test_a_rename_does_not_take_over_an_outlet() -> None:
    """Else the way back would rename what it never renamed."""
    show, _ = e.apply(SHOW, [e.AddSupply(Supply("roof", "tower.out1"))])
    with pytest.raises(EditError, match=r"the outlet of supply 'roof' is 'tower\.out1'"):
        e.apply(show, [e.Rename("box", "tower")])


def test_all_or_none() -> None:
    """The second of three fails: it is named, and the show is as it was."""
    with pytest.raises(EditError, match="edit 2 of 3, item: there is no item 'nobody'"):
        e.apply(SHOW, [e.Relabel("desk", "x"), e.Remove("nobody"), e.Remove("keys")])
    assert parse_show(HALL, "f").show == SHOW


def test_no_edits_change_nothing() -> None:
    assert e.apply(SHOW, []) == (SHOW, ())


# ---------------------------------------------------------------- of every kind


def test_every_kind_is_a_frozen_value_and_listed() -> None:
    kinds = [
        getattr(e, name)
        for name in e.__all__
        if name[0].isupper() and name not in {"EDITS", "Edit"}
    ]
    assert set(kinds) == set(e.EDITS)
    for kind in e.EDITS:
        assert is_dataclass(kind)
        assert kind.__dataclass_params__.frozen  # type: ignore[attr-defined]  # of every dataclass
        assert kind.__doc__


@given(random=randoms)
def test_undoing_any_edits_gives_the_same_show(random: Random) -> None:
    """Equal, and with items, sources and links in the same order."""
    show = random_show(random)
    made = edited(random, show, 12)
    changed, back = e.apply(show, made)
    again, forth = e.apply(changed, back)
    assert _is_same(again, show)
    assert _is_same(e.apply(again, forth)[0], changed)


@given(random=randoms)
def test_an_edit_fits_or_is_refused(random: Random) -> None:
    """Nothing else may happen, whatever the show."""
    show = random_show(random)
    for _ in range(10):
        with suppress(EditError):
            show, _ = e.apply(show, [random_edit(random, show)])


@pytest.mark.long
@settings(max_examples=10_000)
@given(random=randoms)
def test_undoing_any_edits_gives_the_same_show_many_times(random: Random) -> None:
    show = random_show(random)
    changed, back = e.apply(show, edited(random, show, 30))
    assert _is_same(e.apply(changed, back)[0], show)


def test_a_second_microphone_of_a_singer_is_followed_and_let_go() -> None:
    """A rename moves it, a removal takes it away, and the way back restores it."""
    mic = Item("mic-2", "mic-vocal-dynamic")
    both = Source("anna", "voice-singer", "vox-1", 0.1, "Anna", {"mic-2": 0.4})
    show, _ = e.apply(SHOW, [e.AddItem(mic, 0), e.ChangeSource(both)])
    renamed, _ = e.apply(show, [e.Rename("mic-2", "mic-3")])
    assert renamed.sources["anna"].also == {"mic-3": 0.4}
    gone, back = e.apply(show, [e.Remove("mic-2")])
    assert gone.sources["anna"].also == {}
    assert e.apply(gone, back)[0] == show
