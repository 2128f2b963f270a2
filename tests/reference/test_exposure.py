"""Published tables and worked examples of exposure to sound."""

from __future__ import annotations

import math

import pytest

from levelhead.acoustics.listening.exposure import (
    EU_2003_10,
    NIOSH,
    OSHA,
    PEAK_LIMIT_PA,
    PEAK_LOWER_ACTION_PA,
    PEAK_UPPER_ACTION_PA,
    WHO_VENUES_DB,
    Stay,
    daily_level_db,
    evening,
    worst_mean_db,
)

HOUR = 3600.0
MINUTE = 60.0


def stays(*parts: tuple[float, float]) -> list[Stay]:
    """Levels and hours."""
    return [Stay(level_db=level, duration_s=hours * HOUR) for level, hours in parts]


@pytest.mark.reference("NIOSH 98-126, Table 1-1 (CV-88)")
@pytest.mark.parametrize(
    ("level_db", "printed_s"),
    [
        (85, 8 * HOUR),
        (86, 6 * HOUR + 21 * MINUTE),
        (88, 4 * HOUR),
        (91, 2 * HOUR),
        (94, HOUR),
        (97, 30 * MINUTE),
        (100, 15 * MINUTE),
        (110, 89),
    ],
)
def test_times_of_niosh(level_db: float, printed_s: float) -> None:
    """Whole minutes above an hour, seconds below."""
    tolerance = 1.0 if printed_s < HOUR else MINUTE
    assert float(NIOSH.allowed_s(level_db)) == pytest.approx(printed_s, abs=tolerance)


@pytest.mark.reference("NIOSH 98-126: 97 dB(A) for 2 h are 400 %, 91.02 dB(A) over the day (CV-89)")
def test_dose_of_niosh() -> None:
    """TWA is 10 lg (D / 100) + 85."""
    dose = NIOSH.dose_percent(stays((97, 2)))
    assert [dose, NIOSH.day_level_db(dose)] == pytest.approx([400, 91.02], abs=0.01)


@pytest.mark.reference("29 CFR 1910.95, Tables G-16 and G-16a (CV-90)")
@pytest.mark.parametrize(
    ("level_db", "printed_h"),
    [
        (80, 32),
        (85, 16),
        (90, 8),
        (92, 6.1),
        (95, 4),
        (97, 3.0),
        (100, 2),
        (102, 1.5),
        (105, 1),
        (110, 0.5),
        (115, 0.25),
    ],
)
def test_times_of_osha(level_db: float, printed_h: float) -> None:
    """One decimal."""
    assert float(OSHA.allowed_s(level_db)) / HOUR == pytest.approx(printed_h, abs=0.05)


@pytest.mark.reference("29 CFR 1910.95, App. A, and examples of OSHA (CV-91)")
@pytest.mark.parametrize(
    ("parts", "printed_percent"),
    [
        (((92, 8),), 131.95),
        (((85, 5), (87, 2), (80, 0.5)), 49.34),
        (((100, 1), (90, 4), (85, 3)), 118.75),
    ],
)
def test_doses_of_osha(parts: tuple[tuple[float, float], ...], printed_percent: float) -> None:
    """By the formula; the rounded table gives 131.1 for the first, and 12.1 h for 12.13."""
    assert OSHA.dose_percent(stays(*parts)) == pytest.approx(printed_percent, abs=0.04)


@pytest.mark.reference("29 CFR 1910.95, App. A: 16.61 lg (D / 100) + 90 (CV-92)")
@pytest.mark.parametrize(("dose", "printed_db"), [(50, 85.0), (100, 90.0), (200, 95.0)])
def test_day_level_of_osha(dose: float, printed_db: float) -> None:
    """5 dB for twice the dose."""
    assert OSHA.day_level_db(dose) == pytest.approx(printed_db, abs=0.001)


@pytest.mark.reference("NIOSH, OSHA and ISO 1999 for one night of 100 dB(A), 2 h (CV-93)")
def test_one_night_by_three_rules() -> None:
    """800 %, 100 %, and 93.98 dB(A) over the day."""
    night = evening(stays((100, 2)))
    assert night.doses_percent[:2] == pytest.approx((800, 100), abs=0.1)
    assert night.daily_db == pytest.approx(93.98, abs=0.01)
    assert night.over_venue_db == pytest.approx(0.0, abs=1e-9)


@pytest.mark.reference("WHO global standard for safe listening venues and events, 2022 (CV-94)")
def test_limit_of_venues() -> None:
    """100 dB LAeq over 15 minutes: the worst window counts, not the mean of the evening."""
    assert WHO_VENUES_DB == 100.0
    night = stays((90, 1), (103, 0.25), (90, 1))
    assert worst_mean_db(night) == pytest.approx(103.0, abs=1e-9)
    assert evening(night).mean_db < 97


@pytest.mark.reference("Directive 2003/10/EC, art. 3: peaks of 112, 140, 200 Pa (CV-95)")
def test_peaks_of_the_directive() -> None:
    """Quoted as 135, 137 and 140 dB(C)."""
    peaks = (PEAK_LOWER_ACTION_PA, PEAK_UPPER_ACTION_PA, PEAK_LIMIT_PA)
    ours = [20 * math.log10(each / 20e-6) for each in peaks]
    assert ours == pytest.approx([134.96, 136.9, 140.0], abs=0.05)
    assert EU_2003_10.criterion_db == 87.0


@pytest.mark.reference("SCENIHR opinion 2008, Table 3: equal energy (CV-96)")
@pytest.mark.parametrize(
    ("hours", "printed_db"),
    [
        (4, (83, 88, 90)),
        (2, (86, 91, 93)),
        (1, (89, 94, 96)),
        (0.5, (92, 97, 99)),
        (0.25, (95, 100, 102)),
    ],
)
def test_equal_energy(hours: float, printed_db: tuple[float, ...]) -> None:
    """Whole decibels for 80, 85 and 87 dB(A) over a day."""
    ours = [daily_level_db(stays((level, hours))) for level in printed_db]
    assert ours == pytest.approx([80, 85, 87], abs=0.06)


def mean_db(*levels_db: float) -> float:
    """Energy mean of measurements."""
    return 10 * math.log10(sum(10 ** (each / 10) for each in levels_db) / len(levels_db))


@pytest.mark.reference("ISO 9612:2009, Annexes D, E and F, worked examples (CV-97)")
@pytest.mark.parametrize(
    ("tasks", "printed_db"),
    [
        (
            (
                (70, 1.5),
                (mean_db(80.1, 82.2, 79.6), 5),
                (mean_db(86.5, 92.4, 89.3, 93.2, 87.8, 86.2), 1.5),
            ),
            84.3,
        ),
        (((mean_db(88.0, 91.9, 87.6, 90.4, 89.0, 88.4), 9.25),), 90.1),
        (((mean_db(88.1, 86.1, 89.7, 86.5, 91.1, 86.7), 7.5),), 88.1),
    ],
)
def test_worked_examples_of_a_working_day(
    tasks: tuple[tuple[float, float], ...], printed_db: float
) -> None:
    """Annex E prints 88.1 where it computes 88.16."""
    assert daily_level_db(stays(*tasks)) == pytest.approx(printed_db, abs=0.1)


@pytest.mark.reference("ITU-T H.870: 80 dB(A) for 40 h a week (CV-98)")
def test_a_week_of_listening() -> None:
    """The same energy a day as 80 dB(A) for 8 h, five times."""
    assert daily_level_db(stays((80, 8))) == pytest.approx(80.0, abs=1e-9)
    assert EU_2003_10.dose_percent(stays((80, 8))) == pytest.approx(10 ** (-0.7) * 100, abs=0.01)
