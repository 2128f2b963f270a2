"""What lives on a lead swings less with fewer volts."""

from __future__ import annotations

import math

import pytest

from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.chain.wired.fed import fed_shares, full_v
from levelhead.gear.book import load_book
from levelhead.gear.figures import Figure
from levelhead.gear.plan import PowerPlan
from levelhead.rig.build import build_rig
from levelhead.show.model import Cable, Item, Link, Show


def figure(value: float, unit: str) -> Figure:
    return Figure(value, value, value, unit, "measured")


def on_supply(type_id: str, volts: float, settings: dict[str, str] | None = None) -> Solution:
    """An item of the book on a desk whose phantom supply has these volts."""
    items = {
        "m": Item("m", type_id),
        "d": Item("d", "mixer-compact", figures={"ch.mic.phantom": f"{volts} V"}),
    }
    link = Link({"a": "m.out", "b": "d.ch1.mic"}, (Cable("cable-xlr", 2.0),))
    set_ = {"d.phantom": "on", **(settings or {})}
    return solve(build_rig(Show("x", items=items, links=(link,), settings=set_), load_book()))


def shares(solution: Solution) -> dict[str, float]:
    return fed_shares(solution.rig, solution.copper.phantom)


def test_without_a_figure_p48_at_its_own_current_is_the_whole() -> None:
    """IEC 61938: 48 V less 3.4 kohm times 4 mA."""
    way = PowerPlan("phantom", "out", figure(4e-3, "A"), figure(12, "V"))
    assert full_v(way) == pytest.approx(34.4)
    assert full_v(PowerPlan("phantom", "out", None, None, figure(12, "V"))) == 12
    assert full_v(PowerPlan("bias", "out", figure(3e-4, "A"), figure(1, "V"))) is None


def test_on_48_v_nothing_is_missing() -> None:
    assert shares(on_supply("di-active", 48)) == {}


@pytest.mark.parametrize("volts", [44.0, 40.0, 36.0])
def test_ceilings_fall_in_proportion(volts: float) -> None:
    solution, whole = on_supply("di-active", volts), on_supply("di-active", 48)
    share = shares(solution)["m"]
    arrival = solution.phantom_at("m")
    assert arrival is not None
    assert share == pytest.approx(arrival.volts / 34.4, rel=1e-3)
    lost_db = whole.levels("m.buffer").ceiling - solution.levels("m.buffer").ceiling  # type: ignore[operator]
    assert lost_db == pytest.approx(-20 * math.log10(share), abs=0.01)


def test_what_regulates_its_volts_loses_nothing_above_them() -> None:
    """The lavalier's adaptor has its own figure: 12 V are enough."""
    assert shares(on_supply("mic-lavalier", 24)) == {}


def test_a_battery_makes_it_whole() -> None:
    assert shares(on_supply("di-active", 36, {"m.battery": "fitted"})) == {}
