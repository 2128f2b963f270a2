"""Doses of sound against the tables that set them."""

from __future__ import annotations

import pytest

from levelhead.quantity.exposure import (
    LIMIT_AT_WORK_DB,
    VENUE_LIMIT_DB,
    allowed_h,
    daily_exposure_db,
)


@pytest.mark.parametrize(
    ("level_db", "seconds"),
    [(85, 8 * 3600), (88, 4 * 3600), (91, 2 * 3600), (94, 3600), (97, 1800), (100, 900),
     (103, 450), (106, 225), (109, 112), (112, 56), (115, 28), (82, 16 * 3600)],
)  # fmt: skip
def test_times_of_the_table(level_db: float, seconds: float) -> None:
    """NIOSH 98-126, Table 1-1, which drops parts of a second."""
    assert 3600 * allowed_h(level_db) == pytest.approx(seconds, abs=0.9)


def test_four_hours_at_97_db() -> None:
    """Directive 2003/10/EC: LEX,8h is the level less 10 lg (8 / h); 94 dB(A), 7 over its limit."""
    assert daily_exposure_db(97, 4) - LIMIT_AT_WORK_DB == pytest.approx(7.0, abs=0.05)
    assert daily_exposure_db(90, 8) == 90


def test_limit_of_venues() -> None:
    """WHO Global standard for safe listening venues and events, 2022, feature 1."""
    assert VENUE_LIMIT_DB == 100
