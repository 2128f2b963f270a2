"""Signal grounds that a switch at hand opens: what works with the switch moved is no failure.

Only switches of boxes that have no mains: a protective earth is never touched.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain

from levelhead.chain.noise.hum import ChainHum, solve_hum
from levelhead.chain.solve import solve
from levelhead.errors import LevelheadError
from levelhead.rig.build import build_rig
from levelhead.show.addresses import item_of
from levelhead.show.edits import Set, apply
from levelhead.verdicts.read.reading import Reading

__all__ = ["lifted"]


def lifted(reading: Reading, port: str) -> Iterator[tuple[str, str, ChainHum]]:
    """Hum with each free switch of the boxes before an input moved: control, position, hum.

    A switch is free that nobody locked; a box counts that has no mains, so that what is opened is
    the ground of the signal and nobody's protection.
    """
    rig, show = reading.rig, reading.rig.show
    for item in _boxes_before(reading, port):
        for address, control in rig.controls.items():
            if item_of(address) != item or control.kind != "switch" or address in show.locks:
                continue
            if address in rig.facts:
                continue
            for option in control.options:
                if option != rig.setting(address):
                    hum = _hum_with(reading, address, option)
                    if hum is not None:
                        yield address, option, hum


def _boxes_before(reading: Reading, port: str) -> list[str]:
    """Items without mains that a lead joins to this input."""
    rig = reading.rig
    links = (link.ports for link in rig.links if port in link.ports)
    items = dict.fromkeys(item_of(each) for each in chain.from_iterable(links))
    return [item for item in items if rig.items[item].plan.earth == "none"]


def _hum_with(reading: Reading, address: str, option: str) -> ChainHum | None:
    """Hum of the show with one switch moved; ``None`` where that makes no show."""
    rig = reading.rig
    try:
        moved = build_rig(apply(rig.show, [Set(address, option)])[0], rig.book, previous=rig)
        return solve_hum(solve(moved, previous=reading.solution))
    except LevelheadError:
        return None
