"""Leads and adaptors: where they take a signal, what their copper costs, what their pins meet."""

from __future__ import annotations

import math
from typing import Any, Final

import numpy as np
import pytest

from levelhead.chain.solution import Solution
from levelhead.gear.connectors import CONNECTORS
from tests.gear.plugging import BAND, BOOK, gain_db, plugged, transfers


# An output of each kind and an unbalanced input of 10 kohm, as printed examples have them.
def example(socket: str, role: str, circuit: str, **figures: object) -> dict[str, Any]:
    """A type with one port, as an example prints it."""
    port = {"socket": socket, "role": role, "circuit": circuit, **figures}
    entry = {"label": "Example", "kind": "feed", "source": "handbook", "earth": "mains"}
    return {**entry, "ports": {"out" if role == "out" else "in": port}}


EXAMPLES: Final = BOOK.extended(
    {
        "symmetrical": example("xlr-m", "out", "symmetrical-output", impedance="1 ohm"),
        "cross-coupled": example(
            "xlr-m", "out", "cross-coupled-output", impedance="50 ohm", **{"common-mode": "20 kohm"}
        ),
        "transformer": example(
            "xlr-m",
            "out",
            "transformer-output",
            impedance="50 ohm",
            magnetising="100 H",
            **{"winding-capacitance": "300 pF"},
        ),
        "recorder": example(
            "phono", "in", "unbalanced-input", impedance="10 kohm", capacitance="1 pF"
        ),
        "camera": example(
            "mini-trs", "in", "unbalanced-input", impedance="10 kohm", signals=["left", "right"]
        ),
    }
)


# ---------------------------------------------------------------- leads


@pytest.mark.reference("Rayburn, 'Balanced to unbalanced'; Self, Small Signal Audio Design (CV-39)")
@pytest.mark.parametrize(
    ("output", "lead", "expected_db"),
    [
        ("symmetrical", "lead-xlr-phono-open", -6.02),
        ("symmetrical", "lead-xlr-phono", -6.02),
        ("cross-coupled", "lead-xlr-phono", -0.05),
        ("cross-coupled", "lead-xlr-phono-open", -12.04),  # CV-118, nodal analysis
        ("transformer", "lead-xlr-phono", -0.05),
    ],
)
def test_pin_3_tied_or_open_at_each_kind_of_output(
    output: str, lead: str, expected_db: float
) -> None:
    """Why 'leave pin 3 open' has no single answer."""
    solution = plugged(
        {"out": output, "rec": "recorder"},
        [("out.out", "rec.in", f"{lead} 0.1 m")],
        book=EXAMPLES,
    )
    assert gain_db(solution, "rec.in")[BAND[1000]] == pytest.approx(expected_db, abs=0.1)


@pytest.mark.reference("nodal analysis of a transformer with 300 pF to the screen (CV-118)")
@pytest.mark.parametrize(("hz", "expected_db"), [(100, -54), (1000, -34), (10000, -15)])
def test_a_transformer_with_pin_3_open_is_all_treble(hz: int, expected_db: float) -> None:
    """The way back leads through the winding's capacitance alone."""
    solution = plugged(
        {"out": "transformer", "rec": "recorder"},
        [("out.out", "rec.in", "lead-xlr-phono-open 0.01 m")],
        book=EXAMPLES,
    )
    assert gain_db(solution, "rec.in")[BAND[hz]] == pytest.approx(expected_db, abs=1)


@pytest.mark.reference("Duncan, 'Mating Microphones' (CV-40)")
def test_a_high_impedance_microphone_loses_its_top_in_4_m() -> None:
    """12 kohm and 4 m at 280 pF/m: 3 dB down at 11.84 kHz (printed 'just above 12 kHz')."""
    solution = plugged(
        {"mic": "feed-line-unbalanced", "amp": "di-active-piezo"},
        [("mic.out", "amp.in", "cable-jack-280 4 m")],
        figures={
            "mic": {"out.impedance": "12 kohm"},
            "amp": {"in.impedance": "1000 Mohm", "in.capacitance": "0.001 pF"},
        },
    )
    hz = np.linspace(11e3, 13e3, 2001)
    level_db = 20 * np.log10(np.abs(next(iter(transfers(solution, "amp.in", hz).values()))))
    corner = hz[np.argmin(np.abs(level_db + 20 * math.log10(math.sqrt(2))))]
    assert corner == pytest.approx(11840, abs=20)


@pytest.mark.reference("20 lg(RL/(RL+Rw)) with IEC 60228 class 5 copper (CV-61)")
@pytest.mark.parametrize(
    ("cable", "load", "expected_db"),
    [
        ("cable-loudspeaker", "8 ohm", -0.340),
        ("cable-loudspeaker", "4 ohm", -0.667),
        ("cable-loudspeaker-1-5", "8 ohm", -0.559),
        ("cable-loudspeaker-1-5", "4 ohm", -1.085),
    ],
)
def test_20_m_of_loudspeaker_cable(cable: str, load: str, expected_db: float) -> None:
    """The plugs' contacts, 10 mohm in all, are ours on top of the printed loop.

    The printed values are those of a resistor: the cabinet's curve is made flat.
    """
    flat = {"in.minimum": str(1 / 0.95), "in.peak": "1", "in.rise": "1"}
    solution = plugged(
        {"amp": "amplifier-two-channel", "box": "loudspeaker-passive-12"},
        [("amp.ch1.out", "box.in", f"{cable} 20 m")],
        figures={"amp": {"ch.out.impedance": "0.0001 ohm"}, "box": {"in.impedance": load, **flat}},
    )
    contacts_db = 0.01 * 8.686 / float(load.split(maxsplit=1)[0])
    level = gain_db(solution, "box.in")[BAND[1000]]
    assert level == pytest.approx(expected_db - contacts_db, abs=0.004)


@pytest.mark.reference("IEC 60228 Table 3, class 5 (CV-58); ASTM B258 (CV-60)")
@pytest.mark.parametrize(
    ("cable", "printed_ohm_per_km"),
    [
        ("cable-loudspeaker-0-75", 26.0),
        ("cable-loudspeaker-1-5", 13.3),
        ("cable-loudspeaker", 7.98),
        ("cable-loudspeaker-4", 4.95),
        ("lead-loudspeaker-bare", 7.98),
        ("cable-loudspeaker-bare", 13.3),
        ("cable-loudspeaker-bare-4", 4.95),
        ("cable-loudspeaker-16-awg", 4.016 / 0.3048),
        ("cable-loudspeaker-14-awg", 2.525 / 0.3048),
        ("cable-loudspeaker-12-awg", 1.588 / 0.3048),
    ],
)
def test_copper_is_that_of_the_tables(cable: str, printed_ohm_per_km: float) -> None:
    """Ours are printed with three digits; warm copper of 40 degrees lies within the range."""
    core = BOOK.cable(cable).core_ohm_per_m
    assert core is not None
    assert core.value * 1000 == pytest.approx(printed_ohm_per_km, rel=0.004)
    assert core.low <= printed_ohm_per_km / 1000 <= core.high
    assert core.high >= printed_ohm_per_km / 1000 * (1 + 0.0039 * 15)


def middle_db(lead: str) -> float:
    """What both sides of a laptop have in common, at a mic input. [dB]"""
    solution = plugged(
        {"pc": "laptop", "desk": "mixer-compact"}, [("pc.phones", "desk.ch1.mic", lead)]
    )
    sides = np.array(list(transfers(solution, "desk.ch1.mic").values()))
    return float(20 * np.log10(abs(sides.mean(axis=0)[BAND[1000]])))


def test_a_stereo_plug_wired_to_one_xlr_loses_the_middle() -> None:
    """Left on pin 2, right on pin 3: the middle is taken away from itself. Resistors add it up."""
    assert middle_db("lead-mini-xlr 2 m") < -40
    assert middle_db("lead-mini-sum-xlr 2 m") > -12


def two_outputs_on(lead: str) -> Solution:
    """Two outputs of 100 ohm and an input of 20 kohm."""
    return plugged(
        {"one": "feed-line", "two": "feed-line", "box": "loudspeaker-powered-12"},
        [({"first": "one.out", "second": "two.out", "b": "box.in"}, lead)],
        figures={
            "one": {"out.impedance": "100 ohm"},
            "two": {"out.impedance": "100 ohm"},
            "box": {"in.impedance": "20 kohm"},
        },
    )


def test_a_summing_lead_keeps_the_middle() -> None:
    """Ohm's law: 2.1 kohm beside 2.1 kohm on 20 kohm lose 0.4 dB."""
    found = transfers(two_outputs_on("lead-y-sum 5 m"), "box.in")
    middle = (found["one.out"] + found["two.out"])[BAND[1000]]
    expected_db = -20 * math.log10(1 + 1050 / 20e3)
    assert 20 * math.log10(abs(middle)) == pytest.approx(expected_db, abs=0.05)


@pytest.mark.parametrize(
    ("lead", "low", "high"), [("lead-y-sum", 0.9, 1), ("lead-y-xlr-join", 0, 0.05)]
)
def test_outputs_that_differ_keep_their_volts_behind_resistors_only(
    lead: str, low: float, high: float
) -> None:
    """Joined straight they short one another."""
    found = transfers(two_outputs_on(f"{lead} 5 m"), "one.out")
    kept = abs((found["one.out"] - found["two.out"])[BAND[1000]])
    assert low <= kept <= high


def test_a_turnaround_lets_two_outputs_meet() -> None:
    solution = plugged(
        {"one": "feed-line", "two": "feed-line"},
        [("one.out", "two.out", "cable-xlr 5 m, adaptor-xlr-turnaround")],
    )
    assert set(transfers(solution, "one.out")) == {"one.out", "two.out"}


@pytest.mark.parametrize("side", ["left", "right"])
def test_a_line_into_a_camera_comes_down_in_the_lead(side: str) -> None:
    """10 kohm from each leg of a floating output, 100 ohm at the one: 46 dB, both sides alike."""
    solution = plugged(
        {"out": "cross-coupled", "cam": "camera"},
        [("out.out", "cam.in", "lead-xlr-mini-pad 3 m")],
        book=EXAMPLES,
    )
    assert gain_db(solution, f"cam.in.{side}")[BAND[1000]] == pytest.approx(-46.3, abs=0.5)


# ---------------------------------------------------------------- every cable and adaptor

CABLES: Final = [each for each in BOOK.ids if BOOK.entry(each).ends is not None]


@pytest.mark.parametrize("type_id", CABLES)
def test_a_cable_joins_pins_that_its_ends_have(type_id: str) -> None:
    cable = BOOK.cable(type_id)
    places = [place for join in cable.joins for place in join]
    places += [place for part in cable.parts for place in part.pins if place[0] != "inside"]
    assert all(pin in CONNECTORS[cable.ends[end]].pins for end, pin in places)
    assert {end for end, _ in places} == set(cable.ends)


@pytest.mark.parametrize("type_id", CABLES)
def test_cables_have_copper_and_adaptors_have_not(type_id: str) -> None:
    """What has a length has a resistance; what has none is said to be an adaptor."""
    is_cable = BOOK.entry(type_id).kind == "cable"
    assert (BOOK.cable(type_id).core_ohm_per_m is not None) == is_cable


@pytest.mark.parametrize("type_id", CABLES)
def test_every_end_of_a_cable_meets_something(type_id: str) -> None:
    """A plug that goes into no socket of the book would be dead weight."""
    taken = {plug for connector in CONNECTORS.values() for plug in connector.fits}
    cable = BOOK.cable(type_id)
    assert all(plug in taken or end in cable.sockets for end, plug in cable.ends.items())


def test_labels_of_boxes_and_cables_are_their_own() -> None:
    kinds = {"box", "cable", "adaptor"}
    labels = [BOOK.entry(each).label for each in BOOK.ids if BOOK.entry(each).kind in kinds]
    assert len(labels) == len(set(labels))
