"""Places of findings in the crew's words."""

from __future__ import annotations

import pytest

from levelhead.exchange.paperwork.input_rows import Rows
from levelhead.exchange.rows.places import row_place
from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.show.document import parse_show

SHOW = """\
levelhead: 1
show: {name: Two}
items:
  vox: {type: mic-vocal-dynamic, label: Anna}
  keys: {type: keyboard-stereo, label: Keys}
  desk: {type: mixer-compact, label: Desk}
  pa: {type: loudspeaker-powered-12, label: Left}
sources: {anna: {type: voice-singer, label: Anna, at: vox}}
links:
  - {from: vox.out, to: desk.ch2.mic, via: [cable-xlr 5 m]}
  - {from: keys.out-left, to: desk.st1.in-left, via: [cable-jack 5 m]}
  - {from: keys.out-right, to: desk.st1.in-right, via: [cable-jack 5 m]}
  - {from: desk.main-left.out, to: pa.in, via: [cable-xlr 5 m]}
"""
TWO_DESKS = SHOW.replace("  pa:", "  side: {type: mixer-compact, label: Side desk}\n  pa:")


@pytest.mark.parametrize(
    ("address", "words"),
    [
        ("desk.ch2.mic", "Anna (channel 2)"),
        ("desk.ch2.gain", "Anna (channel 2)"),
        ("vox.out", "Anna (channel 2)"),
        ("desk.ch3.mic", "Desk, ch3, mic input"),
        ("pa.in", "Left, input"),
        ("desk", "Desk"),
        ("nobody.out", "nobody.out"),
    ],
)
def test_a_place_is_told_by_who_is_there(address: str, words: str) -> None:
    rig = build_rig(parse_show(SHOW, "two.yaml").show, load_book())
    assert row_place(rig, Rows(rig).all(), address) == words


def test_of_two_desks_the_desk_is_named() -> None:
    """A channel number alone would mean two strips."""
    rig = build_rig(parse_show(TWO_DESKS, "two.yaml").show, load_book())
    assert row_place(rig, Rows(rig).all(), "desk.ch2.mic") == "Anna (Desk, channel 2)"


def test_of_several_sends_the_number_is_told() -> None:
    """On a panel with sixteen of them "bus send" alone is none."""
    show = SHOW.replace("mixer-compact", "mixer-digital-32").replace(
        "desk.st1.in-left", "desk.ch5.mic"
    )
    show = show.replace(
        "  - {from: keys.out-right, to: desk.st1.in-right, via: [cable-jack 5 m]}\n", ""
    )
    rig = build_rig(parse_show(show, "one.yaml").show, load_book())
    assert row_place(rig, Rows(rig).all(), "desk.ch9.send4") == "Desk, ch9, bus send 4"
    assert row_place(rig, Rows(rig).all(), "desk.ch9.gain") == "Desk, ch9, gain"
