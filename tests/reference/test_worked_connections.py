"""Worked examples of connections, as tutorials and handbooks print them, through whole rigs."""

from __future__ import annotations

import math

import numpy as np
import pytest

from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.circuit.ground.mains import Cause
from levelhead.circuit.ground.network import solve_ground
from levelhead.circuit.hum.at_inputs import hum_at_inputs
from levelhead.gear.book import load_book
from levelhead.quantity.decibels import P_REFERENCE_PA
from levelhead.rig.build import build_rig
from levelhead.show.model import Cable, Item, Link, Show, Source
from tests.bench import on_bench
from tests.circuit.ground_rigs import rig_of

DBU_V = math.sqrt(0.6)

# ---------------------------------------------------------------- microphones


def miked(sensitivity: str, level_db_spl: float, *, gain_db: float = 20.0) -> Solution:
    """A vocal microphone of this sensitivity, in a field of this level, on a high input."""
    talker = load_book().plan("voice-talker", {}, {}).air
    assert talker is not None
    distance_m = talker.level_pa.value / (P_REFERENCE_PA * 10 ** (level_db_spl / 20))
    figures = {"capsule.sensitivity": sensitivity, "out.impedance": "1 ohm"}
    show = Show(
        "miked",
        items={
            "mic": Item("mic", "mic-vocal-dynamic", figures=figures),
            "pre": Item("pre", "preamp-mic", figures={"mic.impedance": "1 Mohm"}),
        },
        sources={"voice": Source("voice", "voice-talker", "mic", distance_m)},
        links=(Link({"a": "mic.out", "b": "pre.mic"}, (Cable("cable-xlr", 1.0),)),),
        settings={"pre.gain": f"{gain_db} dB"},
    )
    return solve(build_rig(show, load_book()))


def nominal(solution: Solution, address: str) -> float:
    level = solution.levels(address).nominal
    assert level is not None
    return level


@pytest.mark.reference(
    "certification course of the audiovisual trade, activity 'microphone preamplifier gain': 72 dB "
    "SPL, -54.5 and -35.0 dBV/Pa, 0 dBu wanted; gain = 94 - 72 - sensitivity - 2.2"
)
@pytest.mark.parametrize(("sensitivity", "gain_db"), [("1.884 mV/Pa", 74.3), ("17.78 mV/Pa", 54.8)])
def test_gain_that_a_presenter_needs(sensitivity: str, gain_db: float) -> None:
    """Printed: 60 dB do not suffice for the dynamic one, and do for the other."""
    lacking_db = -nominal(miked(sensitivity, 72), "pre.mic")
    assert lacking_db == pytest.approx(gain_db, abs=0.05)


@pytest.mark.reference(
    "engineers' pages on sensitivity: 28 mV/Pa at 117 dB SPL, printed 390 mV; -26 dBV/Pa and 0.1 "
    "V, printed 'about 100.0 dB SPL'; -40 dBV/Pa and 0.1 V, a calibrator's 114 dB SPL"
)
@pytest.mark.parametrize(
    ("sensitivity", "level_db_spl", "volts"),
    [("28 mV/Pa", 117, 0.390), ("50.12 mV/Pa", 100, 0.1), ("10 mV/Pa", 114, 0.1)],
)
def test_volts_of_a_microphone(sensitivity: str, level_db_spl: float, volts: float) -> None:
    """94 for 93.979 dB SPL and rounded volts: under 2 %."""
    found_v = DBU_V * 10 ** (nominal(miked(sensitivity, level_db_spl), "mic.capsule") / 20)
    assert found_v == pytest.approx(volts, rel=0.02)


@pytest.mark.reference(
    "definition, IEC 60268-4: 50, 20, 10, 2, 1.5 and 1 mV/Pa in dB re 1 V/Pa (CV-41)"
)
@pytest.mark.parametrize(
    ("sensitivity", "dbv"),
    [
        ("50 mV/Pa", -26.02),
        ("20 mV/Pa", -33.98),
        ("10 mV/Pa", -40.00),
        ("2 mV/Pa", -53.98),
        ("1.5 mV/Pa", -56.48),
        ("1 mV/Pa", -60.00),
    ],
)
def test_sensitivities_in_decibels(sensitivity: str, dbv: float) -> None:
    """At one pascal, which is 93.979 dB SPL."""
    at_one_pascal = nominal(miked(sensitivity, 20 * math.log10(1 / P_REFERENCE_PA)), "mic.capsule")
    assert at_one_pascal - 20 * math.log10(1 / DBU_V) == pytest.approx(dbv, abs=0.005)


# ---------------------------------------------------------------- distance


def at_distance(metres: float, *, at_1_m: str = "") -> float:
    """Level of the book's talker so far from a microphone. [dB SPL]"""
    show = Show(
        "far",
        items={"mic": Item("mic", "mic-vocal-dynamic")},
        sources={"voice": Source("voice", at_1_m or "voice-talker", "mic", metres)},
    )
    return nominal(solve(build_rig(show, load_book())), "voice")


@pytest.mark.reference(
    "inverse square, university page and industry notes: ten times as far is 20 dB less; 20 ft to "
    "60 ft -9.5 dB; 1 m to 2 m 6.02 dB; 99 dB are 93, 87 and 81 dB at 2, 4 and 8 m (CV-48)"
)
@pytest.mark.parametrize(
    ("near_m", "far_m", "less_db"),
    [
        (1, 10, 20.0),
        (20 * 0.3048, 60 * 0.3048, 9.54),
        (1, 2, 6.02),
        (1, 4, 12.04),
        (1, 8, 18.06),
    ],
)
def test_sound_falls_with_distance(near_m: float, far_m: float, less_db: float) -> None:
    assert at_distance(near_m) - at_distance(far_m) == pytest.approx(less_db, abs=0.02)


@pytest.mark.reference(
    "inverse square for an ideal point: 60 dB(A) at 1 m are 86.0 at 5 cm and 70.5 at 30 cm (CV-49)"
)
@pytest.mark.parametrize(("metres", "printed_db"), [(0.05, 86.0), (0.30, 70.5)])
def test_talker_at_a_microphone(metres: float, printed_db: float) -> None:
    """Counted from what the talker has at 1 m; real lips at 5 cm differ by some dB."""
    assert 60 + at_distance(metres) - at_distance(1.0) == pytest.approx(printed_db, abs=0.1)


# ---------------------------------------------------------------- sources behind capacitance


def corner_hz(source_ohm: float, pf_per_m: float, metres: float) -> float:
    """Where a lead takes 3 dB of a source. [Hz]"""
    gear = f"""
    source:
      label: Source
      kind: box
      source: measured
      ports: {{out: {{socket: jack-ts, role: out, circuit: single-ended-output,
              impedance: {source_ohm} ohm}}}}
    input:
      label: Input that loads nothing
      kind: box
      source: measured
      earth: mains
      ports: {{in: {{socket: jack-ts, role: in, circuit: unbalanced-input, impedance: 1 Gohm,
              capacitance: 0.001 pF}}}}
    lead:
      label: Screened lead
      kind: cable
      source: measured
      ends: {{a: jack-ts, b: jack-ts}}
      wire: {{core: 0.01 mohm/m, screen: 0.01 mohm/m, core-screen: {pf_per_m} pF/m}}
      map: {{a.tip: b.tip, a.sleeve: b.sleeve}}
    """
    hz = np.geomspace(1e3, 1e6, 20_001)
    bench = on_bench(gear, {"a": "source", "b": "input"}, [f"a.out > b.in: lead {metres} m"], hz=hz)
    return float(np.interp(10 * math.log10(2), -bench.gain_db("a.out", "b.in"), hz))


@pytest.mark.reference(
    "worked examples of leads: 100 ohm, 500 ft of 32 pF/ft, 'about 100 kHz' (live-sound notes); "
    "8 kohm and 1600 pF, 'about 12.4 kHz' (formula page); 10 kohm, 10 m of 100 pF/m, 'around 16 "
    "kHz' (audio calculator)"
)
@pytest.mark.parametrize(
    ("source_ohm", "pf_per_m", "metres", "printed_hz"),
    [
        (100, 32 / 0.3048, 500 * 0.3048, 100e3),
        (8e3, 80 / 0.3048, 20 * 0.3048, 12.4e3),
        (10e3, 100, 10, 16e3),
    ],
)
def test_treble_that_a_lead_takes(
    source_ohm: float, pf_per_m: float, metres: float, printed_hz: float
) -> None:
    assert corner_hz(source_ohm, pf_per_m, metres) == pytest.approx(printed_hz, rel=0.01)


def piezo_corner_hz(farad: str, input_ohm: str) -> float:
    """Where a bare piezo pickup is 3 dB down in the bass. [Hz]"""
    gear = f"""
    piezo:
      label: Contact pickup
      kind: box
      source: measured
      ports: {{out: {{socket: jack-ts, role: out, circuit: piezo-output, capacitance: {farad},
              resistance: 1 ohm}}}}
    input:
      label: Input
      kind: box
      source: measured
      earth: mains
      ports: {{in: {{socket: jack-ts, role: in, circuit: unbalanced-input,
              impedance: {input_ohm}, capacitance: 0.001 pF}}}}
    lead:
      label: Lead of no length
      kind: adaptor
      source: measured
      ends: {{a: jack-ts, b: jack-ts}}
      map: {{a.tip: b.tip, a.sleeve: b.sleeve}}
    """
    hz = np.geomspace(5, 500e3, 50_001)
    bench = on_bench(gear, {"a": "piezo", "b": "input"}, ["a.out > b.in: lead"], hz=hz)
    level_db = bench.gain_db("a.out", "b.in") - bench.gain_db("a.out", "b.in").max()
    return float(np.interp(-10 * math.log10(2), level_db, hz))


@pytest.mark.reference(
    "article on contact pickups: 15 nF into a line input of 50 kohm, '200 Hz'; into 7 kohm '1 kHz'"
)
@pytest.mark.parametrize(
    ("input_ohm", "exact_hz", "printed_hz"), [("50 kohm", 212, 200), ("7 kohm", 1516, 1000)]
)
def test_bass_that_a_low_input_takes(input_ohm: str, exact_hz: float, printed_hz: float) -> None:
    """Its second figure is its own formula rounded down by a third: 1 / (2 pi R C) is 1.5 kHz."""
    found_hz = piezo_corner_hz("15 nF", input_ohm)
    assert found_hz == pytest.approx(exact_hz, rel=0.01)
    assert found_hz == pytest.approx(printed_hz, rel=0.55)


# ---------------------------------------------------------------- pickups of the book


@pytest.mark.reference(
    "Lemme, 'The Secrets of Electric Guitar Pickups': with usual leads the resonance lies between "
    "2 and 5 kHz, its peak between 0 and 12 dB"
)
@pytest.mark.parametrize("instrument", ["guitar-electric-passive", "guitar-electric-single-coil"])
@pytest.mark.parametrize("metres", [3, 6])
def test_guitars_of_the_book_resonate_where_guitars_do(instrument: str, metres: float) -> None:
    """Into the 1 Mohm of an active DI box."""
    hz = np.geomspace(200, 12_000, 2000)
    bench = on_bench(
        "",
        {"g": instrument, "di": "di-active"},
        [f"g.out > di.in: cable-jack {metres} m"],
        hz=hz,
    )
    level_db = bench.gain_db("g.out", "di.in")
    assert 1_900 <= hz[np.argmax(level_db)] <= 5_100
    assert 0 <= level_db.max() - level_db[0] <= 12


# ---------------------------------------------------------------- rejection


@pytest.mark.reference(
    "installation guide (address withheld, brand): 200 mV between two chassis are -11.76 dBu; -90 "
    "dBu behind the input ask for 78.24 dB of common-mode rejection"
)
def test_rejection_that_200_millivolts_ask_for() -> None:
    """Whatever stands between two chassis comes out 78.24 dB lower, legs alike."""
    rig = rig_of(
        """
items:
  one: {type: symmetrical, supply: stage}
  two: {type: amp-balanced, supply: hall, figures: {in.cmrr: 78.24 dB}}
links: [{from: one.out, to: two.in, via: [cable-bare 20 m]}]
"""
    )
    ground = solve_ground(rig)
    row = next(
        row
        for row, source in enumerate(ground.sources)
        if source.cause is Cause.CIRCUITS and source.who == "1"
    )
    one_v, two_v = (complex(ground.zero_v[ground.row_of[item], row, 0]) for item in ("one", "two"))
    power = hum_at_inputs(ground)["two.in"].power
    heard_v = math.sqrt(power.shared[1, row, 0])
    lost_db = 20 * math.log10(abs(one_v - two_v) / heard_v)
    assert lost_db == pytest.approx(78.24, abs=0.2)
    left_dbu = 20 * math.log10(0.2 / DBU_V) - lost_db
    assert left_dbu == pytest.approx(-90.0, abs=0.2)


# ---------------------------------------------------------------- digital lines


def peak_to_peak(sender: str, receiver: str, cable: str) -> tuple[list[float], float]:
    """Volts peak to peak at a receiver of the book (least, usual, most), and its resistance."""
    book = load_book()
    bench = on_bench("", {"a": sender, "b": receiver}, [f"a.out > b.in: {cable}"])
    ceiling = book.plan(sender, {}, {}).blocks[0].plan.ports["out"].figures["ceiling"]
    share = abs(complex(bench.gain("a.out", "b.in")[0]))
    # a ceiling is the rms of a sine that reaches as far, with nothing plugged in
    open_v = (ceiling.low, ceiling.value, ceiling.high)
    arriving = [2 * math.sqrt(2) * volts * share for volts in open_v]
    return arriving, book.plan(receiver, {}, {}).blocks[0].plan.ports["in"].figures[
        "impedance"
    ].value


@pytest.mark.reference(
    "AES3 and IEC 60958-4: 2 to 7 V peak to peak across 110 ohm; receivers of 110 ohm (CV-36 a)"
)
def test_aes3_of_the_book() -> None:
    """The book's output on its own input: least and most are the standard's."""
    arriving, ohm = peak_to_peak("digital-out-aes3", "digital-in-aes3", "cable-digital-110 3 m")
    assert ohm == 110
    assert [arriving[0], arriving[2]] == pytest.approx([2, 7], rel=0.03)


@pytest.mark.reference("IEC 60958-3: 0.5 V peak to peak across 75 ohm (CV-36 b)")
def test_spdif_of_the_book() -> None:
    """The standard allows a fifth either way."""
    arriving, ohm = peak_to_peak("digital-out-spdif", "digital-in-spdif", "cable-coax-75 2 m")
    assert ohm == 75
    assert arriving == pytest.approx([0.4, 0.5, 0.6], rel=0.03)
