"""Published values of pickups and high-impedance sources, through gear book, cable and input."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from numpy.typing import ArrayLike, NDArray

from levelhead.circuit.placed.assembly import assemble
from levelhead.circuit.solving.solve import solve_networks
from levelhead.gear.book import GearBook, load_book
from levelhead.rig.build import build_rig
from levelhead.show.model import Cable, Item, Link, Show

INSTRUMENT: dict[str, Any] = {
    "label": "Instrument of the test",
    "kind": "instrument",
    "source": "measured",
    "path": {
        "from": [
            {"generator": {"level": "0 dBu", "peak-to-rms": "12 dB", "spectrum": "electric-guitar"}}
        ],
        "stages": [{"stage": "coil"}],
        "to": "out",
    },
}
INPUT: dict[str, Any] = {
    "label": "Input of the test",
    "kind": "box",
    "source": "measured",
    "earth": "mains",
    "path": {"from": "in", "stages": [{"stage": "buffer", "gain": "0 dB"}]},
}
LEAD: dict[str, Any] = {
    "label": "Lead of the test",
    "kind": "cable",
    "source": "measured",
    "ends": {"a": "jack-ts", "b": "jack-ts"},
    "map": {"a.tip": "b.tip", "a.sleeve": "b.sleeve"},
}


def book(port: dict[str, str], *, input_ohm: str, input_f: str, lead_f_per_m: str) -> GearBook:
    """The gear book with an instrument, a lead and an input of a test in it."""
    out = {"socket": "jack-ts", "role": "out", **port}
    into = {
        "socket": "jack-ts",
        "role": "in",
        "circuit": "unbalanced-input",
        "impedance": input_ohm,
        "capacitance": input_f,
    }
    wire = {"core": "0.1 mohm/m", "screen": "0.1 mohm/m", "core-screen": lead_f_per_m}
    return load_book().extended(
        {
            "instrument": {**INSTRUMENT, "ports": {"out": out}},
            "input": {**INPUT, "ports": {"in": into}},
            "lead": {**LEAD, "wire": wire},
        }
    )


def response_db(gear: GearBook, hz: ArrayLike, *, length_m: float) -> NDArray[np.float64]:
    """Level at the input against the emf of the instrument. [dB]"""
    show = Show(
        "pickup",
        items={"unit": Item("unit", "instrument"), "next": Item("next", "input")},
        links=(Link({"a": "unit.out", "b": "next.in"}, (Cable("lead", length_m),)),),
    )
    islands = assemble(build_rig(show, gear))
    island = next(each for each in islands if "next.in" in each.sense_addresses)
    row = island.sense_addresses.index("next.in")
    solution = solve_networks([island.network()], np.asarray(hz, dtype=np.float64))[0]
    level_db: NDArray[np.float64] = 20 * np.log10(np.abs(solution.transfer[row, 0]))
    return level_db


def pickup(inductance: str, resistance: str, capacitance: str, volume_pot: str) -> dict[str, str]:
    """A port with a pickup and nothing but a volume pot."""
    return {
        "circuit": "pickup-output",
        "inductance": inductance,
        "resistance": resistance,
        "capacitance": capacitance,
        "volume-pot": volume_pot,
    }


@pytest.mark.reference("Lemme, Electric Guitar: resonances of pickups, 2 to 5 kHz (CV-110)")
@pytest.mark.parametrize(
    ("inductance", "lead_m", "expected_hz"),
    [("4.5 H", 5.2, 3013), ("2.5 H", 3.7, 4643), ("2.2 H", 5.1, 4345)],
)
def test_pickup_and_lead_resonate(inductance: str, lead_m: float, expected_hz: float) -> None:
    """100 pF of coil and 100 pF/m of lead; with little loss the peak is at 1 / (2 pi sqrt(LC))."""
    gear = book(
        pickup(inductance, "100 ohm", "100 pF", "100 Mohm"),
        input_ohm="1 Gohm",
        input_f="0.001 pF",
        lead_f_per_m="100 pF/m",
    )
    hz = np.linspace(2000, 6000, 4001)
    levels_db = response_db(gear, hz, length_m=lead_m)
    assert hz[np.argmax(levels_db)] == pytest.approx(expected_hz, rel=0.01)


@pytest.mark.reference("Lemme, Electric Guitar; peak from a circuit simulator (CV-110)")
def test_pickup_on_its_pot_and_an_input() -> None:
    """7 kohm of wire, 620 pF, 400 kohm of pot and 400 kohm of input: +6.01 dB at 2867 Hz."""
    gear = book(
        pickup("4.5 H", "7 kohm", "100 pF", "400 kohm"),
        input_ohm="400 kohm",
        input_f="20 pF",
        lead_f_per_m="100 pF/m",
    )
    hz = np.linspace(2000, 4000, 2001)
    levels_db = response_db(gear, hz, length_m=5.0)
    assert levels_db.max() == pytest.approx(6.01, abs=0.02)
    assert hz[np.argmax(levels_db)] == pytest.approx(2867, rel=0.01)


@pytest.mark.reference("Duncan, 'Mating Microphones', magazine article (CV-40)")
def test_high_impedance_source_on_four_metres() -> None:
    """12 kohm and 4 m of 280 pF/m: -3 dB 'just above 12 kHz', 11.84 kHz computed."""
    gear = book(
        {"circuit": "single-ended-output", "impedance": "12 kohm"},
        input_ohm="1 Gohm",
        input_f="0.001 pF",
        lead_f_per_m="280 pF/m",
    )
    hz = np.linspace(10e3, 14e3, 4001)
    corner_hz = np.interp(10 * np.log10(2), -response_db(gear, hz, length_m=4.0), hz)
    assert corner_hz == pytest.approx(11.84e3, abs=20)


@pytest.mark.reference("Duncan, 'Mating Microphones', magazine article (CV-40)")
def test_coil_without_inductance_to_speak_of_is_the_same_source() -> None:
    """The pickup's circuit must become the plain one where its coil is only a resistance."""
    gear = book(
        pickup("1 uH", "12 kohm", "0.001 pF", "1 Gohm"),
        input_ohm="1 Gohm",
        input_f="0.001 pF",
        lead_f_per_m="280 pF/m",
    )
    hz = np.linspace(10e3, 14e3, 4001)
    corner_hz = np.interp(10 * np.log10(2), -response_db(gear, hz, length_m=4.0), hz)
    assert corner_hz == pytest.approx(11.84e3, abs=20)


@pytest.mark.reference("capacitive source into a resistance, textbook: 1 / (2 pi R C)")
@pytest.mark.parametrize(
    ("input_ohm", "corner_hz"), [("1 Mohm", 122.4), ("10 Mohm", 12.24), ("140 kohm", 874.5)]
)
def test_bare_piezo_loses_bass(input_ohm: str, corner_hz: float) -> None:
    """1 nF and 300 pF of lead: the middle falls by 2.28 dB, and 3.01 dB more at the corner."""
    gear = book(
        {"circuit": "piezo-output", "capacitance": "1 nF"},
        input_ohm=input_ohm,
        input_f="0.001 pF",
        lead_f_per_m="100 pF/m",
    )
    middle_db, at_corner_db = response_db(gear, [100 * corner_hz, corner_hz], length_m=3.0)
    assert middle_db == pytest.approx(20 * np.log10(1 / 1.3), abs=0.05)
    assert middle_db - at_corner_db == pytest.approx(3.01, abs=0.02)
