"""Mean loop gain, its peaks and its margins."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from levelhead.acoustics.loop.feedback import (
    Loop,
    excess_db,
    feedback_margin,
    mean_loop_gain,
    peaks_in_bands,
)
from levelhead.acoustics.sound.near import NEAR_TERMS, together
from levelhead.errors import QuantityError
from levelhead.quantity.bands import BANDS
from tests.acoustics.rings import random_lawn


def a_loop(
    microphones: int = 1,
    loudspeakers: int = 1,
    *,
    late: float = 1e-2,
    direct: float = 0.0,
    **more: Any,
) -> Loop:
    """All microphones in one mix, which feeds all loudspeakers."""
    shape = (microphones, loudspeakers, BANDS)
    values: dict[str, Any] = {
        "direct": np.full(shape, direct),
        "late": np.full(shape, late),
        "electric": np.ones((loudspeakers, microphones, BANDS)),
        "reverberation_s": np.full(BANDS, 1.5),
        "flight_s": np.full((microphones, loudspeakers), 0.02),
    }
    return Loop(**(values | more))


@pytest.mark.parametrize("count", [1, 2, 4, 20])
def test_open_microphones_fall_out_of_the_eigenvalue(count: int) -> None:
    """10 lg N, for no reason but the sum."""
    mean = mean_loop_gain(a_loop(count))[0]
    assert 10 * np.log10(mean / 1e-2) == pytest.approx(np.full(BANDS, 10 * np.log10(count)))


def test_separate_loops_do_not_add() -> None:
    """Two singers with a wedge each that hear only their own: the mean loop gain is one's."""
    alone = np.eye(2)[:, :, None] * np.ones(BANDS)
    loop = a_loop(2, 2, late=0.0)
    apart = a_loop(2, 2, late=0.0, direct=0.0, electric=alone)
    object.__setattr__(apart, "late", 1e-2 * alone)
    assert mean_loop_gain(apart)[0] == pytest.approx(np.full(BANDS, 1e-2))
    assert feedback_margin(apart).median_db < feedback_margin(a_loop()).median_db
    assert np.all(mean_loop_gain(loop)[0] == 0)


def test_margin_is_counted_once() -> None:
    """Mean loop gain -20 dB: 20 dB to one, 14 dB to where handbooks stop."""
    margin = feedback_margin(a_loop())
    assert margin.mean_margin_db == pytest.approx(20.0, abs=1e-6)
    assert margin.stable_margin_db == pytest.approx(14.0, abs=1e-6)


def test_it_rings_before_the_mean_reaches_one() -> None:
    """By some 8 to 11 dB in a reverberant room, nineteen of twenty earlier still."""
    margin = feedback_margin(a_loop())
    assert 6.0 < margin.mean_margin_db - margin.median_db < 12.0
    assert 0.3 < margin.median_db - margin.sure_db < 3.0


def test_direct_sound_has_lower_peaks() -> None:
    """Mostly direct: the ring point comes near the mean."""
    dry = feedback_margin(a_loop(direct=1e-2, late=1e-4))
    wet = feedback_margin(a_loop(direct=0.0, late=1.01e-2))
    assert dry.mean_margin_db == pytest.approx(wet.mean_margin_db, abs=0.01)
    assert dry.mean_margin_db - dry.median_db < 3.0 < wet.mean_margin_db - wet.median_db


def test_gain_moves_everything_alike() -> None:
    """10 dB more gain, 10 dB less margin."""
    soft = feedback_margin(a_loop(2, 2))
    loud = feedback_margin(a_loop(2, 2, electric=np.full((2, 2, BANDS), 10**0.5)))
    assert soft.median_db - loud.median_db == pytest.approx(10.0, abs=1e-3)
    assert soft.sure_db - loud.sure_db == pytest.approx(10.0, abs=1e-3)


def test_what_is_not_known_takes_from_the_sure_margin() -> None:
    """3 dB of spread are 4.9 dB for nineteen of twenty, added as squares."""
    known, doubtful = feedback_margin(a_loop()), feedback_margin(a_loop(spread_db=3.0))
    assert doubtful.median_db == known.median_db
    below = [each.median_db - each.sure_db for each in (known, doubtful)]
    assert below[1] == pytest.approx(np.hypot(below[0], 1.645 * 3.0))


def test_the_loudest_way_is_named() -> None:
    """A microphone before the loudspeaker, one behind: who rings, and in which band."""
    late = np.full((2, 1, BANDS), 1e-4)
    late[0, 0, 20] = 1e-2
    loop = a_loop(2, 1)
    object.__setattr__(loop, "late", late)
    margin = feedback_margin(loop)
    assert margin.band == 20
    assert margin.microphones[:, 20] == pytest.approx([0.990, 0.0099], abs=0.001)
    assert margin.microphones.sum(0) == pytest.approx(np.ones(BANDS))
    assert margin.loudspeakers.sum(0) == pytest.approx(np.ones(BANDS))


def test_silence_never_rings() -> None:
    """All faders down."""
    margin = feedback_margin(a_loop(electric=np.zeros((1, 1, BANDS))))
    assert margin.mean_margin_db > 200
    assert margin.median_db > 200


def test_polarity_on_a_bus_counts_before_the_air() -> None:
    """Two copies of opposite sign of one microphone on one loudspeaker: nothing is left."""
    left = np.full((1, 1, BANDS), 1.0 + 0j) - np.full((1, 1, BANDS), 1.0 + 0j)
    assert np.all(mean_loop_gain(a_loop(electric=left))[0] == 0)


def test_shapes_must_belong_together() -> None:
    with pytest.raises(QuantityError, match="feedback loop"):
        a_loop(2, 1, electric=np.ones((2, 2, BANDS)))


def test_more_peaks_higher_peaks() -> None:
    """Longer reverberation, more steady sound."""
    assert np.all(np.diff(peaks_in_bands(2.0)[3:]) > 0)
    assert np.all(np.diff(excess_db(np.array([1.0, 10.0, 100.0, 1000.0]))) > 0)
    assert np.all(np.diff(excess_db(100.0, np.array([0.0, 1.0, 10.0, 100.0]))) < 0)


def test_near_terms_add_with_their_spreads() -> None:
    gain_db, spread_db = together([NEAR_TERMS["body"], NEAR_TERMS["floor"], NEAR_TERMS["head"]])
    assert (gain_db, spread_db) == (2.0, 4.1)
    assert all(each.source == "from memory" for each in NEAR_TERMS.values())


def test_one_way_outdoors_rings_at_a_gain_of_one() -> None:
    """A loop with one way rings where its gain is one: nothing adds to it (textbook)."""
    margin = feedback_margin(a_loop(direct=1e-2, late=0.0))
    assert margin.median_db == pytest.approx(20.0, abs=1e-6)
    assert margin.sure_db == pytest.approx(20.0, abs=1e-6)


def test_outdoors_no_more_adds_up_than_all_in_phase() -> None:
    """Two microphones alike before one loudspeaker: 20 lg 2 more than one of them."""
    margin = feedback_margin(a_loop(2, direct=1e-2, late=0.0))
    assert margin.median_db == pytest.approx(20.0 - 20 * np.log10(2), abs=0.2)


def test_ring_points_outdoors() -> None:
    """A hundred lawns by the eigenvalues of their ways: even chances are even within half a dB."""
    rng = np.random.default_rng(5)
    lawns = [random_lawn(rng) for _ in range(100)]
    told = [feedback_margin(each.loop()) for each in lawns]
    rings_db = np.array([each.rings().margin_db for each in lawns])
    assert np.mean(rings_db >= [each.sure_db - 0.05 for each in told]) >= 0.95
    off_db = rings_db - [each.median_db for each in told]
    assert np.median(off_db) == pytest.approx(0.0, abs=0.5)
    assert np.percentile(off_db, [5, 95]) == pytest.approx([0.0, 2.5], abs=0.7)


def test_the_spread_is_that_of_what_rings_first() -> None:
    """A doubtful way of a hundredth of the loop does not make the other one doubtful."""
    direct = np.array([[[1e-2]], [[1e-4]]]) * np.ones(BANDS)
    same, other, first = (
        feedback_margin(replace(a_loop(2, late=0.0), direct=direct, spread_db=np.array(spread_db)))
        for spread_db in ([[2.0], [2.0]], [[2.0], [5.0]], [[5.0], [2.0]])
    )
    assert other.sure_db == pytest.approx(same.sure_db, abs=0.1)
    assert first.sure_db == pytest.approx(first.median_db - 1.645 * 5.0, abs=0.1)
