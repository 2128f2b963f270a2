"""What a person takes who touches gear: leakage now, and the volts after one insulation fault.

The body joins the 0 V of an item to earth, which is where an earthed microphone, a radiator and a
wet floor are. Leakages add in phase, for all hang on one mains. No fault of insulation can be seen
from here; what one *would* do is computed.

References
----------
.. [1] IEC TS 60479-1:2018, Table 11 and Figure 20: perception from 0.5 mA, letting go up to some
   10 mA, ventricular fibrillation possible from some 30 mA on (alternating current, hand to feet).
.. [2] IEC 60990: 2 kohm stand for a body; wet hands and lips go down to 1 kohm (from memory).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from levelhead.circuit.ground.mains import BODY_OHM, HARMONICS, LEAKAGES, Mains
from levelhead.circuit.ground.network import Ground
from levelhead.gear.figures import Figure

__all__ = ["Touch", "alone_a", "touch_of", "usual_leakage"]

_JOINED_OHM: Final = 1e3  # a screen or a strip, not the capacitance of a winding


@dataclass(frozen=True, eq=False)
class Touch:
    """What stands on the 0 V of items at mains frequency, for whoever touches them."""

    ground: Ground

    @cached_property
    def _ohm(self) -> NDArray[np.complex128]:
        """Impedances of the items at mains frequency, (items, items). [ohm]"""
        items = len(self.ground.items)
        whole = np.linalg.inv(self.ground.admittance_s[0])
        found: NDArray[np.complex128] = whole[:items, :items]
        return found

    @cached_property
    def _leaks(self) -> list[int]:
        sources = enumerate(self.ground.sources)
        return [row for row, source in sources if source.cause in LEAKAGES]

    def to_earth_ohm(self, item: str) -> float:
        """Between the 0 V of an item and earth. [ohm]"""
        row = self.ground.row_of[item]
        return float(abs(self._ohm[row, row]))

    def leak_a(self, item: str, *, body_ohm: float = BODY_OHM) -> float:
        """Rms leakage through a body from an item to earth, up to the 20th harmonic. [A]

        So far the network of [2] weighs all frequencies alike.
        """
        row, admittance_s = self.ground.row_of[item], self.ground.admittance_s[:HARMONICS]
        unit = np.zeros((*admittance_s.shape[:2], 1), dtype=np.complex128)
        unit[:, row] = 1.0
        own_ohm = np.linalg.solve(admittance_s, unit)[:, row, 0]
        open_v = np.abs(self.ground.zero_v[row, self._leaks, :HARMONICS]).sum(axis=0)
        return float(np.linalg.norm(open_v / np.abs(own_ohm + body_ohm)))

    def leaks_of(self, item: str) -> Iterator[tuple[str, Figure, float]]:
        """Who leaks into what an item is joined to, the leakage, and its share of the whole."""
        volts = np.abs(self.ground.zero_v[self.ground.row_of[item], self._leaks, 0])
        total_v = float(volts.sum())
        for row, volt in zip(self._leaks, volts.tolist(), strict=True):
            source = self.ground.sources[row]
            if total_v > 0:
                yield source.who, source.figure, volt / total_v

    def fault_v(self, item: str) -> float:
        """Volts on an item once its line conductor touches the chassis. [V]

        The line has the resistance of the earth conductors beside it.
        """
        mains = self.ground.mains
        line_ohm = mains.cord.value + mains.strip_lead.value + mains.circuit_wire.value
        row = self.ground.row_of[item]
        own_ohm = complex(self._ohm[row, row])
        return mains.volts * abs(own_ohm / (own_ohm + line_ohm))

    def groups(self) -> Iterator[tuple[str, ...]]:
        """Items whose 0 V are one to a hand that touches them: joined by screens or a strip."""
        own = np.diagonal(self._ohm)
        between = np.abs(own[:, None] + own - self._ohm - self._ohm.T)
        left = list(range(len(own)))
        while left:
            group = [row for row in left if between[left[0], row] < _JOINED_OHM]
            left = [row for row in left if row not in group]
            yield tuple(self.ground.items[row] for row in group)


@lru_cache(maxsize=8)
def touch_of(ground: Ground) -> Touch:
    """The same for one ground network, worked out once."""
    return Touch(ground)


def alone_a(leakage: Figure, *, is_earthed_type: bool, mains: Mains) -> float:
    """Leakage through a body from an item that nothing is plugged into. [A]

    From the mains through its filter capacitor; through the windings of a two-pin supply half the
    mains drives it.
    """
    open_v = mains.volts if is_earthed_type else mains.volts / 2
    spectrum = mains.class_1_spectrum if is_earthed_type else mains.class_2_spectrum
    farad = mains.leakage_farad(leakage.value, spectrum, open_v)
    hz = mains.lines_hz[:HARMONICS]
    reactance_ohm = 1 / (2j * np.pi * hz * farad)
    by_line = open_v * spectrum[:HARMONICS] / np.abs(reactance_ohm + BODY_OHM)
    return float(np.linalg.norm(by_line))


def usual_leakage(mains: Mains, *, is_earthed_type: bool) -> Figure:
    """What is usual of a supply, where nothing is known of it. [A]"""
    return mains.class_1 if is_earthed_type else mains.class_2
