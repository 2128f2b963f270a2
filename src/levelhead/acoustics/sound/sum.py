"""What several ways of one signal make together: more, less, or simply both.

Two ways add with the cross term ``2 a b cos(2 pi f tau) sinc(B tau)``, which is exact for a band of
equal density. Nobody knows a place to the centimetre nor the air to the degree: over what is not
known the cross term averages to ``exp(-(2 pi f sigma)^2 / 2)`` of itself, so it fades with
frequency, and the faster the more the two ways differ in direction and time.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray

from levelhead.acoustics.sound.air import Air
from levelhead.acoustics.sound.loudspeaker import Loudspeaker
from levelhead.acoustics.sound.paths import Paths
from levelhead.quantity.bands import edges_hz, mid_hz, width_hz

__all__ = ["USUAL_DOUBT", "Doubt", "summed_power"]

FADED: Final = 1e-3  # cross terms below this share of themselves change nothing: 0.01 dB
SOONEST_S: Final = 1e-7  # ways closer than this are together
PLACES_AT_ONCE: Final = 512  # so that a block of work stays in the processor's cache
LEFT_OF_NOTHING: Final = 1e-4  # no notch is deeper than 40 dB below the sum of powers


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """What is not known of places and of the air: standard deviations, `from memory`.

    Parameters
    ----------
    ear_m : float
        Where a head is in its seat, in each direction. [m]
    loudspeaker_m : float
        Where a loudspeaker stands, along the line of sight. [m]
    temperature_k : float
        Of the air. [K]
    """

    ear_m: float = 0.1
    loudspeaker_m: float = 0.03
    temperature_k: float = 2.0


USUAL_DOUBT: Final = Doubt()
Known: TypeAlias = dict[tuple[int, int], NDArray[np.float32]]
"""What is left of cross terms of two ways at a block of places, (places, bands)."""


def summed_power(
    paths: Paths, loudspeakers: Sequence[Loudspeaker], *, air: Air, doubt: Doubt = USUAL_DOUBT
) -> NDArray[np.float64]:
    """Mean-square pressure of all ways together at each place, (places, 31). [Pa^2]

    Loudspeakers of one signal interfere, and so do the ways of each; different signals add as
    power. Ways whose signals are of opposite polarity take the cross term with a minus.
    """
    ways = paths.time_s.shape[1]
    signals = np.repeat([each.signal for each in loudspeakers], ways)
    signs = np.repeat([-1.0 if each.inverted else 1.0 for each in loudspeakers], ways)
    flat = _Flat.of(paths, air, doubt, _alike(loudspeakers, ways))
    total = paths.power.sum((0, 1))
    with_others = [np.flatnonzero(signals == name) for name in dict.fromkeys(signals.tolist())]
    crossed = np.zeros((total.shape[0], flat.bands), dtype=np.float32)
    for start in range(0, len(total), PLACES_AT_ONCE):
        block = slice(start, start + PLACES_AT_ONCE)
        known: Known = {}
        for group in with_others:
            for first in range(len(group) - 1):
                rest = group[first + 1 :]
                crossed[block] += flat.crossed(block, group[first], rest, signs, known)
    floor = LEFT_OF_NOTHING * total
    total[:, : flat.bands] += crossed
    return np.asarray(np.maximum(total, floor))


def _alike(loudspeakers: Sequence[Loudspeaker], ways: int) -> tuple[int, ...]:
    """A number for each way: equal where place and delay are, whatever signal goes there."""
    numbers: dict[Hashable, int] = {}
    found = []
    for each in loudspeakers:
        for way in range(ways):
            key = each.at_m.tobytes(), each.delay_s, way
            found.append(numbers.setdefault(key, len(numbers)))
    return tuple(found)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Flat:
    """Ways of all loudspeakers in one row, with what their cross terms need.

    Single precision: a phase of 10,000 radians is known to a thousandth.
    """

    pressure: NDArray[np.float32]  # (ways, places, bands)
    time_s: NDArray[np.float64]  # (ways, places)
    towards: NDArray[np.float64]  # (ways, places, 3)
    ear_s: float
    known_s2: float
    per_second: float
    alike: tuple[int, ...]  # (ways,)

    @property
    def bands(self) -> int:
        """Bands in which anything is left of cross terms."""
        return int(self.pressure.shape[-1])

    @classmethod
    def of(cls, paths: Paths, air: Air, doubt: Doubt, alike: tuple[int, ...]) -> _Flat:
        """Root of the power, in bands whose cross terms do not fade even side by side."""
        known_s2 = 2.0 * (doubt.loudspeaker_m / air.speed_m_per_s) ** 2
        with np.errstate(divide="ignore"):  # all is known: no band fades
            last_hz = np.sqrt(-2.0 * np.log(FADED)) / (2 * np.pi * np.sqrt(known_s2))
        bands = max(1, int(np.count_nonzero(mid_hz() <= last_hz)))
        count = paths.time_s.shape[0] * paths.time_s.shape[1]
        return cls(
            pressure=np.sqrt(paths.power[..., :bands], dtype=np.float32).reshape(count, -1, bands),
            time_s=paths.time_s.reshape(count, -1),
            towards=paths.towards.reshape(count, -1, 3),
            ear_s=doubt.ear_m / air.speed_m_per_s,
            known_s2=known_s2,
            per_second=doubt.temperature_k / air.temperature_k / 2.0,
            alike=alike,
        )

    def crossed(
        self,
        block: slice,
        one: int,
        others: NDArray[np.int64],
        signs: NDArray[np.float64],
        known: Known,
    ) -> NDArray[np.float32]:
        """Cross terms of one way with others at a block of places, (places, bands).

        ``known`` holds what is kept between two ways at this block: many signals share them.
        """
        new = {self._pair(one, other): other for other in others.tolist()}
        new = {pair: other for pair, other in new.items() if pair not in known}
        if new:
            rows = np.array(list(new.values()))
            tau_s = np.abs(self.time_s[rows, block] - self.time_s[one, block])
            known.update(zip(new, self._kept(block, one, rows, tau_s), strict=True))
        total = np.zeros_like(self.pressure[one, block])
        for other in others.tolist():
            weight = np.float32(2.0 * signs[one] * signs[other])
            total += weight * known[self._pair(one, other)] * self.pressure[other, block]
        return np.asarray(total * self.pressure[one, block])

    def _pair(self, one: int, other: int) -> tuple[int, int]:
        """Two ways in either order."""
        first, second = sorted((self.alike[one], self.alike[other]))
        return first, second

    def _kept(
        self, block: slice, one: int, others: NDArray[np.int64], tau_s: NDArray[np.float64]
    ) -> NDArray[np.float32]:
        """Mean of the cosine over each band, times what is left of it by doubt.

        ``cos(2 pi f tau) sinc(B tau)`` is the difference of sines at the edges of the band, and
        neighbours share their edge.
        """
        bands = self.bands
        held_s = np.maximum(tau_s, SOONEST_S).astype(np.float32)[..., None]
        edges = np.append(edges_hz()[0], edges_hz()[1, -1])[: bands + 1]
        sines = np.sin(held_s * (2.0 * np.pi * edges).astype(np.float32))
        mean = np.diff(sines, axis=-1)
        mean /= held_s * (2.0 * np.pi * width_hz()[:bands]).astype(np.float32)
        apart2 = np.square(self.towards[others, block] - self.towards[one, block]).sum(-1)
        sigma2 = self.known_s2 + self.ear_s**2 * apart2 + (self.per_second * tau_s) ** 2
        half = (-2.0 * np.pi**2 * mid_hz()[:bands] ** 2).astype(np.float32)
        mean *= np.exp(sigma2.astype(np.float32)[..., None] * half)
        return np.asarray(mean)
