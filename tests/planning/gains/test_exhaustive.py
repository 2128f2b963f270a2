"""The plan against all settings, tried one by one."""

from __future__ import annotations

import math

import pytest

from levelhead.planning.gains.make import make_plan
from levelhead.planning.gains.planned.plan import GainPlan
from tests.planning.gains.stepped import BOOK, Worth, every_setting, stepped_show, worth

RESERVE_DB = 6.0
TRIED = 4 * 3**5


def _wanted() -> dict[str, float]:
    """Both as loud (nothing is set), together 6 dB under 110 dB SPL with their peaks.

    The sum of two equal ones has the crest between their own 12 dB and the 12.5 dB of many.
    """
    crest_db = (12.0 + 12.5) / 2
    together = 110.0 - RESERVE_DB - (crest_db - 10 * math.log10(2))
    return dict.fromkeys(("a", "b"), together - 10 * math.log10(2))


@pytest.mark.parametrize(("a_dbu", "b_dbu"), [(4.0, -26.0), (-13.0, 17.0)])
def test_no_setting_is_better_than_the_plan(a_dbu: float, b_dbu: float) -> None:
    """Goal by goal, in their order, the plan is as good as the best of 972 settings."""
    show = stepped_show(a_dbu, b_dbu)
    made = make_plan(show, BOOK, reserve_db=RESERVE_DB)
    wanted = _wanted()
    ours = worth(made.after, wanted, RESERVE_DB)
    found = [worth(solution, wanted, RESERVE_DB) for _, solution in every_setting(show)]
    assert len(found) == TRIED
    assert _is_as_good(ours, min(found, key=_rank))
    assert made.off_by_db < 0.05
    assert _gap(made.plan) < 0.01


def _rank(each: Worth) -> tuple[float, ...]:
    """Rounded, so that what is the same is the same; noise within 1 dB is the same."""
    return (
        round(each.clipped_db, 2),
        round(each.reserve_db, 2),
        round(each.loudness_db, 1),
        round(each.meters_db, 1),
        each.noise_db,
    )


def _is_as_good(ours: Worth, best: Worth) -> bool:
    return _rank(ours)[:4] == _rank(best)[:4] and ours.noise_db <= best.noise_db + 1.05


def _gap(plan: GainPlan) -> float:
    return plan.gap_db
