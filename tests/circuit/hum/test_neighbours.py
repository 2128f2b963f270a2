"""What lies beside a cable, against textbook formulas: Biot and Savart, Fourier, induction."""

from __future__ import annotations

import math

import numpy as np
import pytest

from levelhead.circuit.ground.mains import MAINS_120, MAINS_230, Mains
from levelhead.circuit.hum.neighbours import (
    NEIGHBOURS,
    Neighbouring,
    dimmer_harmonics,
    field_in_air,
)
from levelhead.show.model import Beside, Near

MU0 = 4e-7 * math.pi


def test_harmonics_of_a_sine_cut_at_its_crest_are_those_of_its_samples() -> None:
    """Another way to the same numbers: the discrete transform of one period."""
    count, whole = 41, 1 << 16
    phase = 2 * np.pi * (np.arange(whole) + 0.5) / whole
    wave = np.where(phase % np.pi > np.pi / 2, np.sin(phase), 0.0)
    found = np.abs(np.fft.rfft(wave))[1 : count + 1] * 2 / whole
    assert dimmer_harmonics(count) == pytest.approx(found, abs=1e-4)


def test_a_sine_cut_at_its_crest_has_half_its_power() -> None:
    """Parseval: half of each half cycle is there, so half of the mean square."""
    assert float((dimmer_harmonics(4001) ** 2).sum()) == pytest.approx(0.5, rel=1e-3)


@pytest.mark.parametrize(
    ("what", "ampere", "spacing_m"),
    [("dimmer-leads", 6000 / 230, 5e-3), ("mains-leads", 5.0, 4e-3),
     ("loudspeaker-leads", 2.0, 3e-3)],
)  # fmt: skip
def test_fields_are_below_those_of_a_pair_that_lies_flat(
    what: str, ampere: float, spacing_m: float
) -> None:
    """``mu0 I s / (2 pi r^2)`` at 1 cm is the most; a lay takes no more than 30 dB of it."""
    flat_t = MU0 * ampere * spacing_m / (2 * math.pi * 0.01**2)
    density = NEIGHBOURS[what].density
    assert flat_t / 31.6 < density.low < density.value < flat_t
    assert density.high <= 1.25 * flat_t


def test_distance_counts_by_its_square() -> None:
    near, far = (Neighbouring(Beside("dimmer-leads", 30.0, r), MAINS_230) for r in (0.05, 0.5))
    ratio = near.emf_v_per_m2[0] / far.emf_v_per_m2[0]
    assert ratio == pytest.approx(100.0)


@pytest.mark.parametrize("mains", [MAINS_230, MAINS_120], ids=["50 Hz", "60 Hz"])
def test_the_fundamental_is_induced_as_in_a_transformer(mains: Mains) -> None:
    """``2 pi f B A`` of the fundamental, which has 0.593 of the whole sine."""
    beside = Neighbouring(Beside("dimmer-leads", 1.0), mains)
    first = math.hypot(math.pi / 4, 0.5) * 2 / math.pi
    assert beside.emf_v_per_m2[0] == pytest.approx(2 * math.pi * mains.hz * 80e-6 * first, rel=1e-3)


def test_octaves_above_hold_what_lies_in_them() -> None:
    """A step that is rounded at 3.2 kHz makes about as much emf in each harmonic up to there."""
    lines = Neighbouring(Beside("dimmer-leads", 1.0), MAINS_230).emf_v_per_m2
    at_1_to_2_khz = math.sqrt(sum(lines[n] ** 2 for n in range(10, 20, 2)))
    assert lines[21] == pytest.approx(at_1_to_2_khz * math.sqrt(14 / 5), rel=0.2)


def test_a_field_in_the_air_is_that_of_a_dipole() -> None:
    """``mu0 I A / (2 pi r^3)`` on the axis of 26 A round 0.1 m2; the cube of the distance."""
    on_axis_t = MU0 * 6000 / 230 * 0.1 / (2 * math.pi)
    near, far = (field_in_air(Near("dimmer-rack", far_m)) for far_m in (1.0, 2.0))
    assert near.value == pytest.approx(on_axis_t, rel=0.1)
    assert near.low < on_axis_t < near.high
    assert near.value / far.value == pytest.approx(8.0)


def test_nearer_than_a_hand_is_no_dipole() -> None:
    """The cube holds for distances that are large against what makes the field."""
    at_hand, touching = (field_in_air(Near("dimmer-rack", far_m)) for far_m in (0.2, 0.001))
    assert touching == at_hand
