"""How deep loudspeakers play: by the figures of their type."""

from __future__ import annotations

import numpy as np
import pytest

from levelhead.acoustics.placed.boxes import Box, boxes_of
from levelhead.chain.solve import solve
from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.show.document import parse_show

SHOW = """levelhead: 1
show: {name: Fete}
items:
  desk: {type: mixer-compact}
  amp: {type: amplifier-line-100v}
  horn: {type: loudspeaker-horn-100v, at: [0, 0, 3], aim: [0, 9, 1]}
  ceiling: {type: loudspeaker-ceiling-100v, at: [3, 0, 3], aim: [3, 0, 0]}
  power: {type: amplifier-two-channel}
  eight: {type: loudspeaker-passive-8, at: [6, 0, 2], aim: [6, 9, 1]}
  active: {type: loudspeaker-powered-12, at: [9, 0, 2], aim: [9, 9, 1]}
links:
  - {from: desk.main-left.out, to: amp.in, via: [lead-xlr-jack-balanced 2 m]}
  - {from: amp.out-100v, to: horn.in, via: [cable-loudspeaker-bare 40 m]}
  - {from: horn.link, to: ceiling.in, via: [cable-loudspeaker-bare 40 m]}
  - {from: power.ch1.out, to: eight.in, via: [cable-loudspeaker-4 10 m]}
  - {from: desk.main-right.out, to: active.in, via: [cable-xlr 10 m]}
"""


@pytest.fixture(scope="module")
def boxes() -> dict[str, Box]:
    found, _ = boxes_of(solve(build_rig(parse_show(SHOW, "fete.yaml").show, load_book())))
    return {each.item.id: each for each in found}


def down_db(box: Box, band: int) -> float:
    return -10 * float(np.log10(box.response[band]))


def test_a_horn_plays_speech_and_no_bass(boxes: dict[str, Box]) -> None:
    """Small 1972, below the resonance of 350 Hz 12 dB an octave: 17.8 dB down at 125 Hz."""
    assert down_db(boxes["horn"], 8) == pytest.approx(17.8, abs=0.1)
    assert down_db(boxes["horn"], 5) - down_db(boxes["horn"], 2) == pytest.approx(-12, abs=0.2)
    assert down_db(boxes["horn"], 17) < 0.2


def test_a_closed_ceiling_loudspeaker_is_3_db_down_at_its_resonance(boxes: dict[str, Box]) -> None:
    """Small 1972, closed box, maximally flat: 140 Hz, between the bands of 125 and 160 Hz."""
    assert down_db(boxes["ceiling"], 9) < 3.0 < down_db(boxes["ceiling"], 8)


def test_a_vented_box_falls_by_24_db_an_octave_below_its_tuning(boxes: dict[str, Box]) -> None:
    """Small 1973, vented box of the fourth order, maximally flat: 75 Hz, 8 inch."""
    eight = boxes["eight"]
    assert down_db(eight, 6) < 3.0 < down_db(eight, 5)  # 80 Hz, and 63 Hz
    assert down_db(eight, 1) - down_db(eight, 4) == pytest.approx(24, abs=0.5)


def test_a_box_that_tells_nothing_falls_below_60_hz(boxes: dict[str, Box]) -> None:
    """Typical of a 12 inch box with its amplifier."""
    assert 1.0 < down_db(boxes["active"], 5) < 3.0 < down_db(boxes["active"], 4)
