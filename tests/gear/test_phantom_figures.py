"""Types that are sold for P48 work on P48, by their own figures and in a solved show."""

from __future__ import annotations

from typing import Final

import pytest

from levelhead.chain.solve import solve
from levelhead.gear.book import load_book
from levelhead.gear.plan import PowerPlan
from levelhead.rig.build import build_rig
from levelhead.show.model import Cable, Item, Link, Show

PAIR_OHM: Final = 6800.0 / 2  # IEC 61938: both legs feed one load
LOWEST_V, NOMINAL_V = 44.0, 48.0  # IEC 61938: 48 V, +-4 V
MOST_A: Final = 10e-3  # IEC 61938


def phantom_ways() -> dict[str, PowerPlan]:
    """Every type that takes phantom power at an XLR output, with that way of being fed."""
    book = load_book()
    found = {}
    for type_id in book.ids:
        if book.entry(type_id).ends is None:
            for way in book.plan(type_id, {}, {}).powered_by:
                if way.kind == "phantom":
                    found[type_id] = way
    return found


WAYS: Final = phantom_ways()


def volts_left(supply_v: float, current_a: float) -> float:
    """What is left behind the feed resistors. [V]"""
    return supply_v - PAIR_OHM * current_a


@pytest.mark.parametrize("type_id", WAYS)
def test_a_type_works_on_the_lowest_supply_that_the_standard_allows(type_id: str) -> None:
    way = WAYS[type_id]
    assert way.current is not None
    assert way.minimum is not None
    assert way.minimum.value <= volts_left(LOWEST_V, way.current.value)
    assert way.current.high <= MOST_A


@pytest.mark.parametrize("type_id", WAYS)
def test_the_hungriest_of_a_type_works_on_48_v(type_id: str) -> None:
    """Spreads of current and of need that together fail on P48 would be wrong spreads."""
    way = WAYS[type_id]
    assert way.current is not None
    assert way.minimum is not None
    assert way.minimum.value <= volts_left(NOMINAL_V, way.current.high)
    assert way.minimum.high <= volts_left(NOMINAL_V, way.current.low)


MICROPHONES: Final = [each for each in WAYS if load_book().entry(each).kind == "microphone"]


@pytest.mark.parametrize("type_id", MICROPHONES)
def test_a_microphone_gets_what_ohms_law_leaves_it(type_id: str) -> None:
    """Whatever its output circuit: none may draw the phantom power down through its legs."""
    cable = (Cable("cable-xlr", 10.0),)
    show = Show(
        "phantom",
        items={"mic": Item("mic", type_id), "desk": Item("desk", "mixer-compact")},
        links=(Link({"a": "mic.out", "b": "desk.ch1.mic"}, cable),),
        settings={"desk.phantom": "on"},
    )
    solution = solve(build_rig(show, load_book()))
    arrival = solution.phantom_at("mic")
    way = WAYS[type_id]
    assert arrival is not None
    assert way.current is not None
    expected_v = volts_left(NOMINAL_V, way.current.value)
    assert arrival.volts == pytest.approx(expected_v, abs=0.05)  # 10 m of cable are under 5 mV
    assert "mic" not in solution.dead


def coupled_outputs() -> list[tuple[str, str]]:
    """Outputs behind a capacitor, of types that phantom power is not made for."""
    book = load_book()
    found = []
    for type_id in book.ids:
        if book.entry(type_id).ends is None and type_id not in WAYS:
            for block in book.plan(type_id, {}, {}).blocks:
                found += [
                    (type_id, block.address(name))
                    for name, port in block.plan.ports.items()
                    if port.role == "out" and port.figures.get("coupling") is not None
                ]
    return found


@pytest.mark.parametrize(("type_id", "output"), coupled_outputs())
def test_an_output_behind_a_capacitor_says_what_that_stands(type_id: str, output: str) -> None:
    """Or phantom power on it would be told as nothing: no current flows through a capacitor."""
    blocks = load_book().plan(type_id, {}, {}).blocks
    ports = {
        block.address(name): port for block in blocks for name, port in block.plan.ports.items()
    }
    tolerance = ports[output].figures["dc-tolerance"]
    assert 4 <= tolerance.low <= tolerance.value <= tolerance.high <= 100  # IEC 60384-4 values
