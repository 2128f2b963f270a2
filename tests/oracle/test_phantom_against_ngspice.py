"""Phantom power against ngspice: volts and currents of everything in the book that lives on it."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

from levelhead.circuit.assembly import Island, assemble
from levelhead.circuit.network import Kind
from levelhead.circuit.phantom import PhantomArrival, solve_phantom
from levelhead.gear.book import GearBook, load_book
from levelhead.rig.build import build_rig
from levelhead.show.model import Cable, Item, Link, Show

pytestmark = pytest.mark.oracle

LEAK_OHM = 1e12
LENGTHS_M = (1.0, 30.0, 300.0)


def powered_types(book: GearBook) -> list[tuple[str, str]]:
    """Types that want phantom power at an XLR, with the port."""
    items = [each for each in book.ids if book.entry(each).ends is None]
    plans = {type_id: book.plan(type_id, {}, {}) for type_id in items}
    return [
        (type_id, way.port)
        for type_id, plan in plans.items()
        for way in plan.powered_by
        if way.kind == "phantom" and way.port is not None
        and plan.block("").plan.ports[way.port].socket == "xlr-m"
    ]  # fmt: skip


def islands() -> Iterator[Island]:
    """Each of them on a short, a long and an absurd cable, and two that share one supply."""
    book = load_book()
    for type_id, port in powered_types(book):
        for length_m in LENGTHS_M:
            items = {"mic": Item("mic", type_id), "desk": Item("desk", "mixer-compact")}
            link = Link({"a": f"mic.{port}", "b": "desk.ch1.mic"}, (Cable("cable-xlr", length_m),))
            show = Show("one", items=items, links=(link,), settings={"desk.phantom": "on"})
            yield from (each for each in assemble(build_rig(show, book)) if each.loads)


def deck(island: Island) -> str:
    """The circuit at direct current: loads draw constant current above their least volts."""
    lines = ["phantom"]
    nodes = {0}
    for number, element in enumerate(island.elements):
        nodes |= {element.a, element.b}
        if element.kind is Kind.RESISTOR and element.direct:
            lines.append(f"Re{number} {element.a} {element.b} {element.value!r}")
    for number, winding in enumerate(island.windings):
        a, b, c, d = winding.nodes
        nodes |= set(winding.nodes)
        lines += [
            f"Rp{number} {a} {b} {max(winding.figures.primary_ohm, 0.1)!r}",
            f"Rs{number} {c} {d} {max(winding.figures.secondary_ohm, 0.1)!r}",
        ]
    for number, drive in enumerate(island.drives):
        nodes |= {drive.plus, drive.minus}
        lines.append(f"Rd{number} {drive.plus} {drive.minus} {drive.ohm!r}")
    for number, feed in enumerate(island.feeds):
        lines += [
            f"Vf{number} f{number} {feed.zero} {feed.volts!r}",
            f"Rf{number} f{number} {feed.node} {feed.ohm!r}",
        ]
    for number, load in enumerate(island.loads):
        plus, minus = load.legs
        mean = f"(0.5*(V({plus})+V({minus}))-V({load.ground}))"
        for leg in load.legs:
            volts = f"V({leg},{load.ground})/max({mean},{load.minimum.value!r})"
            half_a = load.current.value / 2
            lines.append(f"Bl{number}{leg} {leg} {load.ground} I={half_a!r}*{volts}")
        nodes |= {plus, minus, load.ground}
    lines += [f"Rleak{node} {node} 0 {LEAK_OHM!r}" for node in sorted(nodes - {0})]
    printed = " ".join(f"v({node})" for node in sorted(nodes - {0}))
    return "\n".join(
        [*lines, ".options gmin=1e-14 reltol=1e-8 abstol=1e-15 vntol=1e-10", ".control", "op",
         "set numdgt=12", f"print {printed}", "quit", ".endc", ".end", ""]
    )  # fmt: skip


def arriving_v(island: Island, folder: Path) -> float:
    """Volts at the first load, by ngspice."""
    (folder / "phantom.cir").write_text(deck(island), encoding="ascii")
    ran = subprocess.run(
        ["ngspice", "-n", "-b", "phantom.cir"],
        cwd=folder,
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    found = {
        int(node): float(value)
        for node, value in re.findall(r"^v\((\d+)\) = (\S+)", ran.stdout, re.MULTILINE)
    }
    load = island.loads[0]
    plus, minus = load.legs
    return (found[plus] + found[minus]) / 2 - found.get(load.ground, 0.0)


def test_volts_and_currents_agree(tmp_path: Path) -> None:
    """Every phantom-powered type of the book, within 0.1 % in volts and in current."""
    compared = 0
    for island in islands():
        (ours, *_) = solve_phantom(island)
        theirs_v = arriving_v(island, tmp_path)
        load = island.loads[0]
        theirs_a = load.current.value * min(1.0, theirs_v / load.minimum.value)
        assert ours.volts == pytest.approx(theirs_v, rel=1e-3)
        assert ours.current_a == pytest.approx(theirs_a, rel=1e-3)
        compared += 1
    assert compared >= 3 * 10


def test_a_load_below_its_minimum_settles(tmp_path: Path) -> None:
    """A current that 48 V through 3.4 kohm cannot give: both programs find the same resistance."""
    book = load_book()
    type_id, port = powered_types(book)[0]
    items = {"mic": Item("mic", type_id), "desk": Item("desk", "mixer-compact")}
    link = Link({"a": f"mic.{port}", "b": "desk.ch1.mic"}, (Cable("cable-xlr", 10.0),))
    show = Show("one", items=items, links=(link,), settings={"desk.phantom": "on"})
    (island,) = (each for each in assemble(build_rig(show, book)) if each.loads)
    (load,) = island.loads
    hungry = type(load)(
        load.item, load.port, load.legs, load.ground, load.current.at(20e-3), load.minimum.at(30.0)
    )
    island.loads[:] = [hungry]
    ours: PhantomArrival = solve_phantom(island)[0]
    assert ours.volts == pytest.approx(arriving_v(island, tmp_path), rel=1e-3)
    assert ours.volts < 30.0
    assert np.isfinite(ours.current_a)
