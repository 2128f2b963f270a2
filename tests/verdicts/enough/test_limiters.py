"""Limiters that work all the time: fine, just this and just that side of 6 dB, not fine."""

from __future__ import annotations

from typing import Any

import pytest

from levelhead.chain.solve import solve
from levelhead.gear.book import GearBook
from levelhead.rig.build import build_rig
from levelhead.verdicts.enough.limiters import check_limiters
from levelhead.verdicts.read.reading import Reading
from levelhead.verdicts.told.finding import Finding, Severity
from tests.chain.bench import bench_show, entries

LINKS = [("t.out", "d.ch1.line"), ("d.main-left.out", "b.in")]
PEAK_DBU = 4.0 + 12.0 - 3.0103


def found(
    threshold_dbu: float, ratio: str | None = None, *, spread_db: float = 0.0, lock: bool = False
) -> list[Finding]:
    """A tone with peaks of 12.99 dBu on a limiter behind a desk."""
    ends = [f"{threshold_dbu - spread_db} dBu", f"{threshold_dbu + spread_db} dBu"]
    limiter: dict[str, Any] = {"threshold": {"value": f"{threshold_dbu} dBu", "range": ends}}
    if ratio is not None:
        limiter["ratio"] = ratio
    box: dict[str, Any] = entries()["box"]
    box["path"]["stages"] = [{"stage": "limiter", "limiter": limiter}]
    book = GearBook(entries() | {"shaped": box})
    locks = [f"d.{each}" for each in ("main", "ch1.gain", "ch1.fader")] if lock else []
    show = bench_show({"t": "tone", "d": "desk", "b": "shaped"}, LINKS, locks=locks)
    return list(check_limiters(Reading.of(solve(build_rig(show, book)))))


def test_a_limiter_that_rests_is_fine() -> None:
    assert found(20.0) == []


@pytest.mark.parametrize(("over_db", "findings"), [(5.9, 0), (6.2, 1)])
def test_six_decibels_are_the_line(over_db: float, findings: int) -> None:
    assert len(found(PEAK_DBU - over_db)) == findings


def test_what_can_be_turned_down_is_care() -> None:
    (finding,) = found(PEAK_DBU - 12.0)
    assert finding.severity is Severity.CARE
    assert finding.margin == pytest.approx(-6.0, abs=0.05)
    assert finding.where == "b.limiter"


def test_the_chance_hangs_on_peaks_and_on_the_threshold() -> None:
    """Just on the line it holds in half of all cases; 3 dB over, by a spread of 1.5 dB, in 2 %.

    Nothing else is in doubt but the feed (1 % either way): Q(2) = 0.023, any table of the normal
    distribution.
    """
    (on_it,) = found(PEAK_DBU - 6.1, spread_db=3.0)
    (over,) = found(PEAK_DBU - 9.0, spread_db=3.0)
    assert on_it.p_holds == pytest.approx(0.47, abs=0.04)
    assert over.p_holds == pytest.approx(0.023, abs=0.015)
    assert [each.input for each in over.flips] == ["threshold of b limiter"]


def test_what_cannot_be_turned_down_fails() -> None:
    (finding,) = found(PEAK_DBU - 12.0, lock=True)
    assert finding.severity is Severity.FAILS


def test_a_compressor_is_meant_to_work() -> None:
    assert found(PEAK_DBU - 12.0, ratio="4") == []
