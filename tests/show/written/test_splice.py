"""A changed show over its text: what changed is written, everything else keeps its bytes."""

from __future__ import annotations

import difflib
from dataclasses import replace
from random import Random

import pytest
from hypothesis import given, settings

from levelhead.show.document import _is_same, parse_show
from levelhead.show.edits import (
    AddItem,
    AddSource,
    Annotate,
    ChangeSupply,
    Edit,
    Lock,
    Move,
    Plug,
    Power,
    Recable,
    Relabel,
    Remove,
    RemoveSource,
    Rename,
    RenameSupply,
    Retitle,
    Retype,
    Set,
    SetFigure,
    SetPins,
    SetStock,
    Unlock,
    Unplug,
    apply,
)
from levelhead.show.model import Cable, Item, Link, Source, Supply
from tests.show.hall import HALL
from tests.show.random_edits import edited
from tests.show.random_shows import LABELS, VALUES, choice, random_show, randoms
from tests.show.scribe import Scribe


def rewritten(text: str, *edits: Edit) -> str:
    """The text after edits."""
    document = parse_show(text, "f")
    show, _ = apply(document.show, edits)
    return document.with_show(show).text()


def changes(text: str, *edits: Edit) -> list[str]:
    """Lines that went and came, without their indentation."""
    lines = difflib.unified_diff(
        text.splitlines(), rewritten(text, *edits).splitlines(), n=0, lineterm=""
    )
    return [
        line[0] + line[1:].strip() for line in lines if not line.startswith(("---", "+++", "@@"))
    ]


def link_at(end: str) -> Link:
    """A link of the small show."""
    link = parse_show(HALL, "f").show.link_at(end)
    assert link is not None
    return link


CABLE = (Cable("cable-xlr", 5.0),)


@pytest.mark.parametrize(
    ("edit", "expected"),
    [
        (
            Set("desk.ch9.gain", "20 dB"),
            ["-ch9: {gain: unknown}", "+ch9: {gain: 20 dB}"],
        ),
        (
            Set("desk.ch1.fader", None),
            [
                "-ch1: {gain: 35 dB, fader: 0 dB, send1: -6 dB, lock: [gain]}",
                "+ch1: {gain: 35 dB, send1: -6 dB, lock: [gain]}",
            ],
        ),
        (Set("desk.ch9.gain", None), ["-ch9: {gain: unknown}"]),
        (Set("desk.ch2.gain", "1.20"), ['+ch2: {gain: "1.20"}']),
        (Set("comp.ratio", "on"), ["+comp: {ratio: on}"]),
        (
            Lock("desk.ch1.fader"),
            [
                "-ch1: {gain: 35 dB, fader: 0 dB, send1: -6 dB, lock: [gain]}",
                "+ch1: {gain: 35 dB, fader: 0 dB, send1: -6 dB, lock: [gain, fader]}",
            ],
        ),
        (
            Unlock("desk.ch1.gain"),
            [
                "-ch1: {gain: 35 dB, fader: 0 dB, send1: -6 dB, lock: [gain]}",
                "+ch1: {gain: 35 dB, fader: 0 dB, send1: -6 dB}",
            ],
        ),
        (
            Relabel("vox-1", "Anna's"),
            [
                '-vox-1:  {type: mic-vocal-dynamic, label: "Anna", need: must}   # her own',
                '+vox-1:  {type: mic-vocal-dynamic, label: "Anna\'s", need: must}   # her own',
            ],
        ),
        (Retype("box", "stage-box-8"), ["-type: stage-box-4", "+type: stage-box-8"]),
        (Relabel("box", "Left"), ["+label: Left"]),
        (Annotate("box", ""), ["-note: |", "-left of the drums", "-mind the step"]),
        (
            Annotate("box", "gone"),
            ["-note: |", "-left of the drums", "-mind the step", "+note: gone"],
        ),
        (
            Move("desk", (0.0, 20.5, 1.0)),
            [
                "-desk:   {type: mixer-analogue-16, at: [0, 18, 1.0], supply: desk}",
                "+desk:   {type: mixer-analogue-16, at: [0, 20.5, 1.0], supply: desk}",
            ],
        ),
        (Power("box", "desk"), ["+supply: desk"]),
        (
            SetFigure("comp", "x.gain", "3 dB"),
            ["-comp:   {type: compressor}", "+comp:   {type: compressor, figures: {x.gain: 3 dB}}"],
        ),
        (AddItem(Item("di", "di-active"), 1), ["+di: {type: di-active}"]),
        (
            Unplug(link_at("vox-1.out")),
            ["-- {from: vox-1.out, to: desk.ch1.mic, via: [cable-xlr 10 m]}"],
        ),
        (
            Recable("keys.left", (Cable("lead-jack", 6.0), Cable("adaptor"))),
            ["+- adaptor"],
        ),
        (Recable("keys.left", ()), ["-via:", "-- lead-jack 6 m"]),
        (SetPins("keys.left", {"2": "open"}), ["+pins: {2: open}"]),
        (
            Plug(Link({"a": "comp.x", "b": "box.in1"}, CABLE), 1),
            ["+- {from: comp.x, to: box.in1, via: [cable-xlr 5 m]}"],
        ),
        (
            RemoveSource("anna"),
            ["-sources: {anna: {type: voice-singer, at: vox-1, distance: 5 cm}}", "+sources: {}"],
        ),
        (
            SetStock("di-active", 2),
            [
                "-stock: {cable-xlr 10 m: 6, di-active: 1}",
                "+stock: {cable-xlr 10 m: 6, di-active: 2}",
            ],
        ),
        (
            SetStock("pad", 2),
            [
                "-stock: {cable-xlr 10 m: 6, di-active: 1}",
                "+stock: {cable-xlr 10 m: 6, di-active: 1, pad: 2}",
            ],
        ),
        (
            ChangeSupply(Supply("desk", "B4", "B")),
            [
                "-supplies: {stage-left: {outlet: A1}, desk: {outlet: B3, circuit: B}}",
                "+supplies: {stage-left: {outlet: A1}, desk: {outlet: B4, circuit: B}}",
            ],
        ),
        (
            Retitle("Village hall", "2026-12-06", 4),
            [
                "-show: {name: Village hall, date: 2026-12-05, version: 3}",
                "+show: {name: Village hall, date: 2026-12-06, version: 4}",
            ],
        ),
        (
            Retitle("Village hall", None, 1),
            [
                "-show: {name: Village hall, date: 2026-12-05, version: 3}",
                "+show: {name: Village hall}",
            ],
        ),
    ],
)
def test_an_edit_touches_its_own_lines_only(edit: Edit, expected: list[str]) -> None:
    assert sorted(changes(HALL, edit)) == sorted(expected)


def test_a_rename_keeps_lines_spaces_and_comments() -> None:
    text = rewritten(HALL, Rename("desk", "console"))
    assert text == (
        HALL.replace("  desk:   {type", "  console:   {type")
        .replace("desk.ch", "console.ch")
        .replace("settings:\n  desk:", "settings:\n  console:")
    )


def test_a_renamed_supply_stays_in_its_place() -> None:
    expected = HALL.replace("supply: desk", "supply: foh").replace(
        " desk: {outlet", " foh: {outlet"
    )
    assert rewritten(HALL, RenameSupply("desk", "foh")) == expected


def test_removing_takes_the_lines_and_leaves_the_comments_between() -> None:
    text = rewritten(HALL, Remove("desk"))
    assert "  # at the back\n  comp:" in text
    assert "links: []\nsettings: {}\n" in text


# ---------------------------------------------------------------- ranges


def loom_lines(text: str) -> list[str]:
    """Lines of links from the stage box."""
    return [line.strip() for line in text.splitlines() if "box.out" in line]


def test_a_range_is_split_round_the_link_that_changed() -> None:
    text = rewritten(HALL, Recable("box.out2", CABLE))
    assert loom_lines(text) == [
        '- {from: "box.out1", to: "desk.ch5.mic", via: [cable-xlr 2 m]}   # loom',
        "- {from: box.out2, to: desk.ch6.mic, via: [cable-xlr 5 m]}",
        '- {from: "box.out[3-4]", to: "desk.ch[7-8].mic", via: [cable-xlr 2 m]}',
    ]


def test_a_range_gets_shorter_at_its_end() -> None:
    text = rewritten(HALL, Unplug(link_at("box.out4")))
    assert loom_lines(text) == [
        '- {from: "box.out[1-3]", to: "desk.ch[5-7].mic", via: [cable-xlr 2 m]}   # loom'
    ]


def test_a_range_loses_its_middle() -> None:
    text = rewritten(HALL, Unplug(link_at("box.out2")))
    assert loom_lines(text) == [
        '- {from: "box.out1", to: "desk.ch5.mic", via: [cable-xlr 2 m]}   # loom',
        '- {from: "box.out[3-4]", to: "desk.ch[7-8].mic", via: [cable-xlr 2 m]}',
    ]


def test_a_range_that_changes_as_a_whole_stays_one() -> None:
    edits = [Recable(f"box.out{number}", CABLE) for number in (1, 2, 3, 4)]
    text = rewritten(
        HALL,
        Rename("box", "rack"),
        *[Recable(edit.end.replace("box", "rack"), edit.via) for edit in edits],
    )
    assert (
        '  - {from: "rack.out[1-4]", to: "desk.ch[5-8].mic", via: [cable-xlr 5 m]}   # loom\n'
        in text
    )


def test_a_range_goes_as_a_whole() -> None:
    text = rewritten(HALL, *[Unplug(link_at(f"box.out{number}")) for number in (1, 2, 3, 4)])
    assert loom_lines(text) == []


def test_links_written_apart_are_never_joined() -> None:
    links = "".join(f"  - {{from: box.x{n}, to: comp.y{n}}}\n" for n in (1, 2, 3))
    text = HALL.replace("links:\n", "links:\n" + links)
    assert links in rewritten(text, Set("desk.ch9.gain", "1 dB"), Recable("vox-1.out", CABLE))
    assert rewritten(text, Recable("box.x2", CABLE)) == text.replace(
        "to: comp.y2}", "to: comp.y2, via: [cable-xlr 5 m]}"
    )


def test_a_link_put_into_a_range_splits_it() -> None:
    document = parse_show(HALL, "f")
    links = list(document.show.links)
    links.insert(4, Link({"a": "comp.x", "b": "comp.y"}))
    text = document.with_show(replace(document.show, links=tuple(links))).text()
    assert '"box.out[1-2]", to: "desk.ch[5-6].mic"' in text
    assert '"box.out[3-4]", to: "desk.ch[7-8].mic"' in text
    assert parse_show(text, "f").show.links == tuple(links)


def test_a_range_of_ends_stays_a_range_of_ends() -> None:
    items = "items: {a: {type: x}, b: {type: x}}\n"
    entry = 'links: [{ends: {a: "a.i[1-3]", send: "b.i[1-3]", return: "b.o[3-1]"}}]\n'
    text = f"levelhead: 1\nshow: {{name: x}}\n{items}{entry}"
    show = parse_show(text, "f").show
    assert show.links[0].ends == {"a": "a.i1", "send": "b.i1", "return": "b.o3"}
    assert 'links: [{ends: {a: "a.i[1-2]", send: "b.i[1-2]", return: "b.o[3-2]"}}]' in rewritten(
        text, Unplug(show.links[2])
    )


# ---------------------------------------------------------------- unusual files


@pytest.mark.parametrize(
    "empty",
    ["", "sources:\n", "sources:   # none\n", "sources: {}\n", "sources: ~ # x\n", "sources: null"],
)
def test_the_first_entry_finds_its_section(empty: str) -> None:
    text = "levelhead: 1\nshow: {name: x}\nitems: {a: {type: b}}\n" + empty
    after = rewritten(text, AddSource(Source("s", "voice", "a")))
    assert "sources:" in after
    assert after.rstrip().endswith("s: {type: voice, at: a}")
    assert after.count("#") == text.count("#")


def test_a_new_section_stands_where_files_have_it() -> None:
    text = HALL.replace("sources: {anna: {type: voice-singer, at: vox-1, distance: 5 cm}}\n", "")
    after = rewritten(text, AddSource(Source("s", "voice", "keys")))
    assert "mind the step\nsources:\n  s: {type: voice, at: keys}\nlinks:\n" in after


def test_a_file_without_a_last_line_end_keeps_that() -> None:
    text = HALL.rstrip("\n")
    assert rewritten(text, SetStock("di-active", 2)) == text.replace("di-active: 1", "di-active: 2")
    text = "levelhead: 1\nshow: {name: x}\nitems:\n  a: {type: b}"
    assert rewritten(text, AddItem(Item("c", "d"))) == text + "\n  c: {type: d}"


def test_line_ends_stay_what_they_are() -> None:
    text = HALL.replace("\n", "\r\n")
    after = rewritten(text, AddItem(Item("c", "d")), Annotate("box", "gone"))
    assert after.count("\n") == after.count("\r\n")


def test_a_json_file_stays_json_shaped() -> None:
    text = '{"levelhead":1,"show":{"name":"x"},"items":{"a":{"type":"b","label":"c"}}}'
    assert rewritten(text, Relabel("a", "d")) == text.replace('"c"', '"d"')
    assert rewritten(text, SetStock("pad", 1)) == text[:-1] + ", stock: {pad: 1}}"


def test_a_comment_in_brackets_stays_when_its_neighbours_go() -> None:
    text = HALL.replace(
        "{cable-xlr 10 m: 6, di-active: 1}",
        "{cable-xlr 10 m: 6, # the long, red ones\n  di-active: 1}",
    )
    after = rewritten(text, SetStock("di-active", None))
    assert "# the long, red ones" in after
    assert parse_show(after, "f").show.stock == {"cable-xlr 10 m": 6}


def test_the_first_link_goes_between_brackets_that_hold_a_comment() -> None:
    text = "levelhead: 1\nshow: {name: x}\nitems: {a: {type: b}}\nlinks: [  # none yet\n  ]\n"
    after = rewritten(text, Plug(Link({"a": "a.x", "b": "a.y"})))
    assert "links: [  # none yet\n  {from: a.x, to: a.y}]\n" in after


def test_a_link_turned_from_pair_to_ends_is_written_anew() -> None:
    document = parse_show(HALL, "f")
    links = list(document.show.links)
    links[6] = Link({"a": "keys.left", "b": "desk.ch9.line", "c": "desk.ch10.line"})
    text = document.with_show(replace(document.show, links=tuple(links))).text()
    assert "  - {ends: {a: keys.left, b: desk.ch9.line, c: desk.ch10.line}}\n" in text


def test_a_link_whose_first_line_goes_is_written_anew() -> None:
    text = HALL.replace(
        "  - from: keys.left\n    to", "  - pins: {2: open}\n    from: keys.left\n    to"
    )
    after = rewritten(text, SetPins("keys.left", {}))
    assert "  - {from: keys.left, to: desk.ch9.line, via: [lead-jack 6 m]}\nsettings:" in after


def test_a_thing_in_stock_keeps_its_spelling_until_its_count_changes() -> None:
    text = HALL.replace("cable-xlr 10 m: 6", "cable-xlr 1000cm: 6")
    assert rewritten(text, SetStock("pad", 1)) == text.replace("active: 1", "active: 1, pad: 1")
    assert rewritten(text, SetStock("cable-xlr 10 m", 7)) == text.replace("cm: 6", "cm: 7")


def test_kept_empty_lines_of_a_note_stay_in_it() -> None:
    text = HALL.replace("note: |\n", "note: |+\n").replace("mind the step\n", "mind the step\n\n\n")
    after = rewritten(text, Relabel("box", "Left"), AddItem(Item("c", "d")))
    assert parse_show(after, "f").show.items["box"].note.endswith("step\n\n\n")


# ---------------------------------------------------------------- any show, any spelling, any edits


@settings(max_examples=300)
@given(random=randoms)
def test_any_edits_are_written_and_read_back(random: Random) -> None:
    """Also: comments between entries survive, and undoing gives the very same text."""
    show = random_show(random)
    scribe = Scribe(random)
    text = scribe.text(show)
    document = parse_show(text, "f")
    new, back = apply(show, edited(random, show, 4))
    later = document.with_show(new)
    assert _is_same(parse_show(later.text(), "f").show, new)
    assert [comment for comment in scribe.lasting if comment not in later.text()] == []
    undone, _ = apply(new, back)
    assert later.with_show(undone).text() == text


@pytest.mark.long
@settings(max_examples=3_000)
@given(random=randoms)
def test_any_edits_are_written_and_read_back_many_times(random: Random) -> None:
    """The same at length, with more edits at once, and onwards from the written text."""
    show = random_show(random)
    scribe = Scribe(random)
    document = parse_show(scribe.text(show), "f")
    for _ in range(3):
        new, _ = apply(show, edited(random, show, 8))
        text = document.with_show(new).text()
        assert [comment for comment in scribe.lasting if comment not in text] == []
        document, show = parse_show(text, "f"), new
        assert _is_same(document.show, new)


@given(random=randoms)
def test_a_changed_value_changes_its_line_only(random: Random) -> None:
    """One setting or label, whatever is around it: the same lines but one, and all comments."""
    show = random_show(random)
    text = Scribe(random).text(show)
    labelled = [item.id for item in show.items.values() if item.label]
    if not show.settings and not labelled:
        return
    if show.settings and (not labelled or random.randrange(2)):
        edit: Edit = Set(choice(random, list(show.settings)), choice(random, VALUES))
    else:
        edit = Relabel(
            choice(random, labelled), choice(random, [label for label in LABELS if label])
        )
    after = rewritten(text, edit)
    before_lines, after_lines = text.splitlines(), after.splitlines()
    assert len(before_lines) == len(after_lines)
    pairs = [(old, new) for old, new in zip(before_lines, after_lines, strict=True) if old != new]
    assert len(pairs) <= 1
    for old, new in pairs:
        assert new.partition(" #c")[2] == old.partition(" #c")[2]
