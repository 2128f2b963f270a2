"""From the text of a file to a show, and every error with its line and column."""

from __future__ import annotations

from random import Random

import pytest
from hypothesis import given

from levelhead.errors import ShowError
from levelhead.show.document import _is_same, new_document, parse_show
from levelhead.show.model import Cable, Item, Link, Show, Source, Supply
from levelhead.show.read.problems import MOST_ERRORS
from tests.show.hall import HALL
from tests.show.random_shows import random_show, randoms
from tests.show.scribe import Scribe

HEAD = "levelhead: 1\nshow: {name: Hall}\n"


def errors_of(text: str) -> list[str]:
    """Every error of a file, as printed."""
    with pytest.raises(ShowError, match="f:") as caught:
        parse_show(text, "f")
    return [str(error) for error in caught.value.errors]


def test_every_section_is_read() -> None:
    """A show of one of each, written out by hand beside its file."""
    show = parse_show(HALL, "f").show
    assert (show.name, show.date, show.version) == ("Village hall", "2026-12-05", 3)
    assert show.items == {
        "vox-1": Item("vox-1", "mic-vocal-dynamic", "Anna", need="must"),
        "keys": Item("keys", "keyboard-stereo", supply="stage-left"),
        "desk": Item("desk", "mixer-analogue-16", at=(0.0, 18.0, 1.0), supply="desk"),
        "comp": Item("comp", "compressor"),
        "box": Item("box", "stage-box-4", note="left of the drums\nmind the step\n"),
    }
    assert show.sources == {"anna": Source("anna", "voice-singer", "vox-1", 0.05)}
    assert show.links == (
        Link({"a": "vox-1.out", "b": "desk.ch1.mic"}, (Cable("cable-xlr", 10.0),)),
        Link(
            {"a": "desk.ch1.insert", "send": "comp.in", "return": "comp.out"},
            (Cable("lead-insert", 2.0),),
        ),
        *(
            Link({"a": f"box.out{n}", "b": f"desk.ch{n + 4}.mic"}, (Cable("cable-xlr", 2.0),))
            for n in (1, 2, 3, 4)
        ),
        Link({"a": "keys.left", "b": "desk.ch9.line"}, (Cable("lead-jack", 6.0),)),
    )
    assert show.settings == {
        "desk.ch1.gain": "35 dB",
        "desk.ch1.fader": "0 dB",
        "desk.ch1.send1": "-6 dB",
        "desk.ch9.gain": "unknown",
    }
    assert show.locks == {"desk.ch1.gain"}
    assert show.supplies == {
        "stage-left": Supply("stage-left", "A1"),
        "desk": Supply("desk", "B3", circuit="B"),
    }
    assert show.stock == {"cable-xlr 10 m": 6, "di-active": 1}


@given(random=randoms)
def test_a_show_survives_any_way_of_writing_it(random: Random) -> None:
    """Blocks or braces, quotes, comments, ranges, line ends: the same show, the same bytes back."""
    show = random_show(random)
    text = Scribe(random).text(show)
    document = parse_show(text, "f")
    assert _is_same(document.show, show)
    assert document.text() == text


@given(random=randoms)
def test_a_new_file_gives_its_show_back(random: Random) -> None:
    show = random_show(random)
    text = new_document(show, "f").text()
    assert _is_same(parse_show(text, "f").show, show)


def test_the_smallest_show_has_a_name() -> None:
    assert parse_show(HEAD, "f").show == Show("Hall")


def test_empty_sections_are_empty() -> None:
    text = HEAD + "items:\nsources: ~\nlinks: []\nsettings: {}\nsupplies: null\nstock:\n"
    assert parse_show(text, "f").show == Show("Hall")


def test_a_file_may_be_json() -> None:
    """Every JSON text is YAML 1.2."""
    items = '{"a": {"type": "b", "at": [1, 2.5, 0]}}'
    text = '{"levelhead": 1, "show": {"name": "Hall"}, "items": ' + items + "}"
    assert parse_show(text, "f").show.items == {"a": Item("a", "b", at=(1.0, 2.5, 0.0))}


def test_values_keep_their_spelling() -> None:
    """What YAML would take for numbers and truths stays as typed where gear decides the meaning."""
    text = (
        HEAD
        + "items: {a: {type: b, figures: {x: 1.20}}}\nsettings: {a: {g: 012, h: true, i: 1e3}}\n"
    )
    show = parse_show(text, "f").show
    assert show.settings == {"a.g": "012", "a.h": "true", "a.i": "1e3"}
    assert show.items["a"].figures == {"x": "1.20"}


def test_a_misspelt_heading_is_one_error() -> None:
    """What stands under it is missed everywhere else; nobody wants to read that."""
    text = """\
levelhead: 1
show: {name: Fete}
itmes: {vox: {type: mic}, desk: {type: mixer}}
sources: {s: {type: t, at: vox, distance: 5 cm}}
links: [{from: vox.out, to: desk.ch1.mic}]
"""
    assert [each[: each.index(";")] for each in errors_of(text)] == [
        "f:3:1, itmes: unknown field 'itmes'"
    ]


def test_all_errors_come_at_once_in_the_order_of_the_file() -> None:
    """Many mistakes of many kinds: place, field, what was read, what was expected, what to do."""
    text = """\
levelhead: 1
show: {name: 012, dat: x, version: 1.5}
items:
  vox-1: {type: mic, lable: Anna, need: may, at: [0, 1,5, 2]}
  Vox: {type: 3}
  a: {type: x, at: [0, .nan], supply: stag, figures: {a b: 3}}
  z: 5
sources: {s: {type: t, at: vox-2, distance: 5}}
links:
  - {from: vox-1.out, to: a.ch1, via: cable-xlr 10 m}
  - {from: vox-1.out}
  - {from: "a.out[1-3]", to: "z.in[1-2]"}
  - {from: a.out, to: z.in}
  - {from: a.out, to: zz.in}
settings:
  a: {ch: {gain: 3.5 dB, x: ~, y: .inf, lock: gain, C: 1}, lock: [no/te]}
  desk: {x: 1}
supplies: {stage: {outlet: 1}}
stock: {cable-xlr 10 m: 1, cable-xlr 10m: 2, k: -1}
x: 1
"""
    starts = [
        "f:2:14, show.name: 012 without quotes, which is a whole number; expected text.",
        "f:2:19, show.dat: unknown field 'dat'; expected one of name, date",
        "f:2:36, show.version: '1.5' is no such number; expected a whole number from 1",
        "f:4:22, items.vox-1.lable: unknown field 'lable'; ",
        "f:4:41, items.vox-1.need: 'may' is none of the words known here; expected must",
        "f:4:46, items.vox-1.at: 4 values; expected 3: to the right, into the hall, up. ",
        "f:5:3, items.Vox: 'Vox' is no id; expected small letters, digits and hyphens",
        "f:5:15, items.Vox.type: 3 without quotes, which is a whole number; expected text.",
        "f:6:16, items.a.at[3]: only 2 values; expected three",
        "f:6:24, items.a.at[2]: 'nan' is no coordinate; expected metres",
        "f:6:39, items.a.supply: there is no supply 'stag'; expected one that stands under",
        "f:6:55, items.a.figures.a b: 'a b' names no figure; ",
        "f:7:6, items.z: '5' was read; expected a mapping",
        "f:8:28, sources.s.at: there is no item 'vox-2'; expected one that stands under",
        "f:8:45, sources.s.distance: '5': the number has no unit; expected a length in m.",
        "f:10:39, links[1].via: 'cable-xlr 10 m' was read; expected a list. Put it in brackets",
        "f:11:5, links[2]: a link with from; expected from and to, or ends",
        "f:12:5, links[3]: the ends do not match: 3 at a.out[1-3] and 2 at z.in[1-2]; ",
        "f:14:12, links[5].from: a.out has a plug in it already, from f:13:12; expected one plug",
        "f:14:23, links[5].to: there is no item 'zz'; expected one that stands under",
        "f:16:29, settings.a.ch.x: '~' was read; expected one value. ",
        "f:16:35, settings.a.ch.y: '.inf' is not finite; ",
        "f:16:47, settings.a.ch.lock: 'gain' was read; expected a list of controls beside it. ",
        "f:16:53, settings.a.ch.C: 'C' is no name; ",
        "f:16:67, settings.a.lock[1]: 'a.no/te' is no address of a control; ",
        "f:17:3, settings.desk: there is no item 'desk'; expected one that stands under",
        "f:18:28, supplies.stage.outlet: 1 without quotes, which is a whole number",
        "f:19:28, stock.cable-xlr 10m: 'cable-xlr 10m' is the same as 'cable-xlr 10 m'; ",
        "f:19:49, stock.k: '-1' is no such number; ",
        "f:20:1, x: unknown field 'x'; expected one of levelhead, show, items",
    ]
    printed = errors_of(text)
    assert len(printed) == len(starts)
    for line, start in zip(printed, starts, strict=True):
        assert line.startswith(start)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "f:1:1: no entries; expected a show"),
        ("# only a comment\n", "no entries"),
        ("- a\n", "f:1:1: no mapping at the top"),
        ("just words\n", "no mapping at the top"),
        ("levelhead: 1\n", "f:1:1, show: 'show' is missing; expected a field 'show'"),
        ("levelhead: 1\nshow: {}\n", "f:2:1, show.name: 'name' is missing"),
        (HEAD + "items: [a]\n", "f:3:1, items: a list was read; expected a mapping"),
        (HEAD + "items: {a: [b]}\n", "f:3:9, items.a: a list was read; expected a mapping"),
        (HEAD + "items: {a: }\n", "f:3:11, items.a: nothing was read; expected a mapping"),
        (HEAD + "items: {a: {type: b, label: }}\n", "items.a.label: nothing; expected text. Leave"),
        (HEAD + "items: {a: {type: [b]}}\n", "items.a.type: a list; expected a single value"),
        (HEAD + "items: {a: {type: b, at: 5}}\n", "items.a.at: '5' was read; expected a list"),
        (HEAD + "items: {a: {type: b, label: yes, label: no}}\n", "'label' is there twice"),
        (HEAD + "links: {a: b}\n", "f:3:1, links: a mapping was read; expected a list"),
        (
            HEAD + "links: [{from: a.b, to: a.b, ends: {a: a.b}}]\n",
            "a link with from and to and ends",
        ),
        (HEAD + "links: [{}]\n", "a link with no end"),
        (HEAD + "links: [{ends: {a: a.b}}]\n", "a link with ends; expected from and to"),
        (HEAD + "links: [{from: vox, to: desk.a}]\n", "'vox' is no address"),
        (
            HEAD + "settings: {desk: 3}\n",
            "f:3:18, settings.desk: '3' was read; expected the settings",
        ),
        (HEAD + "settings: {lock: [a]}\n", "settings.lock: a list was read; expected the settings"),
        (HEAD + "settings: {a: {b: {c: {d: {e: 1}}}}}\n", "settings.a.b.c.d: a mapping was read"),
        (HEAD + 'settings: {a: {"ch[1-2]": {b: 1}}}\n', "ranges are for links only"),
        (
            HEAD + "settings: {a: {b: {c: 3,5 dB: 4}}}\n",
            "f:3:25, settings.a.b.5 dB: '5 dB' is no name",
        ),
        (HEAD + "stock: 5\n", "f:3:8, stock: '5' was read; expected a mapping"),
        (HEAD + "stock: {a: one}\n", "stock.a: 'one' is no such number"),
        (HEAD + "stock: {a: 1.0}\n", "stock.a: '1.0' is no such number"),
        (HEAD + "supplies: {a: {outlet: ''}}\n", "supplies.a.outlet: an empty text"),
    ],
)
def test_each_mistake_is_told_with_its_place(text: str, message: str) -> None:
    assert any(message in error for error in errors_of(text)), errors_of(text)


def test_a_broken_section_makes_no_errors_elsewhere() -> None:
    """Nobody is told that items are unknown when the list of items itself cannot be read."""
    text = HEAD + "items: [a]\nlinks: [{from: a.b, to: c.d}]\nsettings: {e: {f: 1}}\n"
    assert len(errors_of(text)) == 1


def test_very_many_errors_are_counted_not_listed() -> None:
    links = "".join(f"  - {{from: a{n}.b, to: c{n}.d}}\n" for n in range(1000))
    printed = errors_of(HEAD + "links:\n" + links)
    assert len(printed) == MOST_ERRORS + 1
    assert f"{2000 - MOST_ERRORS} more errors" in printed[-1]


def test_one_socket_takes_one_plug_also_within_ranges() -> None:
    items = "items: {a: {type: x}, b: {type: x}}\n"
    links = 'links:\n  - {from: "a.o[1-3]", to: "b.i[1-3]"}\n  - {from: a.o2, to: b.i9}\n'
    (printed,) = errors_of(HEAD + items + links)
    assert printed.startswith("f:6:12, links[2].from: a.o2 has a plug in it already, from f:5:12;")
