"""Direct current against ngspice: phantom power, bias, and what either drives through coils.

Many islands go into one netlist and one process.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

import numpy as np
import pytest

from levelhead.circuit.direct.phantom import phantom_flow
from levelhead.circuit.network import Kind
from levelhead.circuit.placed.assembly import Island, assemble
from levelhead.gear.book import GearBook, load_book
from levelhead.rig.build import build_rig
from levelhead.show.model import Cable, Item, Link, Show
from tests.oracle.gear_book_rigs import random_show
from tests.oracle.spice import operating_point

pytestmark = pytest.mark.oracle

LEAK_OHM = 1e12
JOINED_OHM = 0.01  # both legs of a load meet in a centre tap
LENGTHS_M = (1.0, 30.0, 300.0)
WITHIN = 1e-3  # of volts and of currents
ROUNDING_V, ROUNDING_A = 1e-5, 1e-8  # where nothing flows both programs print rounding
AT_ONCE = 15  # in one process
RANDOM = 20  # random rigs for each seed
FIRST, MORE = 48, range(49, 59)
SEEDS = [FIRST, *(pytest.param(seed, marks=pytest.mark.long) for seed in MORE)]


def powered_types(book: GearBook) -> list[tuple[str, str, str]]:
    """Types that want phantom power at an XLR or bias at a mini jack, with the port."""
    items = [each for each in book.ids if book.entry(each).ends is None]
    plans = {type_id: book.plan(type_id, {}, {}) for type_id in items}
    return [
        (type_id, way.port, plan.block("").plan.ports[way.port].socket)
        for type_id, plan in plans.items()
        for way in plan.powered_by
        if way.port is not None
        and plan.block("").plan.ports[way.port].socket in ("xlr-m", "mini-ts")
    ]


def islands() -> Iterator[Island]:
    """Each of them on a short, a long and an absurd cable."""
    book = load_book()
    for type_id, port, socket in powered_types(book):
        is_xlr = socket == "xlr-m"
        to, cable = ("desk.ch1.mic", "cable-xlr") if is_xlr else ("rec.mic", "cable-mini")
        for length_m in LENGTHS_M:
            items = {
                "mic": Item("mic", type_id),
                "desk": Item("desk", "mixer-compact"),
                "rec": Item("rec", "recorder-minijack"),
            }
            link = Link({"a": f"mic.{port}", "b": to}, (Cable(cable, length_m),))
            show = Show("one", items=items, links=(link,), settings={"desk.phantom": "on"})
            yield from (each for each in assemble(build_rig(show, book)) if each.loads)


def name(net: int, node: int) -> str:
    """A node of one island among those of a deck."""
    return f"n{net}_{node}" if node else "0"


def netlist(net: int, island: Island) -> Iterator[str]:
    """An island at direct current."""
    yield from passive_parts(net, island)
    yield from supplies_and_loads(net, island)
    # where its search begins; what it finds is its own (many kinks at once are too much for it)
    for node, volts in phantom_flow(island).node_v.items():
        if node:
            yield f".nodeset v({name(net, node)})={volts!r}"
    for node in sorted(nodes_of(island)):
        yield f"Rleak{net}_{node} {name(net, node)} 0 {LEAK_OHM!r}"


def passive_parts(net: int, island: Island) -> Iterator[str]:
    """Resistors, and coils as the wire that they are."""
    for number, element in enumerate(island.elements):
        ends = f"{name(net, element.a)} {name(net, element.b)}"
        if element.kind is Kind.RESISTOR and element.direct:
            yield f"Re{net}_{number} {ends} {element.value!r}"
        elif element.kind is Kind.INDUCTOR:
            yield f"Rl{net}_{number} {ends} 0.1"
    for number, winding in enumerate(island.windings):
        a, b, c, d = (name(net, node) for node in winding.nodes)
        yield f"Rp{net}_{number} {a} {b} {max(winding.figures.primary_ohm, 0.1)!r}"
        yield f"Rs{net}_{number} {c} {d} {max(winding.figures.secondary_ohm, 0.1)!r}"
    for number, drive in enumerate(island.drives):
        ends = f"{name(net, drive.plus)} {name(net, drive.minus)}"
        yield f"Rd{net}_{number} {ends} {drive.ohm!r}"


def supplies_and_loads(net: int, island: Island) -> Iterator[str]:
    """Feeds; loads draw constant current above their least volts."""
    for number, feed in enumerate(island.feeds):
        yield f"Vf{net}_{number} f{net}_{number} {name(net, feed.zero)} {feed.volts!r}"
        yield f"Rf{net}_{number} f{net}_{number} {name(net, feed.node)} {feed.ohm!r}"
    for number, load in enumerate(island.loads):
        tap, ground = f"t{net}_{number}", name(net, load.ground)
        for side, leg in enumerate(load.legs):
            yield f"Rt{net}_{number}_{side} {name(net, leg)} {tap} {JOINED_OHM!r}"
        volts = f"V({tap},{ground})/max(V({tap},{ground}),{load.minimum.value!r})"
        yield f"Bl{net}_{number} {tap} {ground} I={load.current.value!r}*{volts}"


def nodes_of(island: Island) -> set[int]:
    """Every node of an island but the reference."""
    return set(phantom_flow(island).node_v) - {0}


def simulated(found: Sequence[Island]) -> list[dict[int, float]]:
    """Volts by node of each island, by one ngspice."""
    lines = [line for net, island in enumerate(found) for line in netlist(net, island)]
    names = [f"n{net}_{node}" for net, island in enumerate(found) for node in nodes_of(island)]
    volts = operating_point(lines, names)
    return [
        {0: 0.0} | {node: volts[f"n{net}_{node}"] for node in nodes_of(island)}
        for net, island in enumerate(found)
    ]


def assert_agree(found: Sequence[Island]) -> None:
    """Volts of every load and leg, current of every output and supply."""
    for start in range(0, len(found), AT_ONCE):
        some = found[start : start + AT_ONCE]
        for island, volts in zip(some, simulated(some), strict=True):
            assert_one_agrees(island, volts)


def assert_one_agrees(island: Island, volts: Mapping[int, float]) -> None:
    """One island against the volts that ngspice has at its nodes."""
    flow = phantom_flow(island)
    for load, arrival in zip(island.loads, flow.arrivals, strict=True):
        plus, minus = load.legs
        theirs_v = (volts[plus] + volts[minus]) / 2 - volts[load.ground]
        theirs_a = load.current.value * min(1.0, max(theirs_v, 0) / load.minimum.value)
        assert arrival.volts == pytest.approx(theirs_v, rel=WITHIN, abs=ROUNDING_V)
        assert arrival.current_a == pytest.approx(theirs_a, rel=WITHIN, abs=ROUNDING_A)
    for feed, leg in zip(island.feeds, flow.legs, strict=True):
        at_v = volts[feed.node] - volts[feed.zero]
        theirs_a = (feed.volts - at_v) / feed.ohm
        assert leg.current_a == pytest.approx(theirs_a, rel=WITHIN, abs=ROUNDING_A)
    for drive, back in zip(island.drives, flow.back_fed, strict=True):
        theirs_a = (volts[drive.plus] - volts[drive.minus]) / drive.ohm
        rounding_a = ROUNDING_V / drive.ohm + ROUNDING_A
        assert back.current_a == pytest.approx(theirs_a, rel=WITHIN, abs=rounding_a)


def test_volts_and_currents_agree() -> None:
    """Every type of the book that lives on phantom power or bias, within 0.1 %."""
    found = list(islands())
    assert len(found) >= 3 * 12
    assert_agree(found)


def test_a_load_below_its_minimum_settles() -> None:
    """A current that 48 V through 3.4 kohm cannot give: both programs find the same resistance."""
    island = next(islands())
    (load,) = island.loads
    hungry = replace(load, current=load.current.at(20e-3), minimum=load.minimum.at(30.0))
    starved = replace(island, loads=[hungry])
    assert_agree([starved])
    assert phantom_flow(starved).arrivals[0].volts < 30.0


def random_islands(seed: int) -> Iterator[Island]:
    """Islands of random rigs on which phantom power or bias is on, some with a pin astray."""
    book, rng = load_book(), np.random.default_rng(seed)
    made = 0
    while made < RANDOM:
        show = random_show(book, rng)
        if show is None:
            continue
        settings = {
            **show.settings,
            **{f"{name}.phantom": "on" for name, item in show.items.items()
               if "phantom" in book.entry(item.type).controls},
        }  # fmt: skip
        rig = build_rig(replace(show, settings=settings), book)
        for island in assemble(rig):
            if island.feeds and made < RANDOM:
                made += 1
                yield island


@pytest.mark.parametrize("seed", SEEDS)
def test_random_rigs_agree(seed: int) -> None:
    """Outputs of all kinds on supplies of all kinds: currents back into them within 0.1 %."""
    assert_agree(list(random_islands(seed)))
