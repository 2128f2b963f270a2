"""What hangs on an output, and what one output stage sees of all that hangs on its outputs.

Taps of one transformer, or a low-impedance output beside them, are one stage: each output alone may
keep to its rating while all of them ask for more watts than there are. As shares of the rating they
add: ``least load / load``, watts over rated watts.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Self

import numpy as np
from numpy.typing import NDArray

from levelhead.circuit.drawn.islands import Island
from levelhead.circuit.loads.beyond import beyond_ohm
from levelhead.circuit.loads.loading import Output, terminal_response
from levelhead.circuit.solving.solved import Solved
from levelhead.quantity.bands import ONE_KHZ_BAND, mid_hz
from levelhead.rig.model import RigPort
from levelhead.verdicts.amplifiers.reached import loads_on
from levelhead.verdicts.read.reading import Reading

__all__ = ["Hung", "asked_ohm", "by_stage", "own_driver", "rated_bands", "rated_w"]

_FROM_HZ, _TO_HZ = 95.0, 11e3  # range for which line loudspeakers are rated, from memory


@dataclass(frozen=True, eq=False)
class Hung:
    """A plugged output, what it is made for, and what hangs on it alone.

    Attributes
    ----------
    rated_ohm
        Least load, or load of the tap. [ohm]
    real_ohm, bare_ohm : complex, (bands,)
        Impedance of what hangs there, with the copper of its leads and without. [ohm]
    counts : bool, (bands,)
        Bands in which loudspeakers keep to what they are rated for.
    """

    island: Island
    solved: Solved
    port: RigPort
    rated_ohm: float
    real_ohm: NDArray[np.complex128]
    bare_ohm: NDArray[np.complex128]
    counts: NDArray[np.bool_]

    @classmethod
    def on(
        cls, reading: Reading, at: tuple[Island, Solved, RigPort], rated_ohm: float
    ) -> Self | None:
        """What hangs on an output; ``None`` where no loudspeaker is on its wires."""
        island, solved, port = at
        ports = [reading.rig.ports[each] for each in island.pins if each in reading.rig.ports]
        every = [each for each in ports if each.plan.is_load]
        if not every:
            return None
        real, bare = (
            beyond_ohm(island, port, mid_hz(), with_leads=with_leads)
            for with_leads in (True, False)
        )
        loads = loads_on(reading.rig, island, port) or every
        return cls(island, solved, port, rated_ohm, real, bare, rated_bands(loads))

    def shares(self, ohm: NDArray[np.complex128]) -> NDArray[np.complex128]:
        """Load that is asked over that which is rated; out of range as at 1 kHz; (bands,)."""
        share = self.rated_ohm / ohm
        return np.where(self.counts, share, share[ONE_KHZ_BAND])


def rated_bands(loads: Iterable[RigPort]) -> NDArray[np.bool_]:
    """Bands in which loudspeakers keep to their rated impedance: none below their own resonance.

    A horn plays from some 300 Hz; what its transformer takes below that no rating counts.
    """
    resonances = (each.plan.figure("resonance") or 0.0 for each in loads)
    from_hz = max(_FROM_HZ, min(resonances, default=0.0))
    counts: NDArray[np.bool_] = (mid_hz() > from_hz) & (mid_hz() < _TO_HZ)
    return counts


def asked_ohm(hung: Sequence[Hung], *, with_leads: bool) -> NDArray[np.float64]:
    """Load that the first of some outputs of one stage would see if all hung on it; (bands,)."""
    shares = sum(each.shares(each.real_ohm if with_leads else each.bare_ohm) for each in hung)
    asked: NDArray[np.float64] = hung[0].rated_ohm / np.abs(shares)
    return asked


def by_stage(reading: Reading, every: Iterable[Hung]) -> list[list[Hung]]:
    """Outputs that one and the same stage drives together, the one with most on it first."""
    found: dict[tuple[object, ...], list[Hung]] = {}
    for each in every:
        driver = own_driver(reading, each.island, each.port)
        name = (each.port.address,) if driver is None else (id(each.island), *driver)
        found.setdefault(name, []).append(each)
    for hung in found.values():
        hung.sort(key=lambda each: -abs(each.shares(each.bare_ohm)[ONE_KHZ_BAND]))
    return list(found.values())


def own_driver(reading: Reading, island: Island, port: RigPort) -> Output | None:
    """The only stage of the item on these wires; ``None`` where there are several, as of a pair."""
    own = {
        (each.port, each.signal)
        for each in island.drives
        if reading.rig.ports[each.port].item.id == port.item.id
    }
    return own.pop() if len(own) == 1 else None


def rated_w(reading: Reading, hung: Sequence[Hung]) -> float | None:
    """Power of the stage into what its outputs are rated for; ``None`` without a ceiling. [W]

    That of a line is told by its volts, whatever the line sags to under too much.
    """
    driver = own_driver(reading, hung[0].island, hung[0].port)
    if driver is None or driver not in reading.own_ceilings_v:
        return None
    ceiling_v = reading.own_ceilings_v[driver]
    return max(_rated_v(each, driver, ceiling_v) ** 2 / each.rated_ohm for each in hung)


def _rated_v(each: Hung, driver: Output, ceiling_v: float) -> float:
    line_v = each.port.plan.figure("line-voltage")
    if line_v is not None:
        return line_v
    per_volt = terminal_response(each.island, each.solved, driver, each.port.address)
    return ceiling_v * abs(complex(per_volt[ONE_KHZ_BAND]))
