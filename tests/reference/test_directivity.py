"""Published directivity of patterns, pistons and lines."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.special import j1

from levelhead.acoustics.sound.directivity import (
    PATTERNS,
    Coverage,
    all_around,
    column_coverage,
    proximity_rise_db,
)
from levelhead.quantity.bands import BANDS


@pytest.mark.reference("Eargle, The Microphone Book, Table 6-1, after Olson 1972 (CV-50)")
@pytest.mark.parametrize(
    ("name", "factor", "index_db", "distance"),
    [
        ("omni", 1, 0, 1),
        ("cardioid", 3, 4.77, 1.73),
        ("supercardioid", 3.73, 5.72, 1.93),
        ("hypercardioid", 4, 6.02, 2),
        ("figure-8", 3, 4.77, 1.73),
    ],
)
def test_directivity_of_patterns(
    name: str, factor: float, index_db: float, distance: float
) -> None:
    """Ideal ones, deaf where their formula says so."""
    ideal = replace(PATTERNS[name], behind=0.0)
    ours = [ideal.q[0], 10 * np.log10(ideal.q[0]), ideal.distance_factor]
    assert ours == pytest.approx([factor, index_db, distance], abs=0.005)


@pytest.mark.reference("Eargle, Handbook of Recording Engineering: half dipole, half omni (CV-51)")
@pytest.mark.parametrize(
    ("name", "distance_m", "computed_db"),
    [
        ("figure-8", 0.1, 14.89),
        ("figure-8", 0.05, 20.80),
        ("cardioid", 0.1, 9.27),
        ("cardioid", 0.05, 14.89),
    ],
)
def test_bass_of_a_near_voice(name: str, distance_m: float, computed_db: float) -> None:
    """At 100 Hz."""
    ours = float(proximity_rise_db(PATTERNS[name], distance_m, 100.0))
    assert ours == pytest.approx(computed_db, abs=0.02)


def coverage(across_deg: float, up_deg: float, spill: float = 0.0) -> Coverage:
    """One coverage in all bands."""
    return Coverage(
        across_deg=np.full(BANDS, across_deg), up_deg=np.full(BANDS, up_deg), spill=spill
    )


@pytest.mark.reference("IEC 60268-5: coverage angle is where the level is 6 dB below the axis")
@pytest.mark.parametrize(("across", "up"), [(90, 60), (60, 40), (120, 120), (300, 20)])
def test_edge_of_the_coverage_is_6_db_down(across: float, up: float) -> None:
    """In both planes, on both sides."""
    half = np.radians([across / 2, up / 2])
    edges = np.array(
        [[np.cos(half[0]), s * np.sin(half[0]), 0] for s in (-1, 1)]
        + [[np.cos(half[1]), 0, s * np.sin(half[1])] for s in (-1, 1)]
    )
    levels = 10 * np.log10(coverage(across, up).gain(edges)[:, 17])
    assert levels == pytest.approx(np.full(4, -6.02), abs=0.01)


@pytest.mark.reference("definition of the directivity factor: the integral over the sphere")
@pytest.mark.parametrize(("across", "up"), [(90, 60), (60, 40), (120, 120), (180, 90), (360, 360)])
def test_directivity_factor_is_the_integral(across: float, up: float) -> None:
    """Summed over a sphere of half a million directions, spill and all."""
    cosine, turn = np.meshgrid(
        np.linspace(-1, 1, 1001)[:-1] + 1e-3, np.linspace(0, 2 * np.pi, 401)[:-1], indexing="ij"
    )
    sine = np.sqrt(1 - cosine**2)
    sphere = np.stack((cosine, sine * np.cos(turn), sine * np.sin(turn)), axis=-1)
    box = coverage(across, up, spill=0.01)
    assert float(box.q[0]) == pytest.approx(1 / box.gain(sphere)[..., 0].mean(), rel=0.005)


@pytest.mark.reference("piston in a wall (Beranek, Acoustics): half pressure at ka sin = 2.215")
@pytest.mark.parametrize("ka", [3.0, 4.0, 6.0])
def test_a_cone_of_one_angle_has_the_factor_of_a_piston(ka: float) -> None:
    """(ka)^2 / (1 - J1(2 ka) / ka) for the piston; our round lobe has no side lobes: 1.2 dB."""
    full_deg = 2 * np.degrees(np.arcsin(2.215 / ka))
    # a piston in a wall plays half a sphere: its factor against the sphere
    piston_db = 10 * np.log10(ka**2 / (1 - j1(2 * ka) / ka))
    ours_db = 10 * np.log10(float(coverage(full_deg, full_deg).q[0]))
    assert ours_db == pytest.approx(piston_db, abs=1.2)


@pytest.mark.reference("uniform line source: sin(x) / x is one half at x = 1.895 (Olson)")
def test_a_column_narrows_with_frequency() -> None:
    """1 m at the band of 1 kHz: 24 degrees from edge to edge."""
    column = column_coverage(1.0, across_deg=180.0, up_deg=1.0)
    wave_m = 0.3432
    printed = 2 * np.degrees(np.arcsin(1.895 / np.pi * wave_m))
    assert float(column.up_deg[17]) == pytest.approx(printed, abs=0.05)
    assert column.up_deg[0] == 360.0


@pytest.mark.reference("definition: what plays all around has the factor 1")
def test_all_around() -> None:
    """In every direction alike."""
    sideways = np.array([[0.0, 1.0, 0.0], [-1.0, 0.0, 0.0], [1.0, 0.0, 0.0]])
    assert all_around().gain(sideways) == pytest.approx(np.ones((3, BANDS)), abs=1e-9)
    assert all_around().q == pytest.approx(np.ones(BANDS), abs=1e-9)
