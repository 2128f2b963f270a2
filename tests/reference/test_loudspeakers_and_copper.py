"""Published values of amplifiers, loudspeakers and the copper between them, through rigs."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from levelhead.chain.solve import solve
from levelhead.gear.book import load_book
from levelhead.rig.build import build_rig
from levelhead.show.model import Cable, Item, Link, Show
from tests.bench import Bench, link, on_bench
from tests.reference.loudspeaker_bench import FOOT_M, gear


def line(load: str, core: str, length_m: float, *, amp: str = "0.01 mohm", boxes: int = 1) -> Bench:
    """Loudspeakers in a row on one cable; from box to box it is short."""
    names = [f"box{number}" for number in range(1, boxes + 1)]
    links = [link(f"a.out > box1.in: wire {length_m} m")]
    links += [link(f"{one}.link > {other}.in: wire 0.001 m") for one, other in pairwise(names)]
    return on_bench(gear(load, core, amp=amp), {"a": "amp", **dict.fromkeys(names, "box")}, links)


def share(bench: Bench) -> float:
    """Part of the amplifier's volts that arrives."""
    return abs(complex(bench.gain("a.out", "box1.in")[0]))


def load_ohm(bench: Bench) -> float:
    """What hangs on the amplifier. [ohm]"""
    current_a = bench.solved[0].source_current[0, 0, 0]
    return abs(complex(bench.gain("a.out", "box1.in")[0] / current_a))


def per_foot(ohm_per_1000_ft: float) -> str:
    """Copper as wire tables print it."""
    return f"{ohm_per_1000_ft / FOOT_M:.6f} mohm/m"


# ---------------------------------------------------------------- watts and volts


@pytest.mark.reference(
    "IEC 60268-5, sensitivity clauses: 2.83 V are 1 W in 8 ohm and 2 W in 4 ohm (CV-52)"
)
@pytest.mark.parametrize(("ohm", "watt"), [(8, 1.001), (4, 2.002)])
def test_2_83_volts_in_a_loudspeaker(ohm: float, watt: float) -> None:
    """From the current that the solved network draws."""
    bench = line(f"{ohm} ohm", "0.001 mohm/m", 0.01)
    current_a = 2.83 * abs(bench.solved[0].source_current[0, 0, 0])
    assert 2.83 * share(bench) * current_a == pytest.approx(watt, abs=0.005)


def played(sensitivity: str, watt: float) -> float:
    """Level at 1 m of the book's passive loudspeaker that is fed so many watts of 8 ohm."""
    book = load_book().extended({
        "tone-amp": {
            "label": "Amplifier with a tone inside",
            "kind": "amplifier",
            "source": "measured",
            "earth": "mains",
            "ports": {
                "out": {
                    "socket": "speaker-4",
                    "role": "loudspeaker",
                    "circuit": "power-output",
                    "impedance": "0.001 mohm",
                }
            },
            "path": {
                "from": [{
                    "generator": {
                        "level": f"{math.sqrt(watt * 8):.5f} V",
                        "peak-to-rms": "3.01 dB",
                        "spectrum": "pink",
                    }
                }],
                "stages": [{"stage": "power", "gain": "0 dB"}],
                "to": "out",
            },
        }
    })  # fmt: skip
    figures = {"driver.sensitivity.level": sensitivity, "in.impedance": "8 ohm"}
    show = Show(
        "loud",
        items={
            "a": Item("a", "tone-amp"),
            "b": Item("b", "loudspeaker-passive-12", figures=figures),
        },
        links=(Link({"a": "a.out", "b": "b.in"}, (Cable("cable-loudspeaker-4", 0.05),)),),
    )
    nominal = solve(build_rig(show, book)).levels("b.driver").nominal
    assert nominal is not None
    return nominal


@pytest.mark.reference(
    "teaching notes, sensitivity and power: 98 dB and 600 W, 1000 W; 90 dB and 8 W (CV-53 a); "
    "90 dB and 32 W, printed 105 (public-address notes); 92 dB and 160 W, printed 114 (magazine); "
    "85 dB and 100 W, printed 105 (calculator page)"
)
@pytest.mark.parametrize(
    ("sensitivity", "watt", "printed_db", "exact_db"),
    [
        ("98 dB SPL", 600, 126, 125.78),
        ("98 dB SPL", 1000, 128, 128.00),
        ("90 dB SPL", 8, 99, 99.03),
        ("90 dB SPL", 32, 105, 105.05),
        ("92 dB SPL", 160, 114, 114.04),
        ("85 dB SPL", 100, 105, 105.00),
    ],
)
def test_level_of_a_loudspeaker(
    sensitivity: str, watt: float, printed_db: float, exact_db: float
) -> None:
    """Its sensitivity is for 2.83 V, 0.005 dB over 1 W; 5 cm of cable cost less than that."""
    level_db = played(sensitivity, watt)
    assert level_db == pytest.approx(exact_db, abs=0.02)
    assert level_db == pytest.approx(printed_db, abs=0.5)


@pytest.mark.reference("voltage gain from input sensitivity: 0.775 V for 400 W in 4 ohm (CV-66)")
def test_gain_of_an_amplifier_from_its_sensitivity() -> None:
    """34.26 dB make 40 V of 0.775 V: an item's figure, carried to its loudspeaker socket."""
    figures = {
        "ch.power.gain": "34.26 dB",
        "ch.power.ceiling": "60 V",
        "ch.out.impedance": "0.001 mohm",
    }
    show = Show(
        "gain",
        items={
            "f": Item("f", "feed-line", figures={"generator.level": "0.775 V"}),
            "a": Item("a", "amplifier-two-channel", figures=figures),
            "b": Item("b", "loudspeaker-passive-12"),
        },
        links=(
            Link({"a": "f.out", "b": "a.ch1.in"}, (Cable("cable-xlr", 0.5),)),
            Link({"a": "a.ch1.out", "b": "b.in"}, (Cable("cable-loudspeaker", 1.0),)),
        ),
    )
    solution = solve(build_rig(show, load_book()))
    arriving, nominal = (solution.levels(each).nominal for each in ("a.ch1.in", "a.ch1.power"))
    assert arriving is not None
    assert nominal is not None
    full_db = 20 * math.log10(math.sqrt(400 * 4) / 0.775)
    assert nominal - arriving == pytest.approx(full_db, abs=0.01)


# ---------------------------------------------------------------- loads


@pytest.mark.reference("Ohm's law: 8 ohm loudspeakers in parallel (CV-57)")
@pytest.mark.parametrize(("boxes", "expected_ohm"), [(1, 8), (2, 4), (3, 2.667), (4, 2)])
def test_loudspeakers_in_parallel(boxes: int, expected_ohm: float) -> None:
    """Each on the second socket of the one before."""
    bench = line("8 ohm", "0.0001 mohm/m", 0.001, boxes=boxes)
    assert load_ohm(bench) == pytest.approx(expected_ohm, abs=0.001)


@pytest.mark.reference("Ohm's law: 8 ohm with 4 ohm is 2.667 ohm (CV-57)")
def test_unlike_loudspeakers_in_parallel() -> None:
    types = (
        gear("8 ohm", "0.0001 mohm/m")
        + """
    other:
      like: box
      label: Loudspeaker of 4 ohm
      parts: [{resistor: [in.1+, in.1-], value: 4 ohm}]
    """
    )
    items = {"a": "amp", "box1": "box", "box2": "other"}
    links = ["a.out > box1.in: wire 0.001 m", "box1.link > box2.in: wire 0.001 m"]
    assert load_ohm(on_bench(types, items, links)) == pytest.approx(2.667, abs=0.001)


@pytest.mark.reference("Ohm's law: four of 8 ohm, two in series twice in parallel, 8 ohm (CV-57)")
def test_loudspeakers_in_series_and_parallel() -> None:
    """A lead that sends the current through one loudspeaker and back through the next."""
    types = (
        gear("8 ohm", "0.0001 mohm/m")
        + """
    series-lead:
      label: Lead to two loudspeakers in series
      kind: adaptor
      source: measured
      ends: {a: speaker-4, b: speaker-4, c: speaker-4}
      map: {a.1+: b.1+, b.1-: c.1+, c.1-: a.1-}
    """
    )
    items = {"a": "amp", "box1": "box", "box2": "box"}
    pair = Link({"a": "a.out", "b": "box1.in", "c": "box2.in"}, (Cable("series-lead", None),))
    bench = on_bench(types, items, [pair])
    current_a = bench.solved[0].source_current[0, 0, 0]
    assert 1 / abs(current_a) == pytest.approx(16, abs=0.02)
    assert 1 / (2 * abs(current_a)) == pytest.approx(8, abs=0.01)  # two such pairs side by side


TAPS = [  # line volts, watts of a loudspeaker, how many, ohm of the line
    (70.7, 1, 1, 5000),
    (70.7, 2, 1, 2500),
    (70.7, 5, 1, 1000),
    (70.7, 10, 1, 500),
    (70.7, 6, 1, 833),
    (100, 10, 1, 1000),
    (100, 20, 1, 500),
    (100, 6, 1, 1667),
    (100, 6, 10, 166.7),
    (70.7, 10, 10, 50),
    (100, 10, 10, 100),
]


@pytest.mark.reference(
    "EIA constant-voltage practice (SE-106), U^2/P: taps and whole lines of 70.7 and 100 V (CV-54)"
)
@pytest.mark.parametrize(("volts", "watt", "count", "expected_ohm"), TAPS)
def test_load_of_a_line_of_taps(volts: float, watt: float, count: int, expected_ohm: float) -> None:
    """Each tap is the resistance that takes its watts from the line's volts; they add."""
    bench = line(f"{volts**2 / watt:.4f} ohm", "0.0001 mohm/m", 0.001, boxes=count)
    assert load_ohm(bench) == pytest.approx(expected_ohm, rel=1e-3)
    taken_w = volts**2 * abs(bench.solved[0].source_current[0, 0, 0])
    assert taken_w == pytest.approx(watt * count, rel=1e-3)


# ---------------------------------------------------------------- copper


@pytest.mark.reference(
    "installer's note, worked example 1: 300 m, 100 W, 100 V, 10 % of voltage, 0.0175 ohm mm2/m: "
    "0.945 mm2, '1 dB' (CV-55)"
)
def test_conductor_of_a_100_v_line() -> None:
    """10 % of the voltage are 0.915 dB; 10 % of the power would be half of that."""
    bench = line("100 ohm", f"{1e3 * 0.0175 / 0.945:.4f} mohm/m", 300)
    # the note takes the load's current at full volts, so its line is 1 % stiffer than asked
    assert share(bench) == pytest.approx(0.9, abs=0.002)
    assert 20 * math.log10(share(bench)) == pytest.approx(-0.915, abs=0.02)


@pytest.mark.reference(
    "installation manual, worked example: 25 V, 30 W, 13 ohm per 1000 ft of pair, 95 ft, 0.5 dB "
    "(CV-56)"
)
def test_length_of_a_25_v_line() -> None:
    """13 ohm is the loop: both conductors."""
    bench = line(f"{25**2 / 30:.4f} ohm", per_foot(13 / 2), 95 * FOOT_M)
    assert 20 * math.log10(share(bench)) == pytest.approx(-0.500, abs=0.005)


AWG = [  # gauge, ohm in 1000 ft, ohm in 1 km
    (10, 0.9989, 3.277),
    (12, 1.588, 5.210),
    (14, 2.525, 8.284),
    (16, 4.016, 13.17),
    (18, 6.385, 20.95),
]


@pytest.mark.reference("NBS wire tables, ASTM B258: 12, 14 and 16 AWG (CV-60)")
@pytest.mark.parametrize("gauge", [12, 14, 16])
def test_american_gauges_of_the_book(gauge: int) -> None:
    """Stranded wire may have some per cent more; the book has the table's own."""
    ohm_per_km = {number: ohm for number, _, ohm in AWG}[gauge]
    core = load_book().cable(f"cable-loudspeaker-{gauge}-awg").core_ohm_per_m
    assert core is not None
    assert 1e3 * core.value == pytest.approx(ohm_per_km, rel=0.01)


@pytest.mark.reference(
    "IEC 60228 Table 3, class 5 plain copper: 0.75, 1.5, 2.5 and 4 mm2 at 20 degrees C (CV-58)"
)
@pytest.mark.parametrize(
    ("type_id", "ohm_per_km"),
    [
        ("cable-loudspeaker-0-75", 26.0),
        ("cable-loudspeaker-1-5", 13.3),
        ("cable-loudspeaker", 7.98),
        ("cable-loudspeaker-4", 4.95),
        ("cable-loudspeaker-bare", 13.3),
        ("cable-loudspeaker-bare-4", 4.95),
        ("cable-loudspeaker-2-pole", 7.98),
        ("cable-loudspeaker-jack", 13.3),
    ],
)
def test_loudspeaker_cables_of_the_book(type_id: str, ohm_per_km: float) -> None:
    core = load_book().cable(type_id).core_ohm_per_m
    assert core is not None
    assert 1e3 * core.value == pytest.approx(ohm_per_km, rel=1e-3)


@pytest.mark.reference(
    "IEC 60228, correction factors 0.893, 0.833 and 0.781 at 50, 70 and 90 degrees C (CV-59): a "
    "hot cable, as a figure of its own"
)
@pytest.mark.parametrize(("factor", "celsius"), [(0.893, 50), (0.833, 70), (0.781, 90)])
def test_hot_copper(factor: float, celsius: float) -> None:
    """The book's cables are at 20 degrees C; the range that its source gives holds 40 of them."""
    assert 1 / (1 + 0.004 * (celsius - 20)) == pytest.approx(factor, abs=0.001)
    cold, hot = (line("4 ohm", f"{7.98 / part:.4f} mohm/m", 20) for part in (1.0, factor))
    ratio = (1 / share(hot) - 1) / (1 / share(cold) - 1)
    assert ratio == pytest.approx(1 / factor, rel=1e-3)


HUNDRED_FEET = [  # gauge, load, printed dB
    (16, 4, 1.65),
    (16, 8, 0.86),
    (16, 16, 0.44),
    (18, 4, 2.49),
    (18, 8, 1.33),
    (18, 16, 0.69),
]


@pytest.mark.reference(
    "how-to page, loss of 100 ft of 16 and 18 AWG into 4, 8 and 16 ohm (its copper has 4 % more "
    "than the wire tables: about 30 degrees C)"
)
@pytest.mark.parametrize(("awg", "ohm", "printed_db"), HUNDRED_FEET)
def test_loss_of_a_hundred_feet(awg: int, ohm: float, printed_db: float) -> None:
    """With the table's copper at 30 degrees C."""
    warm = {number: per_1000_ft for number, per_1000_ft, _ in AWG}[awg] * 1.04
    bench = line(f"{ohm} ohm", per_foot(warm), 100 * FOOT_M)
    assert -20 * math.log10(share(bench)) == pytest.approx(printed_db, abs=0.02)


@pytest.mark.reference("audio calculator's note: 1 ohm of cable costs about 1 dB into 8 ohm")
def test_one_ohm_of_cable() -> None:
    bench = line("8 ohm", "500 mohm/m", 1)
    assert -20 * math.log10(share(bench)) == pytest.approx(1.02, abs=0.005)


@pytest.mark.reference(
    "amplifier manual, worked example (address withheld, brand): 24.5 V on 160 ft of 10 AWG "
    "(0.00204 ohm/ft of pair) and 8 ohm: 72 W leave the amplifier, 69 W arrive"
)
def test_power_that_arrives() -> None:
    """The same page takes 12.27 W for 16 AWG: at the full 3.06 A, which no longer flows; 9.1 W."""
    bench = line("8 ohm", per_foot(2.04 / 2), 160 * FOOT_M)
    current_a = 24.5 * abs(bench.solved[0].source_current[0, 0, 0])
    assert 24.5 * current_a == pytest.approx(72, abs=0.5)
    assert current_a**2 * 8 == pytest.approx(69, abs=0.5)
    thin = line("8 ohm", per_foot(8.19 / 2), 160 * FOOT_M)
    thin_a = 24.5 * abs(thin.solved[0].source_current[0, 0, 0])
    assert thin_a**2 * 160 * 0.00819 == pytest.approx(9.07, abs=0.02)


@pytest.mark.reference(
    "maker's technical note on long runs (address withheld, brand): 1500 ft of 18 AWG, 153.6 ft an "
    "ohm, have 9.766 ohm each way, 19.53 ohm in the loop; 40 V on 8 ohm"
)
def test_fifteen_hundred_feet_of_thin_wire() -> None:
    """27.53 ohm in all: 11.6 V of 40 V arrive, 16.9 W of 200 W."""
    bench = line("8 ohm", per_foot(1000 / 153.6), 1500 * FOOT_M)
    current_a = 40 * abs(bench.solved[0].source_current[0, 0, 0])
    assert 40 / current_a == pytest.approx(8 + 19.53, abs=0.01)
    assert current_a**2 * 8 == pytest.approx(8 * (40 / 27.53) ** 2, rel=1e-3)


# ---------------------------------------------------------------- headphones


@pytest.mark.reference(
    "IEC 61938 (quoted by an electronics handbook page): headphone outputs of 5 V behind 120 ohm "
    "serve 8 to 600 ohm; watts evaluated"
)
@pytest.mark.parametrize(
    ("ohm", "milliwatt"), [(8, 12.2), (32, 34.6), (120, 52.1), (300, 42.5), (600, 28.9)]
)
def test_headphones_on_the_standard_output(ohm: float, milliwatt: float) -> None:
    """Whatever is plugged in gets 12 to 52 mW."""
    volts = 5 * share(line(f"{ohm} ohm", "0.0001 mohm/m", 0.001, amp="120 ohm"))
    assert 1e3 * volts**2 / ohm == pytest.approx(milliwatt, abs=0.05)


@pytest.mark.reference(
    "engineers' forum, headphones of 300 ohm with a peak of 600 ohm behind 30 ohm: 0.4 dB"
)
def test_peak_of_impedance_behind_an_output_resistance() -> None:
    usual, peak = (
        share(line(f"{ohm} ohm", "0.0001 mohm/m", 0.001, amp="30 ohm")) for ohm in (300, 600)
    )
    assert 20 * math.log10(peak / usual) == pytest.approx(0.4, abs=0.01)
