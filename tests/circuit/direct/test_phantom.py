"""Direct current through the copper: what lives on it, what stops it, what it is driven into."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from levelhead.circuit.direct.net import DirectNet
from levelhead.circuit.direct.phantom import phantom_flow, solve_phantom
from levelhead.show.model import Item, Link
from tests.bench import link, on_bench

FEED_OHM = 6800.0
PAIR_OHM = FEED_OHM / 2

GEAR = """
desk:
  label: Microphone input
  kind: box
  source: measured
  earth: mains
  controls: {phantom: {options: {"off": {}, "on": {in.phantom: 48 V}}, default: "on"}}
  ports: {in: {socket: xlr-f, role: in, circuit: balanced-input, impedance: 2 kohm,
               ground: 0.001 mohm}}
thirsty:
  label: Microphone
  kind: microphone
  source: measured
  powered-by: [{phantom: out, current: 4 mA, minimum: 12 V}]
  ports: {out: {socket: xlr-m, role: out, circuit: symmetrical-output, impedance: 150 ohm,
                coupling: 47 uF, ground: 0.001 mohm}}
coil:
  label: Dynamic microphone
  kind: microphone
  source: measured
  ports: {out: {socket: xlr-m, role: out, circuit: floating-output, impedance: 200 ohm,
                ground: 0.001 mohm}}
y-lead:
  label: Y lead
  kind: adaptor
  source: measured
  ends: {a: xlr-f, b: xlr-m, c: xlr-m}
  map: {a.1: [b.1, c.1], a.2: [b.2, c.2], a.3: [b.3, c.3]}
join:
  label: Y lead that joins two outputs
  kind: adaptor
  source: measured
  ends: {a: xlr-f, b: xlr-f, c: xlr-m}
  map: {c.1: [a.1, b.1], c.2: [a.2, b.2], c.3: [a.3, b.3]}
"""


def y_lead(cable: str, **ends: str) -> Link:
    """A lead with three ends."""
    return Link(ends, link(f"x.x > y.y: {cable}").via)


def load(name: str, current_ma: float, minimum_v: float) -> Item:
    """A microphone with figures of its own."""
    figures = {
        "powered-by.current": f"{current_ma:.4f} mA",
        "powered-by.minimum": f"{minimum_v:.4f} V",
    }
    return Item(name, "thirsty", figures=figures)


# ---------------------------------------------------------------- loads


@given(current_ma=st.floats(0.1, 30), minimum_v=st.floats(1, 47))
@settings(max_examples=40)
def test_one_load_on_its_load_line(current_ma: float, minimum_v: float) -> None:
    """Its current while the volts suffice, else the resistance that it is at its least volts."""
    items: dict[str, str | Item] = {"m": load("m", current_ma, minimum_v), "d": "desk"}
    arrival = on_bench(GEAR, items, ["m.out > d.in: bench-lead"]).phantom("m")
    at_full_v = 48 - 1e-3 * current_ma * PAIR_OHM
    load_ohm = minimum_v / (1e-3 * current_ma)
    starved_v = 48 * load_ohm / (load_ohm + PAIR_OHM)
    expected_v = at_full_v if at_full_v >= minimum_v else starved_v
    assert arrival.volts == pytest.approx(expected_v, abs=0.03)
    assert arrival.current_a == pytest.approx((48 - arrival.volts) / PAIR_OHM, rel=0.01, abs=1e-5)


@given(first_ma=st.floats(0.5, 12), second_ma=st.floats(0.5, 12))
@settings(max_examples=20)
def test_two_loads_on_one_supply(first_ma: float, second_ma: float) -> None:
    """Joined by a Y lead they stand at the same volts; what the supply gives is what they take."""
    loads = {"x": load("x", first_ma, 9), "y": load("y", second_ma, 9)}
    lead = y_lead("join", a="x.out", b="y.out", c="d.in")
    bench = on_bench(GEAR, {**loads, "d": "desk"}, [lead])
    first, second = bench.phantom("x"), bench.phantom("y")
    given_a = sum(leg.current_a for leg in bench.flow("d.in").legs)
    assert first.volts == pytest.approx(second.volts, abs=0.01)
    assert first.current_a + second.current_a == pytest.approx(given_a, rel=1e-4)
    assert given_a == pytest.approx((48 - first.volts) / PAIR_OHM, rel=1e-3)
    assert (first.volts >= first.needed_v) == (1e-3 * (first_ma + second_ma) * PAIR_OHM <= 39)


def test_a_meter_reads_ohms_with_the_feeds_off_and_leaves_the_net_as_it_was() -> None:
    """From leg to leg 6.8 kohm twice: the input itself is behind capacitors."""
    bench = on_bench(GEAR, {"m": "thirsty", "d": "desk"}, ["m.out > d.in: bench-lead"])
    net = DirectNet(bench.flow("d.in").island)
    one, other = (feed.node for feed in bench.flow("d.in").island.feeds)
    before = net.voltages((), is_starved=np.zeros(0, dtype=np.bool_))
    assert net.resistance_ohm(one, other) == pytest.approx(2 * FEED_OHM, rel=1e-6)
    after = net.voltages((), is_starved=np.zeros(0, dtype=np.bool_))
    assert after.tolist() == before.tolist()
    with pytest.raises(TypeError, match="does not support item assignment"):
        net.numbers[one] = 0  # type: ignore[index]


def test_no_supply_no_volts() -> None:
    bench = on_bench(
        GEAR, {"m": "thirsty", "d": "desk"}, ["m.out > d.in: bench-lead"],
        settings={"d.phantom": "off"},
    )  # fmt: skip
    arrival = bench.phantom("m")
    assert not arrival.is_fed
    assert arrival.volts == pytest.approx(0, abs=1e-6)
    assert arrival.current_a == pytest.approx(0, abs=1e-9)


def test_islands_without_loads_have_no_arrivals() -> None:
    bench = on_bench(GEAR, {"c": "coil", "d": "desk"}, ["c.out > d.in: bench-lead"])
    assert [solve_phantom(island) for island in bench.islands] == [[]]


# ---------------------------------------------------------------- more than one supply


@pytest.mark.parametrize(
    ("second", "left_v"), [("on", 48 - 4e-3 * PAIR_OHM / 2), ("off", 48 - 4e-3 * PAIR_OHM)]
)
def test_a_second_desk_helps_with_phantom_on_and_takes_nothing_with_it_off(
    second: str, left_v: float
) -> None:
    """Inputs stand behind blocking capacitors: only feed resistors pass direct current."""
    bench = on_bench(
        GEAR,
        {"m": "thirsty", "d": "desk", "e": "desk"},
        [y_lead("y-lead", a="m.out", b="d.in", c="e.in")],
        settings={"e.phantom": second},
    )
    assert bench.phantom("m").volts == pytest.approx(left_v, abs=0.02)


# ---------------------------------------------------------------- faults


@pytest.mark.parametrize(
    ("pins", "left_v"),
    [
        ({"2": "open"}, 48 - 4e-3 * FEED_OHM),
        ({"3": "open"}, 48 - 4e-3 * FEED_OHM),
        ({"1": "open"}, 0.0),
        ({"3": "1"}, 0.0),  # the legs meet inside: a short of one is a short of both
        ({"2": "3", "3": "2"}, 48 - 4e-3 * PAIR_OHM),
    ],
)
def test_a_fault_in_the_lead(pins: dict[str, str], left_v: float) -> None:
    bench = on_bench(
        GEAR, {"m": "thirsty", "d": "desk"}, [link("m.out > d.in: bench-lead", **pins)]
    )
    assert bench.phantom("m").volts == pytest.approx(left_v, abs=0.05)


def test_a_floating_coil_draws_nothing_until_one_leg_is_earthed() -> None:
    """7.06 mA through the winding when pin 3 is tied to pin 1; no current when it is not."""
    whole, shorted = (
        on_bench(GEAR, {"c": "coil", "d": "desk"}, [link("c.out > d.in: bench-lead", **pins)])
        for pins in ({}, {"3": "1"})
    )
    (idle,) = whole.flow("d.in").back_fed
    (driven,) = shorted.flow("d.in").back_fed
    assert idle.current_a == pytest.approx(0, abs=1e-9)
    assert 1e3 * driven.current_a == pytest.approx(48 / (FEED_OHM + 200) * 1e3, rel=1e-3)


# ---------------------------------------------------------------- transformers and capacitors


BOXES = """
isolator:
  label: Line isolator
  kind: box
  source: measured
  ports: {in: {socket: xlr-f, role: in}, out: {socket: xlr-m, role: out}}
  parts:
    - {transformer: [in.2, in.3, out.2, out.3], ratio: "1", magnetising: 20 H, primary: 80 ohm,
       secondary: 80 ohm}
blocker:
  label: Capacitors in both legs
  kind: box
  source: measured
  ports: {in: {socket: xlr-f, role: in}, out: {socket: xlr-m, role: out}}
  parts:
    - {capacitor: [in.2, out.2], value: 47 uF}
    - {capacitor: [in.3, out.3], value: 47 uF}
    - {wire: [in.1, out.1]}
"""


@pytest.mark.parametrize("box", ["isolator", "blocker"])
def test_what_passes_no_direct_current(box: str) -> None:
    bench = on_bench(
        GEAR + BOXES,
        {"m": "thirsty", "b": box, "d": "desk"},
        ["m.out > b.in: bench-lead", "b.out > d.in: bench-lead"],
    )
    assert bench.phantom("m").volts == pytest.approx(0, abs=1e-3)


def test_a_blocking_capacitor_stands_at_the_supply() -> None:
    bench = on_bench(
        GEAR + BOXES,
        {"c": "coil", "b": "blocker", "d": "desk"},
        ["c.out > b.in: bench-lead", "b.out > d.in: bench-lead"],
    )
    held = [each for each in bench.flow("d.in").charged if each.tag == "b.capacitor"]
    assert [abs(each.volts) for each in held] == pytest.approx([48, 48], abs=0.05)


def test_an_island_without_any_supply_is_still() -> None:
    bench = on_bench(
        GEAR, {"c": "coil", "d": "desk"}, ["c.out > d.in: bench-lead"],
        settings={"d.phantom": "off"},
    )  # fmt: skip
    flow = phantom_flow(bench.islands[0])
    assert flow.legs == ()
    assert all(each.volts == pytest.approx(0, abs=1e-9) for each in flow.back_fed)
