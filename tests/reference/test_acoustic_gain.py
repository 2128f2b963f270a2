"""Published worked examples of gain before feedback."""

from __future__ import annotations

import numpy as np
import pytest

from levelhead.acoustics.loop.acoustic_gain import AcousticGain, Distances, acoustic_gain
from levelhead.acoustics.loop.feedback import (
    STABLE_MARGIN_DB,
    excess_db,
    feedback_margin,
    peaks_in_bands,
)
from levelhead.quantity.bands import BANDS, width_hz
from tests.acoustics.loop.test_feedback import a_loop


def outdoors(
    *, ds: float = 1.0, margin_db: float = 6.0, ead_m: float = 3.0, nom: int = 1
) -> AcousticGain:
    """Talker 1 m from the microphone, loudspeaker 4 m from it, listener at 7 and 6 m."""
    return acoustic_gain(
        Distances(ds=ds, d0=7, d1=4, d2=6),
        margin_db=margin_db,
        as_near_as_m=ead_m,
        open_microphones=nom,
    )


@pytest.mark.reference("Eargle, Sound System Design Reference Manual, ch. 4; Boner 1969 (CV-72)")
def test_most_gain_outdoors() -> None:
    """Printed as 13.5 from rounded terms."""
    assert outdoors(margin_db=0.0).potential_db == pytest.approx(13.38, abs=0.01)


@pytest.mark.reference("the same manual; Davis and Patronis, NAG and PAG (CV-73)")
def test_needed_and_potential_gain() -> None:
    """Printed as 7.5 and 7.5; half the distance to the microphone gives 6 dB."""
    ours = [
        outdoors().potential_db,
        outdoors().needed_db,
        outdoors(ead_m=1.5).needed_db,
        outdoors(ds=0.5).potential_db,
    ]
    assert ours == pytest.approx([7.38, 7.36, 13.38, 13.40], abs=0.01)


@pytest.mark.reference("Davis and Patronis: 10 lg NOM, 6 dB below the limit (CV-74)")
@pytest.mark.parametrize(("count", "printed_db"), [(2, 3.01), (4, 6.02), (20, 13.01)])
def test_number_of_open_microphones(count: int, printed_db: float) -> None:
    """By the formula, and by the eigenvalue of a loop that knows no formula."""
    by_formula = outdoors().potential_db - outdoors(nom=count).potential_db
    by_loop = (
        feedback_margin(a_loop()).mean_margin_db - feedback_margin(a_loop(count)).mean_margin_db
    )
    assert [by_formula, by_loop] == pytest.approx([printed_db, printed_db], abs=0.01)
    assert STABLE_MARGIN_DB == 6.0


@pytest.mark.reference("largest of N exponential powers, textbook: mean ln N + 0.577")
@pytest.mark.parametrize("peaks", [20, 100, 1000, 10000])
def test_highest_of_many_peaks(peaks: int) -> None:
    """10 lg (ln N + 0.577): 8.7 dB for a thousand."""
    printed = 10 * np.log10(np.log(peaks) + 0.5772)
    assert float(excess_db(peaks)) == pytest.approx(printed, abs=0.05)


@pytest.mark.reference("Schroeder 1954: maxima of a room's response are 4 / T hertz apart")
def test_peaks_in_a_band() -> None:
    """Of 2 s: one every 2 Hz."""
    ours = peaks_in_bands(np.full(BANDS, 2.0))
    assert ours[5:] == pytest.approx(width_hz()[5:] / 2.0, abs=1e-9)


@pytest.mark.reference(
    "Schroeder 1964, tables of maxima: rings some 10 dB above the mean from memory"
)
def test_a_reverberant_hall_rings_10_db_above_its_mean() -> None:
    """2 s, all bands alike: handbooks stop 6 dB below the mean and equalise the highest peaks."""
    loop = a_loop(reverberation_s=np.full(BANDS, 2.0))
    margin = feedback_margin(loop)
    assert margin.mean_margin_db - margin.median_db == pytest.approx(10.0, abs=1.0)
