"""Who listens to a loudspeaker: from the room and the areas of a show, the usual listener else."""

from __future__ import annotations

import math

import pytest

from levelhead.verdicts.hum.listener import LISTENER, Listener, listening_in
from tests.verdicts.shows import tried_text

RIG = """
items:
  feed: {type: feed-line}
  pow: {type: loudspeaker-powered-12, at: [0, 0, 2.2]}
links: [{from: feed.out, to: pow.in, via: [cable-xlr 5 m]}]
"""
HALL = "areas: {hall: {corners: [[-4, 3], [4, 3], [4, 12], [-4, 12]]}}\n"


def listener(more: str) -> Listener:
    """The nearest listener to the loudspeaker of the rig."""
    return listening_in(tried_text(RIG + more).reading)("pow.driver")


def test_without_a_word_it_is_the_usual_one() -> None:
    assert listener("") == LISTENER


def test_the_noise_of_the_room_is_the_background() -> None:
    assert listener("room: {noise: 28 dB(A)}").background_a.value == 28.0


def test_the_nearest_ears_of_an_area_count() -> None:
    """3 m to its front edge, and 1 m down to the ears."""
    assert listener(HALL).distance.value == pytest.approx(math.hypot(3.0, 1.0))


def test_somebody_under_the_loudspeaker_is_as_near_as_it_is_high() -> None:
    around = "areas: {floor: {corners: [[-4, -4], [4, -4], [4, 4], [-4, 4]]}}\n"
    assert listener(around).distance.value == pytest.approx(1.0)


@pytest.mark.parametrize(("where", "heard_m"), [("indoors", 4.0), ("outdoors", 20.0)])
def test_far_away_the_room_keeps_it_up(where: str, heard_m: float) -> None:
    """Beyond the critical distance of halls next to nothing falls; outdoors it goes on falling."""
    far = f"room: {{where: {where}}}\nareas: {{back: {{at: [0, 20, 2.2]}}}}\n"
    assert listener(far).distance.value == pytest.approx(heard_m)
