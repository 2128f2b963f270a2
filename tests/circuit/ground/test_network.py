"""The ground network: potentials of earths, currents of leakages, and what screens do to them."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from levelhead.circuit.ground.mains import MAINS_230, Cause, Mains
from levelhead.circuit.ground.network import Ground, solve_ground
from levelhead.gear.figures import Figure
from tests.circuit.ground_rigs import line_of_two, rig_of

STRIP_V = math.sqrt(1e-3 * 10e-3)  # middles of the ranges: 1 to 10 mV, 10 to 100 mV, 0.1 to 2 V
OUTLETS_V = math.sqrt(10e-3 * 0.1)
CIRCUITS_V = math.sqrt(0.1 * 2.0)
QUIET = MAINS_230.knowing({"one": 1e-9, "two": 1e-9})  # next to no leakage


def ground_of(
    cable: str,
    at: tuple[str | None, str | None],
    mains: Mains = QUIET,
    *,
    sender: str = "symmetrical",
    receiver: str = "amp-balanced",
) -> Ground:
    """A line between two items on their supplies."""
    return solve_ground(rig_of(line_of_two(sender, cable, receiver, at=at)), mains)


# ---------------------------------------------------------------- earths


@pytest.mark.parametrize(
    ("at", "expected_v"),
    [
        (("stage", "stage"), STRIP_V),
        (("stage", "wings"), math.hypot(OUTLETS_V, STRIP_V)),
        (("stage", "hall"), math.hypot(CIRCUITS_V, OUTLETS_V, STRIP_V)),
    ],
)
def test_potentials_between_earths_are_those_stated(at: tuple[str, str], expected_v: float) -> None:
    """Nothing but two balanced lines between them, so that they stand open; all lines together."""
    ground = ground_of("cable-open 10 m", at)
    assert ground.volts_between("one", "two") == pytest.approx(expected_v, rel=2e-3)


def test_a_screen_draws_the_earths_together() -> None:
    """Voltage divider of the screen with its pins, and the earth conductors of the loop."""
    open_v = ground_of("cable-open 10 m", ("stage", "hall")).volts_between("one", "two")
    joined_v = ground_of("cable-bare 10 m", ("stage", "hall")).volts_between("one", "two")
    screen_ohm = 10 * 0.030 + 0.005 + 2 * 0.020
    mains = MAINS_230
    earth_ohm = 2 * (mains.cord.value + mains.strip_lead.value + mains.circuit_wire.value)
    assert joined_v / open_v == pytest.approx(screen_ohm / (screen_ohm + earth_ohm), rel=1e-3)


@given(length_m=st.integers(min_value=1, max_value=200))
def test_a_longer_screen_leaves_more_between_the_earths(length_m: int) -> None:
    """But never more than stands there open."""
    shorter, longer, without = (
        ground_of(cable, ("stage", "hall")).volts_between("one", "two")
        for cable in (f"cable-bare {length_m} m", f"cable-bare {length_m + 1} m", "cable-open 1 m")
    )
    assert shorter < longer < without


def test_items_on_a_circuit_that_nobody_stated_are_named() -> None:
    """Their range reaches from one strip to two circuits."""
    ground = ground_of("cable-open 10 m", (None, "hall"))
    assert ground.unstated == ("one",)
    (wide,) = [
        source for source in ground.sources if source.who == "one" and source.figure.high > 1
    ]
    assert (wide.figure.low, wide.figure.high) == (1e-3, 2.0)
    assert ground_of("cable-open 10 m", ("stage", "hall")).unstated == ()


def test_a_supply_without_a_circuit_is_not_stated_either() -> None:
    """Both of its items are named; between them there is only their strip."""
    text = line_of_two("symmetrical", "cable-open 10 m", "amp-balanced", at=("rack", "rack"))
    ground = solve_ground(rig_of(text, supplies="supplies: {rack: {outlet: somewhere}}"), QUIET)
    assert set(ground.unstated) == {"one", "two"}
    assert ground.volts_between("one", "two") == pytest.approx(STRIP_V, rel=2e-3)


def test_a_strip_in_an_item_hangs_on_its_earth() -> None:
    """Fed from a socket of the other item: one strip more between them, no circuit."""
    text = line_of_two("symmetrical", "cable-open 10 m", "amp-balanced", at=("stage", "fed"))
    supplies = """
supplies:
  stage: {outlet: stage left, circuit: "1"}
  fed: {outlet: one.out}
"""
    ground = solve_ground(rig_of(text, supplies=supplies), QUIET)
    assert ground.volts_between("one", "two") == pytest.approx(STRIP_V, rel=2e-3)
    assert ground.unstated == ()


# ---------------------------------------------------------------- leakages


def players_joined(count: int) -> Ground:
    """Players with two-pin supplies whose screens meet; nothing takes them to earth."""
    players = [f"p{number}" for number in range(1, count + 1)]
    items = "\n".join(f"  {each}: {{type: player}}" for each in players)
    links = "\n".join(
        f"  - {{from: {each}.out, to: box.in-{each[1]}, via: [lead-1-ohm 1 m]}}" for each in players
    )
    text = f"items:\n{items}\n  box: {{type: joint}}\nlinks:\n{links}"
    return solve_ground(rig_of(text), MAINS_230.knowing(dict.fromkeys(players, 100e-6)))


@pytest.mark.parametrize("count", [1, 2, 3])
def test_leakages_of_an_unearthed_group_add(count: int) -> None:
    """Whoever touches one of them takes those of all: at 50 Hz, out of 100 uA over all lines."""
    harmonics = np.linalg.norm(np.arange(1, 21) * MAINS_230.class_2_spectrum[:20])
    expected_a = count * 100e-6 / float(harmonics)
    assert players_joined(count).touch_a("p1") == pytest.approx(expected_a, rel=0.01)


def test_leakage_is_what_was_stated_whatever_the_rest() -> None:
    """A milliohm or an ohm of screen: the supply is a current source to them."""
    for lead in ("lead-1-ohm 1 m", "lead-65-mohm 1 m"):
        mains = MAINS_230.knowing({"one": 200e-6})
        ground = ground_of(lead, (None, "hall"), mains, sender="player", receiver="amp-unbalanced")
        rows = [row for row, each in enumerate(ground.sources) if each.cause is Cause.CLASS_2]
        drop_v = (
            ground.zero_v[ground.row_of["one"], rows] - ground.zero_v[ground.row_of["two"], rows]
        )
        screen_ohm = {"lead-1-ohm 1 m": 1.0, "lead-65-mohm 1 m": 0.065}[lead] + 2e-6
        assert float(np.linalg.norm(drop_v)) / screen_ohm == pytest.approx(200e-6, rel=1e-3)


def test_an_earthed_item_takes_all_leakage_to_earth() -> None:
    """Joined to an earth, a two-pin item gives a body next to nothing."""
    alone = players_joined(1).touch_a("p1")
    joined = ground_of("lead-1-ohm 1 m", (None, "hall"), MAINS_230, sender="player",
                       receiver="amp-unbalanced")  # fmt: skip
    leaked = [row for row, each in enumerate(joined.sources) if each.cause is Cause.CLASS_2]
    stands_v = float(np.linalg.norm(joined.zero_v[joined.row_of["one"], leaked]))
    assert 40e-6 < alone < 80e-6
    assert stands_v < 200e-6


def test_an_item_on_a_battery_drives_nothing() -> None:
    """No earth and no leakage: its 0 V follows whatever it is plugged into."""
    ground = ground_of(
        "lead-1-ohm 1 m", (None, "hall"), MAINS_230, sender="player-on-battery",
        receiver="amp-unbalanced",
    )  # fmt: skip
    assert {source.who for source in ground.sources} == {"two", "hall", "2"}


# ---------------------------------------------------------------- as a network


@given(times=st.floats(min_value=0.01, max_value=100))
def test_everything_scales_with_its_sources(times: float) -> None:
    """Twice the voltage between circuits, twice of everything that comes of it."""
    figure = Figure(CIRCUITS_V * times, 0.1 * times, 2 * times, "V", "typical")
    usual, scaled = (
        ground_of("cable-bare 10 m", ("stage", "hall"), mains)
        for mains in (QUIET, Mains(volts=230, hz=50, circuits=figure, leakages=QUIET.leakages))
    )
    rows = [row for row, each in enumerate(usual.sources) if each.cause is Cause.CIRCUITS]
    np.testing.assert_allclose(scaled.zero_v[:, rows], usual.zero_v[:, rows] * times, rtol=1e-9)


def test_the_order_of_items_and_links_changes_nothing() -> None:
    """Potentials of the same items, listed the other way round."""
    forward = """
items:
  a: {type: symmetrical, supply: stage}
  b: {type: amp-balanced, supply: hall}
  c: {type: player-earthed, supply: wings}
  d: {type: amp-unbalanced, supply: hall}
links:
  - {from: a.out, to: b.in, via: [cable-bare 10 m]}
  - {from: c.out, to: d.in, via: [lead-1-ohm 2 m]}
"""
    backward = """
items:
  d: {type: amp-unbalanced, supply: hall}
  c: {type: player-earthed, supply: wings}
  b: {type: amp-balanced, supply: hall}
  a: {type: symmetrical, supply: stage}
links:
  - {from: c.out, to: d.in, via: [lead-1-ohm 2 m]}
  - {from: a.out, to: b.in, via: [cable-bare 10 m]}
"""
    one, other = solve_ground(rig_of(forward)), solve_ground(rig_of(backward))
    for pair in (("a", "b"), ("c", "d"), ("a", "d"), ("b", "c")):
        assert other.volts_between(*pair) == pytest.approx(one.volts_between(*pair), rel=1e-9)


def test_reduced_islands_are_the_islands() -> None:
    """Two screens in parallel carry what one of half the resistance does."""
    text = """
items:
  one: {type: player-earthed, supply: stage}
  two: {type: amp-unbalanced, supply: hall}
links:
  - {from: one.out, to: two.in, via: [lead-1-ohm 1 m]}
  - {from: one.more, to: two.second, via: [lead-1-ohm 1 m]}
"""
    ground = solve_ground(rig_of(text), QUIET)
    mains = MAINS_230
    earth_ohm = 2 * (mains.cord.value + mains.strip_lead.value + mains.circuit_wire.value)
    open_v = math.hypot(CIRCUITS_V, OUTLETS_V, STRIP_V)
    expected_v = open_v * 0.5 / (0.5 + earth_ohm)
    assert ground.volts_between("one", "two") == pytest.approx(expected_v, rel=1e-3)
