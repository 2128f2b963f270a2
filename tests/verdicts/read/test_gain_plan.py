"""Where a gain belongs."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from levelhead.show.edits import Set, apply
from levelhead.verdicts.read.gain_plan import PEAK_RESERVE_DB, planned_gain_db, planned_setting
from levelhead.verdicts.read.strips import strips
from tests.chain.bench import Items, bench_show, solved_show

LINKS = [("t.out", "d.ch1.line")]


@given(
    level_dbu=st.floats(min_value=-80, max_value=20),
    crest_db=st.floats(min_value=3.1, max_value=24),
)
def test_a_planned_gain_reaches_the_meter_and_keeps_the_reserve(
    level_dbu: float, crest_db: float
) -> None:
    """Solved with the planned setting: at the zero, or 6 dB under the ceiling, or at an end."""
    figures = {
        "generator.level": f"{level_dbu:.3f} dBu",
        "generator.peak-to-rms": f"{crest_db:.3f} dB",
        "output.ceiling": "+60 dBu",
    }
    items: Items = {"t": ("tone", figures), "d": "desk"}
    show = bench_show(items, LINKS)
    (strip,) = strips(solved_show(show))
    setting = planned_setting(strip)
    after, _ = apply(show, [Set("d.ch1.gain", f"{setting:.3f} dB")])
    levels = solved_show(after).levels("d.ch1.preamp")
    assert levels.headroom is not None
    assert levels.nominal is not None
    is_at_zero = levels.nominal == pytest.approx(4.0, abs=0.01)
    is_at_reserve = levels.headroom == pytest.approx(PEAK_RESERVE_DB, abs=0.01)
    assert is_at_zero or is_at_reserve or setting in {-20.0, 60.0}
    assert levels.nominal <= 4.01 or setting == -20.0
    assert levels.headroom >= PEAK_RESERVE_DB - 0.01 or setting == -20.0


def test_the_planned_gain_does_not_depend_on_where_the_knob_stands() -> None:
    plans = set()
    for gain in ("-20 dB", "12 dB", "60 dB"):
        show = bench_show({"t": "tone", "d": "desk"}, LINKS, settings={"d.ch1.gain": gain})
        (strip,) = strips(solved_show(show))
        plans.add(round(planned_gain_db(strip), 6))
    assert plans == {0.0}
