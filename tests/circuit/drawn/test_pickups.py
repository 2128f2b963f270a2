"""What an instrument's own controls and its output circuit do, seen at the input."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.gear.book import load_book
from levelhead.quantity.bands import mid_hz
from levelhead.rig.build import build_rig
from levelhead.show.model import Cable, Item, Link, Show

OCTAVE = {hz: int(np.argmin(np.abs(mid_hz() - hz))) for hz in (250, 1000, 4000)}


def plugged(
    instrument: str,
    into: str,
    *,
    lead_m: float = 5.0,
    settings: dict[str, str] | None = None,
    figures: dict[str, str] | None = None,
) -> Solution:
    """An instrument with its lead in an input."""
    target, _, port = into.partition(".")
    show = Show(
        "instrument",
        items={
            "unit": Item("unit", instrument, figures=figures or {}),
            "next": Item("next", target),
        },
        links=(Link({"a": "unit.out", "b": f"next.{port}"}, (Cable("cable-jack", lead_m),)),),
        settings=settings or {},
    )
    return solve(build_rig(show, load_book()))


def response_db(solution: Solution, port: str) -> NDArray[np.float64]:
    """Level at a port in the bands, against the emf. [dB]"""
    for island, solved in zip(solution.islands, solution.solved, strict=True):
        if port in island.sense_addresses:
            row = island.sense_addresses.index(port)
            level_db: NDArray[np.float64] = 20 * np.log10(np.abs(solved.transfer[row, 0]))
            return level_db
    pytest.fail(f"{port} is not plugged")


def test_a_line_input_takes_the_top_of_a_guitar() -> None:
    """20 kohm against the 113 kohm of 4.5 H at 4 kHz; an instrument input leaves it whole."""
    line_db = response_db(
        plugged("guitar-electric-passive", "mixer-compact.ch1.line"), "next.ch1.line"
    )
    di_db = response_db(plugged("guitar-electric-passive", "di-active.in"), "next.in")
    top_lost_db = (di_db - line_db)[OCTAVE[4000]] - (di_db - line_db)[OCTAVE[250]]
    assert top_lost_db > 8


def test_a_longer_lead_moves_the_resonance_down() -> None:
    """Lemme: four times the capacitance, half the frequency."""
    short_db = response_db(plugged("guitar-electric-passive", "di-active.in", lead_m=2), "next.in")
    long_db = response_db(plugged("guitar-electric-passive", "di-active.in", lead_m=20), "next.in")
    assert mid_hz()[np.argmax(short_db)] > 1.6 * mid_hz()[np.argmax(long_db)]


def test_a_rolled_down_volume_knob_costs_treble_on_a_lead() -> None:
    """Common practice: with the level goes the presence, for the pot now stands before the lead."""
    full_db = response_db(plugged("guitar-electric-passive", "di-active.in"), "next.in")
    turned_db = response_db(
        plugged("guitar-electric-passive", "di-active.in", settings={"unit.volume": "rolled-down"}),
        "next.in",
    )
    lost_db = full_db - turned_db
    assert lost_db[OCTAVE[250]] == pytest.approx(-20 * np.log10(0.3), abs=1.5)
    assert lost_db[np.argmax(full_db)] > lost_db[OCTAVE[250]] + 6  # the resonance is gone


def test_a_volume_pot_turned_off_gives_nothing_and_does_not_break() -> None:
    solution = plugged("guitar-electric-passive", "di-active.in", figures={"out.volume": "0"})
    assert response_db(solution, "next.in")[OCTAVE[1000]] < -100


def test_a_tone_pot_loads_the_resonance() -> None:
    """Without it the peak stands higher: 500 kohm less across the coil."""
    with_tone_db = response_db(plugged("guitar-electric-passive", "di-active.in"), "next.in")
    without_db = response_db(
        plugged("guitar-electric-passive", "di-active.in", figures={"out.tone-pot": "100 Mohm"}),
        "next.in",
    )
    assert without_db.max() > with_tone_db.max() + 1


def test_noise_of_a_pickup_is_that_of_its_resistances() -> None:
    """At low frequencies the wire of 7 kohm beside the pots; at resonance far more."""
    solution = plugged("guitar-electric-passive", "di-active.in")
    island, solved = next(
        (island, solved)
        for island, solved in zip(solution.islands, solution.solved, strict=True)
        if "next.in" in island.sense_addresses
    )
    noise = solved.noise_v2_per_hz[island.sense_addresses.index("next.in")]
    parallel_ohm = 1 / (1 / 7e3 + 1 / 500e3 + 1 / 1e6)  # the tone pot's capacitor blocks at 20 Hz
    assert noise[0] == pytest.approx(4 * 1.380649e-23 * 293.15 * parallel_ohm, rel=0.03)
    assert noise.max() > 10 * noise[0]


def test_a_piezo_in_a_line_input_has_no_bass() -> None:
    """1.5 nF against 20 kohm: a corner of 5 kHz."""
    levels_db = response_db(
        plugged("guitar-acoustic-piezo", "mixer-compact.ch1.line"), "next.ch1.line"
    )
    assert levels_db[OCTAVE[250]] < levels_db[OCTAVE[4000]] - 18
