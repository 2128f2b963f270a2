"""Published pads and passive mixers, soldered as printed, between an output and an input."""

from __future__ import annotations

import math

import numpy as np
import pytest

from levelhead.show.model import Item, Link
from tests.bench import Bench, fan, link, on_bench


def ends(source_ohm: str, load_ohm: str) -> str:
    """A balanced output and a balanced input of these impedances."""
    return f"""
    source:
      label: Output
      kind: box
      source: measured
      earth: mains
      ports: {{out: {{socket: xlr-m, role: out, circuit: symmetrical-output,
              impedance: {source_ohm}}}}}
    load:
      label: Input
      kind: box
      source: measured
      earth: mains
      ports: {{in: {{socket: xlr-f, role: in, circuit: balanced-input, impedance: {load_ohm},
              common-mode: 1 Gohm, cmrr: 180 dB}}}}
    """


def box(*parts: str) -> str:
    """A box of parts between an XLR socket and an XLR plug."""
    listed = "\n".join(f"        - {{{part}}}" for part in (*parts, "wire: [in.1, out.1]"))
    return f"""
    pad:
      label: Pad
      kind: box
      source: measured
      ports: {{in: {{socket: xlr-f, role: in}}, out: {{socket: xlr-m, role: out}}}}
      parts:
{listed}
    """


def resistor(one: str, other: str, ohm: float) -> str:
    """A resistor of a box."""
    return f"resistor: [{one}, {other}], value: {ohm:.6g} ohm"


def padded(pad: str, source_ohm: str, load_ohm: str) -> Bench:
    return on_bench(
        ends(source_ohm, load_ohm) + pad,
        {"a": "source", "pad": "pad", "b": "load"},
        ["a.out > pad.in: bench-lead", "pad.out > b.in: bench-lead"],
    )


def straight_db(source_ohm: str, load_ohm: str) -> float:
    """Level without the pad."""
    bench = on_bench(
        ends(source_ohm, load_ohm), {"a": "source", "b": "load"}, ["a.out > b.in: bench-lead"]
    )
    return bench.one_db("a.out", "b.in")


def insertion_loss_db(pad: str, source_ohm: str, load_ohm: str) -> float:
    """What the pad takes between these two. [dB]"""
    through_db = padded(pad, source_ohm, load_ohm).one_db("a.out", "b.in")
    return straight_db(source_ohm, load_ohm) - through_db


def seen_ohm(bench: Bench) -> float:
    """Resistance that hangs on the output. [ohm]"""
    current_a = bench.solved[0].source_current[0, 0, 0]
    return abs(complex(bench.gain("a.out", "pad.in")[0] / current_a))


def tee(series_ohm: float, shunt_ohm: float, other_ohm: float | None = None) -> str:
    """T-pad: series, shunt, series; pin 3 goes through."""
    last_ohm = series_ohm if other_ohm is None else other_ohm
    return box(
        resistor("in.2", "inside.middle", series_ohm),
        resistor("inside.middle", "out.2", last_ohm),
        resistor("inside.middle", "in.3", shunt_ohm),
        "wire: [in.3, out.3]",
    )


# ---------------------------------------------------------------- matched pads of handbooks

T_600 = [  # dB, series, shunt
    (1, 34.5, 5201),
    (3, 102.6, 1703),
    (6, 199.4, 803.2),
    (10, 311.7, 421.6),
    (20, 490.9, 121.2),
    (40, 588.1, 12.0),
]


@pytest.mark.reference(
    "Ballou (ed.), Handbook for Sound Engineers, ch. Attenuators: T-pads for 600 ohm (from memory)"
)
@pytest.mark.parametrize(("loss_db", "series_ohm", "shunt_ohm"), T_600)
def test_t_pads_of_600_ohm(loss_db: float, series_ohm: float, shunt_ohm: float) -> None:
    """Between 600 and 600 ohm: the printed loss, and 600 ohm seen by what feeds it."""
    pad = tee(series_ohm, shunt_ohm)
    assert insertion_loss_db(pad, "600 ohm", "600 ohm") == pytest.approx(loss_db, abs=0.03)
    assert seen_ohm(padded(pad, "600 ohm", "600 ohm")) == pytest.approx(600, rel=0.005)


@pytest.mark.reference("encyclopedia of attenuators, 1 dB of 50 ohm: T 2.88 and 433.34 ohm")
def test_t_pad_of_50_ohm() -> None:
    pad = tee(2.88, 433.34)
    assert insertion_loss_db(pad, "50 ohm", "50 ohm") == pytest.approx(1.0, abs=0.005)
    assert seen_ohm(padded(pad, "50 ohm", "50 ohm")) == pytest.approx(50, rel=1e-3)


@pytest.mark.reference("encyclopedia of attenuators, 1 dB of 50 ohm: pi 869.55 and 5.77 ohm")
def test_pi_pad_of_50_ohm() -> None:
    pad = box(
        resistor("in.2", "in.3", 869.55),
        resistor("in.2", "out.2", 5.77),
        resistor("out.2", "out.3", 869.55),
        "wire: [in.3, out.3]",
    )
    assert insertion_loss_db(pad, "50 ohm", "50 ohm") == pytest.approx(1.0, abs=0.005)
    assert seen_ohm(padded(pad, "50 ohm", "50 ohm")) == pytest.approx(50, rel=1e-3)


@pytest.mark.reference("encyclopedia of attenuators, 1 dB of 50 ohm: bridged T 6.10 and 409.77 ohm")
def test_bridged_t_pad_of_50_ohm() -> None:
    """Two arms of 50 ohm, a bridge over both, a leg to the return."""
    pad = box(
        resistor("in.2", "inside.middle", 50),
        resistor("inside.middle", "out.2", 50),
        resistor("in.2", "out.2", 6.10),
        resistor("inside.middle", "in.3", 409.77),
        "wire: [in.3, out.3]",
    )
    assert insertion_loss_db(pad, "50 ohm", "50 ohm") == pytest.approx(1.0, abs=0.005)
    assert seen_ohm(padded(pad, "50 ohm", "50 ohm")) == pytest.approx(50, rel=1e-3)


@pytest.mark.reference(
    "Eldridge, 'The Ins and Outs of Resistor Pads', Electronics World, July 1959, Fig. 7: 10 dB of "
    "75 ohm, 39.0 and 52.7 ohm exact; printed with 33 and 51 ohm"
)
@pytest.mark.parametrize(
    ("series_ohm", "shunt_ohm", "loss_db", "seen"),
    [(39.0, 52.7, 10.0, 75.0), (33, 51, 9.44, 67.6)],
)
def test_t_pad_of_75_ohm(series_ohm: float, shunt_ohm: float, loss_db: float, seen: float) -> None:
    """Its own standard values are 0.6 dB and 10 % off: the reprint's remark says so too."""
    pad = tee(series_ohm, shunt_ohm)
    assert insertion_loss_db(pad, "75 ohm", "75 ohm") == pytest.approx(loss_db, abs=0.02)
    assert seen_ohm(padded(pad, "75 ohm", "75 ohm")) == pytest.approx(seen, rel=0.005)


# ---------------------------------------------------------------- line to microphone


@pytest.mark.reference("Engdahl, line level to microphone input: 10 kohm and 100 ohm, 40 dB")
@pytest.mark.parametrize(("load", "tolerance_db"), [("1 Mohm", 0.1), ("1.5 kohm", 0.7)])
def test_l_pad_of_40_db(load: str, tolerance_db: float) -> None:
    """Printed: right where the input is much higher than 100 ohm; 1.5 kohm cost 0.6 dB more."""
    pad = box(
        resistor("in.2", "out.2", 10e3), resistor("out.2", "out.3", 100), "wire: [in.3, out.3]"
    )
    lost_db = -padded(pad, "0.01 ohm", load).one_db("a.out", "b.in")
    assert lost_db == pytest.approx(40, abs=tolerance_db)


@pytest.mark.reference("Engdahl, line level to microphone input: 33 kohm and 100 ohm, 50 dB")
def test_l_pad_of_50_db() -> None:
    """Printed 50 dB, by its own formula 50.4."""
    pad = box(
        resistor("in.2", "out.2", 33e3), resistor("out.2", "out.3", 100), "wire: [in.3, out.3]"
    )
    lost_db = -padded(pad, "0.01 ohm", "1 Mohm").one_db("a.out", "b.in")
    assert lost_db == pytest.approx(50.4, abs=0.05)


@pytest.mark.reference("Engdahl, balanced taper pad of 50 dB for 600 ohm: 300, 300 and 4 ohm")
def test_balanced_taper_pad() -> None:
    """In each leg 300 ohm before and behind, 4 ohm across: 49.6 dB, printed 50."""
    pad = box(
        *(resistor(f"in.{pin}", f"inside.m{pin}", 300) for pin in (2, 3)),
        *(resistor(f"inside.m{pin}", f"out.{pin}", 300) for pin in (2, 3)),
        resistor("inside.m2", "inside.m3", 4),
    )
    assert insertion_loss_db(pad, "600 ohm", "600 ohm") == pytest.approx(50, abs=0.5)


@pytest.mark.reference(
    "bench column 'pads' and builders' practice: a U-pad of 20 dB for microphones has 680 ohm in "
    "each leg and 150 ohm across (common practice)"
)
@pytest.mark.parametrize(
    ("figures", "seen"),
    [({}, 2207), ({"series.value": "680 ohm", "shunt.value": "150 ohm"}, 1496)],
)
def test_pad_of_the_book_is_a_u_pad_of_20_db(figures: dict[str, str], seen: float) -> None:
    """The book's own (1 kohm, 240 ohm), and the usual parts (20.8 dB); 150 ohm to 1.5 kohm."""
    gear = ends("150 ohm", "1.5 kohm")
    bench = on_bench(
        gear,
        {"a": "source", "pad": Item("pad", "pad-20", figures=figures), "b": "load"},
        ["a.out > pad.in: bench-lead", "pad.out > b.in: bench-lead"],
    )
    lost_db = straight_db("150 ohm", "1.5 kohm") - bench.one_db("a.out", "b.in")
    assert lost_db == pytest.approx(20, abs=1.0)
    assert seen_ohm(bench) == pytest.approx(seen, rel=0.001)


# ---------------------------------------------------------------- passive mixing


def mixed(inputs: int, series_ohm: float, shunt_ohm: float) -> Bench:
    """Balanced outputs through a resistor in each leg onto one shunt; the last is the sum."""
    names = [f"in{number}" for number in range(1, inputs + 1)]
    ports = ", ".join(f"{name}: {{socket: xlr-f, role: in}}" for name in names)
    parts = [
        f"        - {{{resistor(f'{name}.{pin}', f'out.{pin}', series_ohm)}}}\n"
        for name in names
        for pin in (2, 3)
    ]
    parts += [f"        - {{wire: [{name}.1, out.1]}}\n" for name in names]
    gear = (
        ends("0.01 ohm", "1 Mohm")
        + f"""
    mixing:
      label: Passive mixer
      kind: box
      source: measured
      ports: {{{ports}, out: {{socket: xlr-m, role: out}}}}
      parts:
        - {{{resistor("out.2", "out.3", shunt_ohm)}}}
{"".join(parts)}"""
    )
    items = {f"a{number}": "source" for number in range(1, inputs + 1)}
    links: list[str | Link] = [
        f"{item}.out > mix.{name}: bench-lead" for item, name in zip(items, names, strict=True)
    ]
    return on_bench(
        gear, {**items, "mix": "mixing", "b": "load"}, [*links, "mix.out > b.in: bench-lead"]
    )


@pytest.mark.reference(
    "balanced passive mixing network, builders' thread: 10 kohm in each leg, shunt of (20 kohm / "
    "n) 200 / ((20 kohm / n) - 200) = 208 ohm for four inputs, loss about 40 dB"
)
def test_passive_mixer_of_four() -> None:
    bench = mixed(4, 10e3, 208)
    lost = [-bench.one_db(f"a{number}.out", "b.in") for number in range(1, 5)]
    assert lost == pytest.approx([40.0] * 4, abs=0.1)


@pytest.mark.reference(
    "Rayburn, 'Why not wye?' note, and sound engineers' forum: equal resistors to one input; one "
    "side alone loses 6 dB, both sides alike lose nothing"
)
def test_stereo_summed_by_two_resistors() -> None:
    """Left and right of a stereo socket by 475 ohm each."""
    gear = (
        ends("0.01 ohm", "1 Mohm")
        + """
    stereo:
      label: Stereo output
      kind: box
      source: measured
      earth: mains
      ports:
        out: {socket: mini-trs, role: out, signals: [left, right], circuit: single-ended-output,
              impedance: 0.01 ohm}
    sum-lead:
      label: Left and right by a resistor each to pin 2
      kind: cable
      source: measured
      ends: {a: mini-trs, b: xlr-m}
      wire: {core: 0.1 mohm/m, contact: 0.001 mohm}
      map: {a.sleeve: [b.1, b.3]}
      parts:
        - {resistor: [a.tip, b.2], value: 475 ohm}
        - {resistor: [a.ring, b.2], value: 475 ohm}
    """
    )
    bench = on_bench(gear, {"a": "stereo", "b": "load"}, ["a.out > b.in: sum-lead 1 m"])
    left, right = (bench.gain(f"a.out.{side}", "b.in")[0] for side in ("left", "right"))
    assert 20 * math.log10(abs(left)) == pytest.approx(-6.02, abs=0.02)
    assert 20 * math.log10(abs(left + right)) == pytest.approx(0.0, abs=0.02)


# ---------------------------------------------------------------- microphones on two desks


@pytest.mark.reference(
    "sound engineers' tutorials on microphone splitters: desks in parallel load the microphone "
    "together; 150 ohm on one and on two inputs of 1.5 kohm, evaluated (-0.83 and -1.58 dB)"
)
def test_parallel_split_loads_by_both_desks() -> None:
    gear = (
        ends("150 ohm", "1.5 kohm")
        + """
    y-lead:
      label: Y lead
      kind: adaptor
      source: measured
      ends: {a: xlr-f, b: xlr-m, c: xlr-m}
      map: {a.1: [b.1, c.1], a.2: [b.2, c.2], a.3: [b.3, c.3]}
    """
    )
    both = fan({"a": "a.out", "b": "b.in", "c": "c.in"}, "y-lead")
    bench = on_bench(gear, {"a": "source", "b": "load", "c": "load"}, [both])
    assert bench.one_db("a.out", "b.in") == pytest.approx(-1.584, abs=0.002)
    assert straight_db("150 ohm", "1.5 kohm") == pytest.approx(-0.828, abs=0.001)


@pytest.mark.reference(
    "Whitlock, 'Audio Transformers': a 1:1 winding between two desks passes the signal and stands "
    "in the way of the direct current of phantom power"
)
def test_isolated_split_passes_sound_and_no_phantom() -> None:
    """The book's splitter: 250 to 400 ohm source on the isolated side, and no volts through it."""
    gear = (
        ends("200 ohm", "2 kohm")
        + """
    fed:
      label: Input with phantom power
      kind: box
      source: measured
      earth: mains
      ports:
        in: {socket: xlr-f, role: in, circuit: balanced-input, impedance: 2 kohm,
             phantom: 48 V}
    """
    )
    links = [
        link("a.out > s.in: bench-lead"),
        link("s.direct > b.in: bench-lead"),
        link("s.isolated > c.in: bench-lead"),
    ]
    items = {"a": "source", "s": "splitter-passive", "b": "load", "c": "fed"}
    bench = on_bench(gear, items, links)
    direct_db, isolated_db = (bench.one_db("a.out", port) for port in ("b.in", "c.in"))
    assert isolated_db == pytest.approx(direct_db, abs=1.5)
    legs = bench.flow("c.in").legs
    assert [leg.current_a for leg in legs] == pytest.approx([0, 0], abs=1e-6)
    assert np.isfinite(direct_db)
