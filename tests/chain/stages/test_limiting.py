"""Limiters: against a limiter that runs on samples, and what holds for all of them."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from levelhead.chain.stages.limiting import Limiter, limited, moved_db
from levelhead.chain.stages.short_term import short_term
from levelhead.quantity.peaks import SINE_CREST_DB

RATE_HZ = 8000
overs = st.floats(min_value=-30, max_value=30)
crests = st.floats(min_value=3.02, max_value=20)
ratios = st.one_of(st.floats(min_value=1.5, max_value=20), st.just(math.inf))


def amplitude(level_db: float) -> float:
    return float(10 ** (level_db / 20))


@given(over_db=overs, crest_db=crests, ratio=ratios)
def test_peaks_follow_the_static_curve(over_db: float, crest_db: float, ratio: float) -> None:
    """Behind a limiter of peaks none stands above its threshold."""
    found = limited(Limiter(1.0, ratio), nominal=amplitude(over_db), crest_db=crest_db)
    peak_db = over_db + crest_db - SINE_CREST_DB
    after_db = over_db + found.gain_db + found.crest_db - SINE_CREST_DB
    expected_db = peak_db if peak_db <= 0 else peak_db / ratio
    assert after_db == pytest.approx(expected_db, abs=0.01)


@given(over_db=overs, crest_db=crests, ratio=ratios, detector=st.sampled_from(["peak", "rms"]))
def test_a_limiter_only_turns_down(
    over_db: float, crest_db: float, ratio: float, detector: str
) -> None:
    limiter = Limiter(1.0, ratio, detector)  # type: ignore[arg-type]
    found = limited(limiter, nominal=amplitude(over_db), crest_db=crest_db)
    assert found.gain_db <= 0
    assert found.peak_gain_db <= 0
    assert found.crest_db > 3.0


@given(over_db=overs, crest_db=crests, ratio=ratios)
def test_louder_in_is_never_softer_out(over_db: float, crest_db: float, ratio: float) -> None:
    limiter = Limiter(1.0, ratio)
    one, other = (
        over + limited(limiter, nominal=amplitude(over), crest_db=crest_db).gain_db
        for over in (over_db, over_db + 1.0)
    )
    assert other >= one - 0.01


@given(over_db=overs, crest_db=crests)
def test_a_ratio_of_one_does_nothing(over_db: float, crest_db: float) -> None:
    found = limited(Limiter(1.0, 1.0), nominal=amplitude(over_db), crest_db=crest_db)
    assert found.gain_db == pytest.approx(0.0, abs=1e-9)
    assert found.crest_db == pytest.approx(crest_db, abs=0.01)


def test_silence_and_soft_passages_pass() -> None:
    assert limited(Limiter(1.0), nominal=0.0, crest_db=12.0).gain_db == 0.0
    assert limited(Limiter(1.0), nominal=amplitude(-10.0), crest_db=12.0).gain_db == 0.0


def test_what_moves_before_a_limiter_moves_less_behind_it() -> None:
    found = moved_db(Limiter(1.0), [-3.0, 0.0, 3.0], nominal=amplitude(6.0), crest_db=12.0)
    assert found[1] == 0
    assert -2.0 < found[0] < 0 < found[2] < 1.0


# ---------------------------------------------------------------- short-term levels


@given(crest_db=st.floats(min_value=10.4, max_value=20))
def test_the_spread_of_the_level_makes_the_crest(crest_db: float) -> None:
    """Drawn anew with other numbers: 0.1 % of the samples exceed the crest."""
    terms = short_term(crest_db)
    rng = np.random.default_rng(5)
    level_db = rng.choice(terms.level_db, size=200_000, p=terms.share)
    samples = 10 ** (level_db / 20) * rng.standard_normal(level_db.size)
    rms = math.sqrt(float(np.mean(samples**2)))
    assert rms == pytest.approx(1.0, rel=0.1)
    exceeded_db = 20 * math.log10(float(np.quantile(np.abs(samples), 0.999)))
    assert exceeded_db == pytest.approx(crest_db, abs=0.8)


# ---------------------------------------------------------------- a limiter on samples


def programme(spread_db: float, seconds: float) -> NDArray[np.float64]:
    """Noise whose level wanders every 50 ms or so, rms 1."""
    rng = np.random.default_rng(3)
    count = int(seconds * RATE_HZ)
    slow = np.interp(
        np.arange(count), np.arange(0, count + 400, 400), rng.standard_normal(count // 400 + 1)
    )
    slow /= slow.std()
    found = 10 ** (spread_db * slow / 20) * rng.standard_normal(count)
    return np.asarray(found / math.sqrt(float(np.mean(found**2))))


def run(samples: NDArray[np.float64], threshold: float) -> NDArray[np.float64]:
    """A limiter of peaks: attack at once, release of 50 ms, infinite ratio."""
    release = math.exp(-1 / (0.05 * RATE_HZ))
    held, out = 0.0, np.empty_like(samples)
    for place, sample in enumerate(samples):
        held = max(abs(sample), held * release)
        out[place] = sample * min(1.0, threshold * math.sqrt(2) / held)
    return out


def crest_of(samples: NDArray[np.float64]) -> float:
    """Level exceeded 0.1 % of the time, over the rms. [dB]"""
    peak = float(np.quantile(np.abs(samples), 0.999))
    return 20 * math.log10(peak / math.sqrt(float(np.mean(samples**2))))


@pytest.mark.parametrize("spread_db", [2.0, 4.0])
@pytest.mark.parametrize("peak_over_db", [4.0, 8.0])
def test_a_limiter_on_samples_agrees(spread_db: float, peak_over_db: float) -> None:
    """Within 1.5 dB: a real release lasts a little beyond the short term."""
    samples = programme(spread_db, seconds=6)
    crest_db = crest_of(samples)
    threshold = amplitude(crest_db - SINE_CREST_DB - peak_over_db)
    out = run(samples, threshold)
    change_db = 10 * math.log10(float(np.mean(out**2)))
    found = limited(Limiter(threshold), nominal=1.0, crest_db=crest_db)
    assert found.gain_db == pytest.approx(change_db, abs=1.5)
    assert found.crest_db == pytest.approx(crest_of(out), abs=1.5)
