"""A few items of the gear book plugged together, for tests of boxes and leads."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

import numpy as np
import pytest
from numpy.typing import NDArray

from levelhead.chain.solution import Solution
from levelhead.chain.solve import solve
from levelhead.circuit.solving.solve import solve_networks
from levelhead.gear.book import GearBook, load_book
from levelhead.quantity.bands import mid_hz
from levelhead.rig.build import build_rig
from levelhead.show.model import Cable, Item, Link, Show

Plugged = tuple[str, str, str] | tuple[Mapping[str, str], str]
"""From, to (or all ends by name), and cables: ``cable-xlr 10 m, adaptor-xlr-reverse``."""

HZ: Final = (20, 40, 100, 1000, 10000, 16000)
BAND: Final = {hz: int(np.argmin(np.abs(mid_hz() - hz))) for hz in HZ}
BOOK: Final = load_book()


def plugged(
    items: Mapping[str, str],
    links: Sequence[Plugged],
    *,
    settings: Mapping[str, str] | None = None,
    figures: Mapping[str, Mapping[str, str]] | None = None,
    book: GearBook = BOOK,
) -> Solution:
    """A solved show of these items (name and type) and links."""
    own = figures or {}
    show = Show(
        "plugged",
        items={name: Item(name, each, figures=own.get(name, {})) for name, each in items.items()},
        links=tuple(_link(*each) for each in links),
        settings=settings or {},
    )
    rig = build_rig(show, book)
    assert rig.misfits == ()
    return solve(rig)


def _link(start: str | Mapping[str, str], *others: str) -> Link:
    *end, cables = others
    ends = {"a": start, "b": end[0]} if isinstance(start, str) else dict(start)
    return Link(ends, tuple(_cable(*each.split(" ", 1)) for each in cables.split(", ")))


def _cable(type_id: str, length: str | None = None) -> Cable:
    return Cable(type_id, None if length is None else float(length.removesuffix(" m")))


def transfers(
    solution: Solution, point: str, hz: NDArray[np.float64] | None = None
) -> dict[str, NDArray[np.complex128]]:
    """Volts at a point for 1 V of each output that reaches it, by port (and signal)."""
    for island, solved in zip(solution.islands, solution.solved, strict=True):
        if point in island.sense_addresses:
            row = island.sense_addresses.index(point)
            again = solved if hz is None else solve_networks([island.network()], hz)[0]
            found: dict[str, NDArray[np.complex128]] = {}
            for column, drive in enumerate(island.drives):
                name = drive.port if drive.signal is None else f"{drive.port}.{drive.signal}"
                part = drive.weight * again.transfer[row, column]
                found[name] = found.get(name, np.zeros_like(part)) + part
            return found
    pytest.fail(f"{point} is not plugged")


def gain_db(solution: Solution, point: str, output: str | None = None) -> NDArray[np.float64]:
    """Gain from an output's emf (the only one, unless named) to a point. [dB] (bands,)"""
    found = transfers(solution, point)
    wanted = found[output] if output is not None else next(iter(found.values()))
    level_db: NDArray[np.float64] = 20 * np.log10(np.abs(wanted))
    return level_db


def loading_ohm(solution: Solution, point: str, source_ohm: float) -> float:
    """Resistance that hangs on a source at 1 kHz; the capacitance beside it is left out. [ohm]"""
    share = next(iter(transfers(solution, point).values()))[BAND[1000]]
    return float(1 / ((1 - share) / (source_ohm * share)).real)
