"""Published values of the speech transmission index."""

from __future__ import annotations

import numpy as np
import pytest

from levelhead.acoustics.listening.speech import (
    ALPHA,
    BETA,
    MODULATION_HZ,
    THRESHOLD_DB_SPL,
    Arrivals,
    articulation_loss_percent,
    common_scale,
    modulation,
    peutz_loss_percent,
    rating,
    sti,
)


def reverberation(time_s: float) -> Arrivals:
    """One arrival whose direct sound is drowned in its reverberation."""
    return Arrivals(
        direct=np.zeros((1, 7)),
        late=np.ones((1, 7)),
        time_s=np.zeros(1),
        reverberation_s=np.full(7, time_s),
    )


@pytest.mark.reference("IEC 60268-16 ed. 5, Table A.1: weights of octaves (CV-82)")
def test_weights() -> None:
    """They are printed so that they add up to one exactly."""
    assert pytest.approx([0.085, 0.127, 0.230, 0.233, 0.309, 0.224, 0.173]) == ALPHA
    assert float(ALPHA.sum() - BETA.sum()) == pytest.approx(1.000, abs=1e-9)


@pytest.mark.reference("IEC 60268-16 ed. 5, A.2 and Table A.3: modulations, threshold (CV-83)")
def test_modulations_and_threshold() -> None:
    """Third octaves from 0.63 to 12.5 Hz."""
    assert pytest.approx(1000 * 10 ** (np.arange(-32, -18) / 10), rel=0.02) == MODULATION_HZ
    assert list(THRESHOLD_DB_SPL) == [46.0, 27.0, 12.0, 6.5, 7.5, 8.0, 12.0]


@pytest.mark.reference("IEC 60268-16: transfer index (SNR + 15) / 30 (CV-84)")
@pytest.mark.parametrize(
    ("snr_db", "printed"),
    [(-15, 0), (-5, 0.3333), (0, 0.5), (6, 0.7), (10, 0.8333), (15, 1.0), (-40, 0), (60, 1)],
)
def test_noise_alone(snr_db: float, printed: float) -> None:
    """The same in all octaves, no masking, no reverberation."""
    ours = float(sti(np.ones((7, 14)), snr_db=np.full(7, snr_db)))
    assert ours == pytest.approx(printed, abs=5e-5)


@pytest.mark.reference("Houtgast and Steeneken: m = 1 / sqrt(1 + (2 pi F T / 13.8)^2) (CV-85)")
@pytest.mark.parametrize(
    ("time_s", "computed"),
    [
        (0.3, 0.827),
        (0.5, 0.736),
        (0.8, 0.639),
        (1, 0.588),
        (1.5, 0.498),
        (2, 0.437),
        (3, 0.357),
        (5, 0.263),
    ],
)
def test_reverberation_alone(time_s: float, computed: float) -> None:
    """Evaluated elsewhere; 13.8 for 13.8155."""
    assert float(sti(modulation(reverberation(time_s)))) == pytest.approx(computed, abs=0.0015)


@pytest.mark.reference("Houtgast and Steeneken, with noise: Handbook for Sound Engineers (CV-85)")
@pytest.mark.parametrize(
    ("time_s", "snr_db", "computed"),
    [(1, 15, 0.565), (1, 10, 0.530), (1, 0, 0.358), (2, 10, 0.407)],
)
def test_reverberation_and_noise(time_s: float, snr_db: float, computed: float) -> None:
    """Both take their part of each modulation."""
    ours = float(sti(modulation(reverberation(time_s)), snr_db=np.full(7, snr_db)))
    assert ours == pytest.approx(computed, abs=0.0015)


@pytest.mark.reference(
    "Houtgast and Steeneken: single modulations, F 2 Hz, T 2 s, SNR 10 dB (CV-85)"
)
def test_one_modulation() -> None:
    """0.4376 with the noise, 0.9101 for F 1 Hz and 1 s without."""
    with_noise = modulation(reverberation(2.0))[0, 5] / (1 + 10**-1.0)
    assert float(with_noise) == pytest.approx(0.4376, abs=0.0006)
    assert float(modulation(reverberation(1.0))[0, 2]) == pytest.approx(0.9101, abs=0.0006)


@pytest.mark.reference("Fourier: two equal arrivals flatten F by |cos(pi F t)|")
def test_an_echo_erases_a_modulation() -> None:
    """100 ms apart: nothing is left of 5 Hz, everything of 10 Hz."""
    echo = Arrivals(
        direct=np.ones((2, 7)),
        late=np.zeros((2, 7)),
        time_s=np.array([0.0, 0.1]),
        reverberation_s=np.ones(7),
    )
    left = modulation(echo)[0]
    assert left == pytest.approx(np.abs(np.cos(np.pi * MODULATION_HZ * 0.1)), abs=1e-9)


@pytest.mark.reference("IEC 60268-16, auditory masking and reception threshold: level matters")
def test_loud_and_soft_speech_is_understood_less() -> None:
    """The index is best around 70 to 80 dB(A), falls when it is very loud, and when it is lost."""
    shape = np.array([-2.5, 0.5, 0.0, -6.0, -12.0, -18.0, -24.0])
    whole = np.ones((7, 14))
    index = [float(sti(whole, signal_db_spl=level + shape)) for level in (25, 70, 110)]
    assert index[1] > 0.95
    assert index[0] < 0.8
    assert index[2] < index[1] - 0.05


@pytest.mark.reference("IEC 60268-16: limits 0.30 0.45 0.60 0.75; CIS and %ALcons of 0.5 (CV-86)")
def test_ratings_and_relatives() -> None:
    """Words, common intelligibility scale, and lost consonants."""
    words = [rating(each) for each in (0.29, 0.31, 0.46, 0.61, 0.76)]
    assert words == ["bad", "poor", "fair", "good", "excellent"]
    assert float(common_scale(0.5)) == pytest.approx(0.699, abs=0.0005)
    losses = articulation_loss_percent([0.45, 0.5, 0.6])
    assert losses == pytest.approx([14.9, 11.35, 6.6], abs=0.05)


@pytest.mark.reference("Peutz 1971: 200 D^2 T^2 / (V Q) (CV-87)")
def test_articulation_loss() -> None:
    """10 m, 2 s, 3000 m3, Q 5."""
    loss = peutz_loss_percent(distance_m=10, reverberation_s=2, volume_m3=3000, q=5)
    assert loss == pytest.approx(5.33, abs=0.01)
