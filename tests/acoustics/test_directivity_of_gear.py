"""Directivity of gear types: a table that somebody measured, a column by its length."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from levelhead.acoustics.heard.heard import heard_by
from levelhead.acoustics.placed.boxes import Box, boxes_of
from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.errors import GearError
from levelhead.gear.book import load_book
from levelhead.quantity.bands import BANDS
from levelhead.rig.build import build_rig
from levelhead.show.document import parse_show
from tests.verdicts.air.halls import show_text

HORN = """
our-horn:
  like: loudspeaker-powered-12
  label: Our horn
  source: measured
  directivity: |
    levelhead directivity 1
    across  125  1000  8000
    0         0     0     0
    45        0    -6   -12
    180      -3   -20   -30
"""
COLUMN = """
our-column:
  like: loudspeaker-powered-12
  label: Our column
  source: measured
  coverage: [110, 20]
  line: 1.2 m
"""


def solved(gear: str, tmp_path: Path, **how: str) -> Solution:
    """A talk outdoors with a loudspeaker of one's own, at the height of the ears."""
    (tmp_path / "own.yaml").write_text(gear, encoding="utf-8")
    name = gear.strip().partition(":")[0]
    text = show_text(room="{where: outdoors}", **how).replace("loudspeaker-powered-12", name)  # type: ignore[arg-type]
    book = load_book(tmp_path)
    return solve(build_rig(parse_show(text, "talk.yaml").show, book))


def box_of(solution: Solution) -> Box:
    (box,) = boxes_of(solution)[0]
    return box


def towards(*, across_deg: float = 0.0, up_deg: float = 0.0) -> np.ndarray:
    """Level against the axis, (31,). [dB]"""
    side, rise = np.radians(across_deg), np.radians(up_deg)
    return np.array([np.cos(side) * np.cos(rise), np.sin(side) * np.cos(rise), np.sin(rise)])


def test_a_typed_table_is_what_seats_hear(tmp_path: Path) -> None:
    """45 degrees beside the axis 1 kHz is 6 dB down as printed, and so it is at a seat."""
    solution = solved(
        HORN,
        tmp_path,
        areas="{ahead: {at: [0, 10, 40]}, beside: {at: [7.0711, 7.0711, 40]}}",
        box="at: [0, 0, 40], aim: [0, 10, 40]",  # far from the floor
    )
    gain_db = 10 * np.log10(box_of(solution).coverage.gain(towards(across_deg=45)))
    assert gain_db[17] == pytest.approx(-6.0, abs=0.01)
    ahead, beside = heard_by(solution).areas
    lost = ahead.seats.direct_db[0] - beside.seats.direct_db[0]
    assert lost[17] == pytest.approx(6.0, abs=0.2)
    assert lost[26] == pytest.approx(12.0, abs=0.2)


@pytest.mark.reference("Uniform line: 6 dB down at sin(x) / x = 1/2, textbook; Olson 1957")
def test_a_column_opens_by_its_length(tmp_path: Path) -> None:
    """At 1 kHz a line of 1.2 m is 6 dB down at asin(0.603 wave / length)."""
    solution = solved(COLUMN, tmp_path, box="at: [0, 0, 2], aim: [0, 10, 2]")
    box = box_of(solution)
    edge_deg = float(np.degrees(np.arcsin(0.603 * 343.2 / 1000 / 1.2)))
    up_db = 10 * np.log10(box.coverage.gain(towards(up_deg=edge_deg)))
    assert up_db[17] == pytest.approx(-6.0, abs=0.3)
    narrow = 10 * np.log10(box.coverage.gain(towards(up_deg=10)))  # half of its 20 degrees
    assert narrow[BANDS - 2] == pytest.approx(-6.0, abs=0.3)
    assert up_db[5] > -1.0


def test_a_table_that_cannot_be_read_is_told_with_its_type(tmp_path: Path) -> None:
    wrong = HORN.replace("levelhead directivity 1", "something else")
    with pytest.raises(GearError, match=r"our-horn\.directivity"):
        boxes_of(solved(wrong, tmp_path))
