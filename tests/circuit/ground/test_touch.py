"""What a body takes: against Ohm's law on the figures of the supplies."""

from __future__ import annotations

import pytest

from levelhead.circuit.ground.mains import BODY_OHM, MAINS_120, MAINS_230, Mains
from levelhead.circuit.ground.network import solve_ground
from levelhead.circuit.ground.touch import Touch, alone_a, touch_of
from tests.circuit.ground_rigs import rig_of

ISLAND = """
items:
  p1: {type: player}
  p2: {type: player}
  box: {type: joint}
links:
  - {from: p1.out, to: box.in-1, via: [lead-1-ohm 1 m]}
  - {from: p2.out, to: box.in-2, via: [lead-1-ohm 1 m]}
"""


def island(leak_a: float = 250e-6) -> Touch:
    return touch_of(solve_ground(rig_of(ISLAND), MAINS_230.knowing({"p1": leak_a, "p2": leak_a})))


def test_leakages_of_two_joined_supplies_add() -> None:
    """Capacitances of some megohms, so that 2 kohm of body hardly reduce the current."""
    assert island().leak_a("p1") == pytest.approx(2 * 250e-6, rel=0.02)


def test_joined_items_are_one_to_a_hand() -> None:
    (group,) = [each for each in island().groups() if "p1" in each]
    assert {"p1", "p2"} <= set(group)


@pytest.mark.parametrize("mains", [MAINS_230, MAINS_120], ids=["230 V", "120 V"])
@pytest.mark.parametrize("is_earthed", [True, False])
def test_an_item_alone_gives_its_leakage(mains: Mains, *, is_earthed: bool) -> None:
    """The reactance of 1 mA and of less is far over that of a body."""
    leakage = mains.knowing({"x": 0.5e-3}).leakages["x"]
    current_a = alone_a(leakage, is_earthed_type=is_earthed, mains=mains)
    assert current_a == pytest.approx(0.5e-3, rel=0.05)
    assert current_a < 0.5e-3


def test_a_fault_on_what_floats_is_all_of_the_mains() -> None:
    """And through a body I = U / R (IEC 60990: 2 kohm): 115 mA."""
    volts = island().fault_v("p1")
    assert volts == pytest.approx(230, rel=1e-3)
    assert volts / BODY_OHM == pytest.approx(0.115, rel=1e-3)


def test_a_fault_on_what_is_earthed_is_shared_by_two_conductors() -> None:
    """Line against protective conductor and, beside it, 1 ohm of screen to another circuit."""
    text = """
items:
  one: {type: player-earthed, supply: stage}
  two: {type: amp-unbalanced, supply: hall}
links:
  - {from: one.out, to: two.in, via: [lead-1-ohm 1 m]}
"""
    volts = Touch(solve_ground(rig_of(text))).fault_v("one")
    line_ohm = 0.07 + 0.08 + 0.12
    other_ohm = 1.0 + line_ohm
    earth_ohm = line_ohm * other_ohm / (line_ohm + other_ohm)
    assert volts == pytest.approx(230 * earth_ohm / (earth_ohm + line_ohm), rel=1e-3)
