"""Hiss is worked out once: what the check tells of a loudspeaker is what the seats are told."""

from __future__ import annotations

import math

import pytest

from levelhead.acoustics.heard.heard import heard_by
from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.show.document import parse_show
from levelhead.verdicts.enough.noise import HISS
from tests.verdicts.air.halls import HALL, one, show_text


def quiet_talker(room: str, areas: str | None = None) -> str:
    """A talker 3 m from a microphone whose gain is up: next to no programme over its noise."""
    more = {} if areas is None else {"areas": areas}
    text = show_text(room=room, level_db=0, gain_db=60, talker="voice-talker", **more)
    return text.replace("distance: 5 cm", "distance: 3 m")


def solved(text: str) -> Solution:
    return solve(build_rig(parse_show(text, "quiet.yaml").show, load_book()))


def told_dba(text: str) -> float:
    """Hiss at the nearest listener as the check tells it."""
    found = one(text, HISS)
    assert found is not None
    assert found.why[0].value is not None
    return found.why[0].value


def test_check_and_seats_tell_one_hiss() -> None:
    """In a hall, with its reverberation: the loudest of a hundred seats."""
    text = quiet_talker(HALL.replace("}", ", noise: 25 dB(A)}"))
    assert told_dba(text) == pytest.approx(heard_by(solved(text)).areas[0].hiss_dba, abs=0.05)


def test_hiss_on_the_axis_outdoors_falls_with_the_distance() -> None:
    """Inverse distance from 1 m; the air and a box that ends at 16 kHz take about 1 dB."""
    text = quiet_talker("{where: outdoors, noise: 25 dB(A)}", "{seat: {at: [0, 4.5, 1.85]}}")
    at_1_m = solved(text).levels("box.driver").floor_a
    assert at_1_m is not None
    far_m = math.dist((0, 4.5, 1.85), (0, 0, 2.5))
    assert told_dba(text) == pytest.approx(at_1_m - 20 * math.log10(far_m) - 0.8, abs=0.4)
