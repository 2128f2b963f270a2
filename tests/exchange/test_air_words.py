"""Lines beside the plan: what they say, and on which side of a limit the next step begins."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from levelhead.acoustics.heard.heard import AreaHeard, heard_by
from levelhead.acoustics.rings.rings_of import Ringing, ringing_of
from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.exchange.air_words import area_words, feedback_words
from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.show.document import parse_show
from tests.web.hall import PLACED


@pytest.fixture(scope="module")
def solution() -> Solution:
    return solve(build_rig(parse_show(PLACED, "hall.yaml").show, load_book()))


@pytest.fixture(scope="module")
def stalls(solution: Solution) -> AreaHeard:
    return heard_by(solution).areas[0]


@pytest.fixture(scope="module")
def ringing(solution: Solution) -> Ringing:
    return ringing_of(solution)


def spread(area: AreaHeard, between_db: float) -> AreaHeard:
    """Levels evenly spread, the quietest at the first seat; eight of ten lie within 0.8 of it."""
    levels = np.linspace(80.0, 80.0 + between_db, len(area.seats.a_weighted_db))
    return replace(area, seats=replace(area.seats, a_weighted_db=levels), speech=None)


def understood(area: AreaHeard, sti: float, *, straight_db: float) -> AreaHeard:
    """Voices of one index everywhere, straight sound so far above the reverberant."""
    assert area.speech is not None
    late = area.seats.direct_db - straight_db
    speech = replace(area.speech, sti=np.full_like(area.speech.sti, sti))
    return replace(area, seats=replace(area.seats, late_db=late), speech=speech)


@pytest.mark.parametrize(("between_db", "is_uneven"), [(7.4, False), (7.6, True)])
def test_seats_are_uneven_from_six_decibels_on(
    stalls: AreaHeard, between_db: float, *, is_uneven: bool
) -> None:
    """Three decibels either way for eight seats of ten: common practice."""
    said = area_words(spread(stalls, between_db))
    assert ("quietest seats are 4.0 m into the hall, 4.0 m to the left" in said.next) is is_uneven
    assert f"eight of ten seats lie within {0.8 * between_db:.1f} dB" in said.what


@pytest.mark.parametrize(("sti", "word"), [(0.51, ""), (0.49, "Straight sound is 4 dB below")])
def test_speech_wants_an_index_of_a_half(stalls: AreaHeard, sti: float, word: str) -> None:
    said = area_words(understood(stalls, sti, straight_db=-4.0))
    assert said.next.startswith(word)
    assert bool(said.next) is bool(word)
    assert f"Speech transmission index {sti:.2f}, fair" in said.what


def test_what_is_late_is_told_apart_from_what_is_covered(stalls: AreaHeard) -> None:
    """Straight sound above the reverberant: then it is noise, or an echo."""
    late = area_words(understood(stalls, 0.4, straight_db=3.0))
    assert late.next.startswith("Sound comes late")
    noisy = understood(stalls, 0.4, straight_db=3.0)
    assert noisy.speech is not None
    noise = noisy.speech.level_db - 9.0  # it is the voices that noise covers
    covered = area_words(replace(noisy, speech=replace(noisy.speech, noise_db=noise)))
    assert covered.next.startswith("Voices are 9 dB over the noise")


@pytest.mark.parametrize(
    ("median_db", "sure_db", "what", "has_next"),
    [
        (-2.0, -8.0, "it rings, more likely than not, by 2 dB", True),
        (4.0, -2.0, "may ring as it stands, even chance with 4 dB more", True),
        (11.0, 5.9, "6 dB left until one room in twenty rings", True),
        (12.0, 6.1, "6 dB left until one room in twenty rings", False),
    ],
)
def test_feedback_is_told_by_its_margin(
    ringing: Ringing, median_db: float, sure_db: float, what: str, *, has_next: bool
) -> None:
    """The six decibels of handbooks are what is kept before the first ring."""
    assert ringing.margin is not None
    margin = replace(ringing.margin, median_db=median_db, sure_db=sure_db)
    said = feedback_words(replace(ringing, margin=margin))
    assert said is not None
    assert what in said.what
    assert "into Anna" in said.what
    assert bool(said.next) is has_next


def test_nothing_is_said_of_feedback_where_nothing_can_ring(ringing: Ringing) -> None:
    assert feedback_words(replace(ringing, margin=None)) is None
