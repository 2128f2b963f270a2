"""Names in place of ids, on screens and in lines of changes."""

from __future__ import annotations

import pytest

from levelhead.exchange.paperwork.named import Named
from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.show.document import parse_show
from levelhead.web.live.view import shown_of

SHOW = """\
levelhead: 1
show: {name: Hall}
items:
  vox: {type: mic-vocal-dynamic, label: Anna's microphone}
  piano: {type: stage-piano, label: Piano, supply: left}
  desk: {type: mixer-compact, label: Desk}
supplies: {left: {outlet: A, label: Stage left}}
sources: {anna: {type: voice-talker, at: vox, label: Anna}}
links:
  - {from: vox.out, to: desk.ch1.mic, via: [cable-xlr 10 m]}
  - {from: piano.out-left, to: desk.ch2.mic, via: [cable-xlr 5 m]}
settings:
  desk: {ch1: {gain: 30 dB}}
stock: {cable-xlr 10 m: 3, di-active: 1}
"""


@pytest.fixture(scope="module")
def named() -> Named:
    show = parse_show(SHOW, "hall").show
    return Named(show, build_rig(show, load_book()))


@pytest.mark.parametrize(
    ("told", "wanted"),
    [
        ("Set Desk (desk.ch2.gain) to 31 dB", "Set Desk, ch2, gain to 31 dB"),
        (
            "Plug Anna's microphone (vox.out) into Desk (desk.ch3.mic) with cable-xlr 10 m",
            "Plug Anna's microphone, output into Desk, ch3, mic with XLR cable, 10 m",
        ),
        ("Call Piano (piano) Upright", "Call Piano Upright"),
        ("Set lamp.dim to 3.5 m", "Set lamp.dim to 3.5 m"),
    ],
)
def test_a_sentence_is_told_with_names(named: Named, told: str, wanted: str) -> None:
    """Addresses of the show give way to words; what is none of it stays."""
    assert named.sentence(told) == wanted


def test_without_a_rig_names_are_those_of_the_file(named: Named) -> None:
    """A file with errors has labels all the same."""
    bare = Named(named.show)
    assert bare.place("desk.ch1.mic") == "Desk, ch1, mic"
    assert bare.thing("cable-xlr 10 m") == "cable-xlr 10 m"


def test_tables_say_what_people_say(named: Named) -> None:
    """Every row has a name, every id a word beside it; the file's text stays to be typed over."""
    tables = shown_of(named.show, named.rig).tables
    link = tables["links"]["vox.out"]
    assert (link["ends"], link["ends_label"]) == (
        "vox.out > desk.ch1.mic",
        "Anna's microphone to Desk, ch1, mic",
    )
    assert (link["via"], link["via_label"]) == ("cable-xlr 10 m", "XLR cable, 10 m")
    assert tables["items"]["piano"]["supply_label"] == "Stage left"
    assert tables["sources"]["anna"]["at_label"] == "Anna's microphone"
    assert tables["settings"]["desk.ch1.gain"]["called"] == "Desk, ch1, gain"
    assert [row["called"] for row in tables["stock"].values()] == [
        "XLR cable, 10 m",
        load_book().entry("di-active").label,
    ]


def test_words_follow_a_new_name_and_stay_where_nothing_changed(named: Named) -> None:
    """A row that an edit leaves alone is the very one of before; a new label is in all of them."""
    first = shown_of(named.show, named.rig)
    turned = parse_show(SHOW.replace("30 dB", "33 dB"), "hall").show
    after = shown_of(turned, build_rig(turned, load_book()), first)
    assert after.tables["settings"]["desk.ch1.gain"]["value"] == "33 dB"
    relabelled = parse_show(SHOW.replace("Anna's", "Ines's"), "hall").show
    words = shown_of(relabelled, build_rig(relabelled, load_book()), first).tables["links"]
    assert words["vox.out"]["ends_label"] == "Ines's microphone to Desk, ch1, mic"
