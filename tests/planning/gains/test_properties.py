"""Properties of gain plans on small rigs of bench gear."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from levelhead.gear.book import GearBook
from levelhead.planning.gains.make import Made, make_plan
from levelhead.planning.gains.planned.plan import GoalName
from levelhead.show.model import Show
from tests.chain.bench import BOOK, Items, bench_show, entries

LINKS = [("a.out", "d.ch1.line"), ("b.out", "d.ch2.line"), ("d.main-left.out", "m.in")]
CREST_DB = 12.0 - 3.01  # of the tone, over a sine
ROOM_DB = 21.0 - 6.0  # preamplifier's ceiling less the reserve
LEVELS = st.floats(min_value=-60, max_value=24)


def rig(
    a_dbu: float,
    b_dbu: float,
    *,
    given_: Mapping[str, str] | None = None,
    locks: Collection[str] = (),
    noise: str = "-90 dBu",
) -> Show:
    """Two tones, a desk with noise, a loudspeaker that ends at 120 dB SPL."""
    items: Items = {
        "a": ("tone", {"generator.level": f"{a_dbu:.2f} dBu", "output.ceiling": "+60 dBu"}),
        "b": ("tone", {"generator.level": f"{b_dbu:.2f} dBu", "output.ceiling": "+60 dBu"}),
        "d": ("desk", {"ch.preamp.noise": noise, "main.level.noise": "-90 dBu"}),
        "m": ("monitor", {"driver.ceiling": "120 dB SPL"}),
    }
    return bench_show(items, LINKS, settings=given_, locks=locks)


def values(made: Made, *names: GoalName) -> list[float]:
    return [made.reached.values[name] for name in names]


@settings(max_examples=12, deadline=None)
@given(a_dbu=LEVELS, b_dbu=LEVELS)
@example(a_dbu=24.0, b_dbu=-56.0)
def test_nothing_clips_where_something_can_be_set_that_does_not(a_dbu: float, b_dbu: float) -> None:
    """The preamplifier goes down to -20 dB, everything behind it to off: only it can clip.

    Controls are told in tenths: several of them take up to a quarter of a decibel of the reserve.
    """
    made = make_plan(rig(a_dbu, b_dbu), BOOK)
    least = [max(each + CREST_DB - 20 - ROOM_DB, 0.0) for each in (a_dbu, b_dbu)]
    assert made.plan.goal("clipping").gave_way_db <= max(least) + 0.15
    if max(least) == 0:
        for address in ("d.ch1.preamp", "d.ch2.preamp", "d.main-left.level", "m.driver"):
            headroom = made.after.levels(address).headroom
            assert headroom is None or headroom >= 6 - 0.25


@settings(max_examples=8, deadline=None)
@given(a_dbu=LEVELS, b_dbu=LEVELS, more_db=st.floats(min_value=1, max_value=20))
def test_a_looser_limit_never_makes_a_plan_worse(
    a_dbu: float, b_dbu: float, more_db: float
) -> None:
    """Goal by goal in their order, with a higher ceiling of all preamplifiers."""
    looser = dict(entries())
    text = f"{21 + more_db:.2f} dBu"
    stages = looser["desk"]["blocks"]["ch"]["path"]["stages"]
    for stage in stages:
        stage["ceiling"] = text
    names: tuple[GoalName, ...] = ("clipping", "loudness", "meters", "noise")
    tight = values(make_plan(rig(a_dbu, b_dbu), BOOK), *names)
    loose = values(make_plan(rig(a_dbu, b_dbu), GearBook(looser)), *names)
    for before, after in zip(tight, loose, strict=True):
        assert after <= before + 0.1
        if after < before - 0.1:
            break  # better by an earlier goal: later ones may cost more


@pytest.mark.parametrize("gain_db", [40, 60])
def test_a_locked_control_that_clips_is_told_with_its_numbers(gain_db: int) -> None:
    """+4 dBu with peaks 9 dB above, and the gain locked: 13 + gain - 15 too much."""
    show = rig(4.0, 4.0, given_={"d.ch1.gain": f"{gain_db} dB"}, locks=["d.ch1.gain"])
    made = make_plan(show, BOOK)
    goal = made.plan.goal("clipping")
    assert not goal.reached
    assert goal.gave_way_db == pytest.approx(4 + CREST_DB + gain_db - ROOM_DB, abs=0.1)
    assert "d.ch1.preamp" in goal.where
    assert any("Unlock the gain of d ch1" in mend for mend in goal.mends)
    position = made.plan.position("d.ch1.gain")
    assert position is not None
    assert (position.bind.goal, position.is_moved) == ("locked", False)


def test_the_loudest_moment_reaches_the_ceiling_less_the_reserve() -> None:
    made = make_plan(rig(-20.0, -40.0), BOOK, reserve_db=8.0)
    levels = made.after.levels("m.driver")
    assert levels.headroom == pytest.approx(8.0, abs=0.1)


def test_as_loud_as_set_leaves_the_loudspeaker_alone() -> None:
    show = rig(-20.0, -40.0, given_={"d.ch1.gain": "10 dB", "d.ch1.fader": "-8 dB"})
    made = make_plan(show, BOOK, loudness="as-set")
    before, after = made.before.levels("m.driver"), made.after.levels("m.driver")
    assert after.nominal == pytest.approx(before.nominal, abs=0.15)


def test_sources_that_nobody_set_become_equally_loud_and_set_ones_keep_their_balance() -> None:
    even = make_plan(rig(-20.0, -40.0), BOOK).after
    ways = [_at_main(even, channel) for channel in ("ch1", "ch2")]
    assert ways[0] == pytest.approx(ways[1], abs=0.2)
    kept = make_plan(rig(-20.0, -40.0, given_={"d.ch2.fader": "-3 dB"}), BOOK).after
    ways = [_at_main(kept, channel) for channel in ("ch1", "ch2")]
    assert ways[0] - ways[1] == pytest.approx(20.0 + 3.0, abs=0.2)


def _at_main(solution: object, channel: str) -> float:
    level = solution.levels(f"d.{channel}.fader").nominal  # type: ignore[attr-defined]
    assert level is not None
    return float(level)


def test_a_control_that_nobody_knows_is_set_and_told() -> None:
    made = make_plan(rig(-20.0, -40.0, given_={"d.ch1.gain": "unknown"}), BOOK)
    position = made.plan.position("d.ch1.gain")
    assert position is not None
    assert (position.now, position.is_moved) == ("unknown", True)
    assert any("Nobody knows where the gain of d ch1 stands" in each for each in made.plan.turns_on)


def test_a_source_that_is_too_weak_gives_way_alone() -> None:
    """-95 dBu and 80 dB of gain and faders at most: 120 dB SPL cannot be; the other is loud."""
    made = make_plan(rig(-20.0, -95.0), BOOK)
    goal = made.plan.goal("loudness")
    assert not goal.reached
    assert math.isclose(made.reached.values["clipping"], 0.0, abs_tol=0.01)
    assert any("short with every free control up" in mend for mend in goal.mends)


def test_a_limiter_at_work_does_not_make_the_anchor_quieter() -> None:
    """A loudspeaker driven 30 dB into its limiter is planned like one that is not."""
    found = []
    for fader in ("-30 dB", "10 dB"):
        limited = dict(entries())
        stages = limited["monitor"]["path"]["stages"]
        stages.insert(0, {"stage": "limiter", "limiter": {"threshold": "+18 dBu"}})
        show = rig(0.0, -60.0, given_={"d.ch1.fader": fader, "d.main": "10 dB"})
        made = make_plan(show, GearBook(limited))
        found.append(made.after.levels("m.driver").nominal)
    assert found[0] == pytest.approx(found[1], abs=0.4)
