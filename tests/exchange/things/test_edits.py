"""Tables of texts: everything that a show file says has a field; what is typed comes back."""

from __future__ import annotations

from dataclasses import fields

import pytest

from levelhead.errors import LevelheadError
from levelhead.exchange.things.edits import ADDED, Typing
from levelhead.exchange.things.texts import texts_of
from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.show.edits import Edit, apply
from levelhead.show.model import Cable, Item, Link, Show, Source, Supply, Volts
from levelhead.show.rooms import Area, Room, Surface

SHOW = Show(
    "Hall",
    date="2026-05-01",
    items={
        "vox": Item("vox", "mic-vocal-dynamic", figures={"out.impedance": "290 ohm"}),
        "other": Item("other", "mic-vocal-dynamic"),
        "laptop": Item("laptop", "laptop", supply="stage"),
        "desk": Item("desk", "mixer-compact"),
    },
    sources={"anna": Source("anna", "voice-singer", "vox", 0.05, "Anna", {"other": 0.43})},
    links=(
        Link({"a": "vox.out", "b": "desk.ch1.mic"}, (Cable("cable-xlr", 10.0),)),
        Link({"a": "other.out", "b": "desk.ch2.mic"}, (Cable("cable-xlr", 10.0),)),
    ),
    settings={"desk.ch1.gain": "36 dB"},
    locks=frozenset({"desk.ch1.gain", "desk.ch2.gain"}),
    supplies={"stage": Supply("stage", "stage left")},
    stock={"cable-xlr 10 m": 3},
    room=Room(
        corners=((-6, -4), (6, -4), (6, 16), (-6, 16)),
        height="5 m",
        surfaces={"floor": Surface("240 m2", "0.05")},
    ),
    areas={"stalls": Area("stalls", corners=((-5, 3), (5, 3), (5, 15), (-5, 15)))},
    measured={"strings": Volts("strings", ("vox", "other"), "30 V")},
)
OF_TYPES = {
    "items": (Item, {"figures": "figures"}),
    "sources": (Source, {"distance_m": "distance"}),
    "links": (Link, {}),
    "supplies": (Supply, {}),
    "room": (Room, {}),
    "surfaces": (Surface, {}),
    "areas": (Area, {}),
    "measured": (Volts, {}),
}
# table, row, field, and what is typed there
TYPED = (
    ("items", "vox", "id", "vox-1"),
    ("items", "vox", "label", "Anna's"),
    ("items", "vox", "type", "mic-vocal-condenser"),
    ("items", "vox", "need", "must"),
    ("items", "vox", "at", "-2, 0, 1.5"),
    ("items", "vox", "aim", "-2, 0.5, 1.5"),
    ("items", "vox", "supply", "stage"),
    ("items", "vox", "fixings", "2"),
    ("items", "vox", "switched", "3"),
    ("items", "vox", "near", "dimmer-rack 1 m, mains-transformer 30 cm"),
    ("items", "vox", "note", "Hums when cold."),
    ("figures", "vox.out.impedance", "value", "180 ohm"),
    ("sources", "anna", "id", "berta"),
    ("sources", "anna", "label", "Berta"),
    ("sources", "anna", "type", "voice-talker"),
    ("sources", "anna", "at", "other"),
    ("sources", "anna", "distance", "20 cm"),
    ("sources", "anna", "also", "other: 50 cm"),
    ("sources", "anna", "level", "91 dB SPL"),
    ("links", "vox.out", "ends", "vox.out > desk.ch3.mic"),
    ("links", "vox.out", "via", "cable-xlr 10 m + cable-xlr 5 m"),
    ("links", "vox.out", "pins", "2: open, 1: 3"),
    ("links", "vox.out", "plugged", "half"),
    ("links", "vox.out", "beside", "dimmer-leads 30 m at 50 cm, mains-leads crossing"),
    ("settings", "desk.ch1.gain", "value", "20 dB"),
    ("settings", "desk.ch1.gain", "lock", ""),
    ("supplies", "stage", "id", "strip"),
    ("supplies", "stage", "outlet", "stage right"),
    ("supplies", "stage", "circuit", "2"),
    ("supplies", "stage", "label", "Strip"),
    ("supplies", "stage", "earth", "lost"),
    ("supplies", "stage", "rcd", "30 mA"),
    ("supplies", "stage", "reel", "wound"),
    ("supplies", "stage", "rated", "3000 W"),
    ("supplies", "stage", "rated_wound", "1000 W"),
    ("supplies", "stage", "tails", "electrician"),
    ("supplies", "stage", "note", "Behind the piano."),
    ("stock", "cable-xlr 10 m", "count", "7"),
    ("show", "show", "name", "Barn"),
    ("show", "show", "date", "2026-06-01"),
    ("show", "show", "version", "2"),
    ("room", "room", "where", "outdoors"),
    ("room", "room", "corners", "-4, -3; 4, -3; 4, 9"),
    ("room", "room", "height", "4 m"),
    ("room", "room", "floor", "-0.8"),
    ("room", "room", "volume", "1200 m3"),
    ("room", "room", "surface", "760 m2"),
    ("room", "room", "reverberation", "125: 1.9 s, 1000: 1.2 s"),
    ("room", "room", "absorption", "0.15"),
    ("room", "room", "temperature", "22 °C"),
    ("room", "room", "humidity", "40 %"),
    ("room", "room", "noise", "38 dB(A)"),
    ("room", "room", "note", "Curtains at the back."),
    ("surfaces", "floor", "area", "200 m2"),
    ("surfaces", "floor", "absorption", "125: 0.02, 4000: 0.1"),
    ("areas", "stalls", "id", "floor"),
    ("areas", "stalls", "label", "Stalls"),
    ("areas", "stalls", "corners", "-3, 2; 3, 2; 3, 8; -3, 8"),
    ("areas", "stalls", "at", "3.5, 7, 1.6"),
    ("areas", "stalls", "ears", "1.7 m"),
    ("areas", "stalls", "back_ears", "2.4 m"),
    ("areas", "stalls", "spacing", "2 m"),
    ("areas", "stalls", "stay", "5 h"),
    ("areas", "stalls", "level", "95 dB(A)"),
    ("areas", "stalls", "who", "staff"),
    ("areas", "stalls", "laeq", "97 dB(A)"),
    ("areas", "stalls", "note", "Choir, too."),
    ("measured", "strings", "id", "tingle"),
    ("measured", "strings", "between", "other, vox"),
    ("measured", "strings", "volts", "12 V"),
    ("measured", "strings", "meter", "low-impedance"),
    ("measured", "strings", "note", "Only with the amplifier on."),
)


def typing(show: Show = SHOW) -> Typing:
    book = load_book()
    return Typing(show, book, build_rig(show, book))


def after(edits: list[Edit]) -> Show:
    return apply(SHOW, edits)[0]


def test_nothing_that_a_show_holds_is_without_a_field() -> None:
    """Fields of the model against fields of the tables; the rest are tables of their own."""
    texts = texts_of(SHOW)
    for table, (kind, other) in OF_TYPES.items():
        told = set(next(iter(texts[table].values())))
        own = {other.get(each.name, each.name) for each in fields(kind)}
        assert own - set(texts) <= told, table
    elsewhere = {"name", "date", "version", "locks", "is_excerpt"}  # the last is of no file
    assert {each.name for each in fields(Show)} - elsewhere <= set(texts)


def test_every_field_of_every_table_is_typed_here() -> None:
    texts = texts_of(SHOW)
    every = {
        (table, name) for table, rows in texts.items() for row in rows.values() for name in row
    }
    assert {(table, name) for table, _, name, _ in TYPED} == every


@pytest.mark.parametrize(("table", "key", "field", "text"), TYPED)
def test_what_is_typed_stands_there(table: str, key: str, field: str, text: str) -> None:
    changed = texts_of(after(typing().changed(table, key, field, text)))[table]
    now = changed.get(text if field == "id" else key, next(iter(changed.values())))
    assert now[field] == text
    assert typing().changed(table, key, field, texts_of(SHOW)[table][key][field]) == []


@pytest.mark.parametrize(
    ("table", "texts", "key"),
    [
        ("items", ["di-active", ""], "di-active-1"),
        ("figures", ["desk.main.sum.noise", "-85 dBu"], "desk.main.sum.noise"),
        ("sources", ["voice-talker", "other", ""], "voice-talker"),
        ("links", ["laptop.phones > desk.phones-none", ""], None),
        ("links", ["desk.main-left.out > desk.ch3.mic", "cable-xlr 3 m"], "desk.main-left.out"),
        ("settings", ["desk.ch2.gain", "12 dB"], "desk.ch2.gain"),
        ("settings", ["desk.ch3.gain", ""], "desk.ch3.gain"),
        ("supplies", ["hall", "hall right"], "hall"),
        ("stock", ["di-active", ""], "di-active"),
        ("surfaces", ["curtain", "40 m2", "125: 0.1, 1000: 0.6"], "curtain"),
        ("measured", ["strings-2", "vox > desk", "30 V"], "strings-2"),
        ("areas", ["bar", "3.5, 7, 1.6"], "bar"),
        ("areas", ["gallery", "-5, 12; 5, 12; 5, 15"], "gallery"),
    ],
)
def test_a_row_is_added_and_taken_away(table: str, texts: list[str], key: str | None) -> None:
    assert set(ADDED) >= {table}
    show = after(typing().added(table, texts))
    if key is None:
        return
    assert key in texts_of(show)[table]
    gone = apply(show, Typing(show, load_book()).dropped(table, key))[0]
    assert key not in texts_of(gone)[table]


@pytest.mark.parametrize(
    ("table", "key", "field", "text", "words"),
    [
        ("items", "vox", "at", "1, 2", "2 numbers"),
        ("items", "vox", "at", "here, there, up", "here"),
        ("items", "nobody", "label", "x", "no row 'nobody'"),
        ("items", "vox", "colour", "red", "no field 'colour'"),
        ("links", "vox.out", "pins", "2 open", "is no pair"),
        ("links", "vox.out", "via", "rope 3 m", "rope"),
        ("stock", "cable-xlr 10 m", "count", "many", "is no count"),
        ("gear", "vox", "label", "x", "no table 'gear'"),
        ("room", "room", "corners", "-4, -3; 4", "'4' has 1 number"),
        ("room", "room", "corners", "-4, -3; 4, wall", "wall"),
        ("room", "room", "where", "somewhere", "no kind of place"),
        ("room", "room", "reverberation", "long", "no number at its beginning"),
        ("room", "room", "reverberation", "125: 1.9 s, 1000", "is no pair"),
        ("areas", "stalls", "corners", "", "neither corners nor a place"),
        ("areas", "stalls", "at", "1, 2", "2 numbers"),
    ],
)
def test_what_means_nothing_is_refused(
    table: str, key: str, field: str, text: str, words: str
) -> None:
    with pytest.raises(LevelheadError, match=words):
        after(typing().changed(table, key, field, text))


def test_a_lead_with_three_ends_is_typed_with_the_names_of_its_ends() -> None:
    ends = "a: laptop.phones, left: desk.st1.line-left, right: desk.st1.line-right"
    show = after(typing().added("links", [ends, ""]))
    assert texts_of(show)["links"]["laptop.phones"]["ends"] == ends
