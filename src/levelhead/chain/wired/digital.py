"""Digital links: what leaves one item as numbers arrives at the other as the same numbers.

Full scale is full scale at both ends, whatever voltage a bit has; levels change in converters only.
A link carries when both ends speak the same format and enough of the voltage arrives. Whether the
cable is the right one for its length is no question of levels.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from levelhead.chain.copper.passages import Passages
from levelhead.circuit.limits.currents import Driver
from levelhead.quantity.bands import ONE_KHZ_BAND
from levelhead.rig.model import Rig

__all__ = ["LEAST_SHARE", "SIDES", "DigitalWays", "digital_inputs", "digital_ways"]

Whole = NDArray[np.int64]
Real = NDArray[np.float64]

SIDES: Final = ("left", "right")
LEAST_SHARE: Final = {  # of the sender's voltage, at which every receiver still reads
    "aes3": 0.1,  # 2 V peak to peak at least out, 0.2 V in: IEC 60958-4
    "spdif": 0.4,  # 0.5 V out, 0.2 V in: IEC 60958-3
}
_TERMINATED: Final = 2.0  # senders are specified into their own impedance: half of their emf


class _Link(NamedTuple):
    source: int
    target: int
    row: int
    least: float


@dataclass(frozen=True, slots=True, eq=False)
class DigitalWays:
    """Ways of numbers from output to input.

    Attributes
    ----------
    source, target : int, (ways,)
        Numbers of points.
    row : int, (ways,)
        Of the passage of the voltage, among those of all islands.
    least : float, (ways,)
        Share of the sender's voltage that has to arrive.
    """

    source: Whole
    target: Whole
    row: Whole
    least: Real

    def gains(self, passage_gain: NDArray[np.complex128]) -> Real:
        """One where enough of the voltage arrives, else nothing; (ways,)."""
        share = _TERMINATED * np.abs(passage_gain[self.row, ONE_KHZ_BAND])
        found: Real = (share >= self.least).astype(np.float64)
        return found


def digital_inputs(rig: Rig) -> Iterator[str]:
    """Addresses of both channels of every digital input that has a plug in it."""
    for port in rig.ports.values():
        if port.plan.is_digital and port.plan.role == "in" and port.link is not None:
            yield from (f"{port.address}.{side}" for side in SIDES)


def digital_ways(
    rig: Rig,
    drivers: Mapping[Driver, int],
    sockets: Mapping[str, int],
    passages: Sequence[Passages],
) -> DigitalWays:
    """From the channels of every digital output to those of the inputs of its format."""
    found = list(_links(rig, drivers, sockets, passages))
    columns = np.array([each[:3] for each in found], dtype=np.int64).reshape(-1, 3)
    least = np.array([each.least for each in found], dtype=np.float64)
    return DigitalWays(columns[:, 0], columns[:, 1], columns[:, 2], least)


def _links(
    rig: Rig,
    drivers: Mapping[Driver, int],
    sockets: Mapping[str, int],
    passages: Sequence[Passages],
) -> Iterator[_Link]:
    row = 0
    for island in passages:
        for sense in island.senses:
            for driver in island.drivers:
                if _is_read(rig, driver.port, sense):
                    least = LEAST_SHARE[rig.ports[sense].plan.carries]
                    for side in SIDES:
                        source = drivers.get(Driver(driver.port, side))
                        if source is not None:
                            yield _Link(source, sockets[f"{sense}.{side}"], row, least)
                row += 1


def _is_read(rig: Rig, output: str, sense: str) -> bool:
    """Whether an input reads the format of an output."""
    port, sender = rig.ports.get(sense), rig.ports[output]
    if port is None or not sender.plan.is_digital or port.plan.role != "in":
        return False
    return port.plan.carries == sender.plan.carries
