"""A test bench: gear types written as a user writes them, plugged together, and what arrives."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from textwrap import dedent
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray
from ruamel.yaml import YAML

from levelhead.circuit.direct.phantom import PhantomArrival, PhantomFlow, phantom_flow
from levelhead.circuit.drawn.islands import Island
from levelhead.circuit.placed.assembly import assemble
from levelhead.circuit.solving.solve import solve_networks
from levelhead.circuit.solving.solved import Solved
from levelhead.gear.book import GearBook, load_book
from levelhead.rig.build import build_rig
from levelhead.rig.model import Rig
from levelhead.show.lengths import checked_cable
from levelhead.show.model import Item, Link, Show

MIDDLE_HZ = (1000.0,)

# Parts of a test that no real gear has: contacts that cost nothing, leads without capacitance.
BENCH_GEAR = """
bench-lead:
  label: Straight lead of no length
  kind: adaptor
  source: measured
  ends: {a: xlr-f, b: xlr-m}
  map: {a.1: b.1, a.2: b.2, a.3: b.3}
bench-jack-lead:
  label: XLR to two-pole jack, pin 3 to the sleeve
  kind: adaptor
  source: measured
  ends: {a: xlr-f, b: jack-ts}
  map: {a.1: b.sleeve, a.2: b.tip, a.3: b.sleeve}
bench-open-lead:
  label: XLR to two-pole jack, pin 3 open
  kind: adaptor
  source: measured
  ends: {a: xlr-f, b: jack-ts}
  map: {a.1: b.sleeve, a.2: b.tip}
"""


@lru_cache(maxsize=256)
def types_of(text: str) -> dict[str, dict[str, Any]]:
    """Gear types as the YAML of a user's folder has them."""
    return YAML(typ="safe", pure=True).load(dedent(text)) or {}


def book_with(text: str) -> GearBook:
    """The shipped book, the leads of the bench, and these types."""
    return load_book().extended({**types_of(BENCH_GEAR), **types_of(text)})


def link(text: str, **pins: str) -> Link:
    """A link in one line: ``mic.out > desk.ch1.mic: cable-xlr 10 m, cable-xlr 5 m``."""
    ends, _, via = text.partition(":")
    start, _, end = ends.partition(">")
    cables = tuple(checked_cable(each.strip()) for each in via.split(",") if each.strip())
    named = {name.replace("_", "."): state for name, state in pins.items()}
    return Link({"a": start.strip(), "b": end.strip()}, cables, named)


@dataclass(frozen=True)
class Bench:
    """A rig on the bench, solved at some frequencies. [Hz]"""

    rig: Rig
    hz: NDArray[np.float64]

    @cached_property
    def islands(self) -> list[Island]:
        """Islands of the rig."""
        return assemble(self.rig)

    @cached_property
    def solved(self) -> list[Solved]:
        """The islands, solved."""
        return solve_networks([island.network() for island in self.islands], self.hz)

    def _at(self, port: str) -> tuple[Island, Solved]:
        return next(
            (island, solved)
            for island, solved in zip(self.islands, self.solved, strict=True)
            if port in island.senses
        )

    def gain(self, source: str, port: str) -> NDArray[np.complex128]:
        """Volts at a port for 1 V of an output's signal; a side is written behind the output."""
        island, solved = self._at(port)
        row = island.sense_addresses.index(port)
        found = np.zeros(len(self.hz), dtype=np.complex128)
        for column, drive in enumerate(island.drives):
            if source in (drive.port, f"{drive.port}.{drive.signal}"):
                found += drive.weight * solved.transfer[row, column]
        return found

    def gain_db(self, source: str, port: str) -> NDArray[np.float64]:
        """The same as a level. [dB]"""
        return 20 * np.log10(np.abs(self.gain(source, port)))

    def one_db(self, source: str, port: str) -> float:
        """The same where there is one frequency. [dB]"""
        return float(self.gain_db(source, port)[0])

    def flow(self, port: str) -> PhantomFlow:
        """Direct currents of the island of a port."""
        return phantom_flow(self._at(port)[0])

    def phantom(self, item: str) -> PhantomArrival:
        """What arrives at an item that lives on phantom power."""
        arrivals = (each for island in self.islands for each in phantom_flow(island).arrivals)
        return next(each for each in arrivals if each.item == item)


def on_bench(
    gear: str,
    items: Mapping[str, str | Item],
    links: Sequence[str | Link],
    *,
    settings: Mapping[str, str] | None = None,
    hz: ArrayLike = MIDDLE_HZ,
) -> Bench:
    """Plug items together.

    Parameters
    ----------
    gear
        Types of their own, as YAML.
    items
        Type of each item, or the item itself.
    links
        As ``link`` reads them.
    """
    show = Show(
        "bench",
        items={
            name: Item(name, type_) if isinstance(type_, str) else type_
            for name, type_ in items.items()
        },
        links=tuple(link(each) if isinstance(each, str) else each for each in links),
        settings=settings or {},
    )
    return Bench(build_rig(show, book_with(gear)), np.array(hz, dtype=np.float64))


def fan(ends: Mapping[str, str], cable: str) -> Link:
    """A lead with ends of its own."""
    return Link(dict(ends), (checked_cable(cable),))
