"""Random numbers by the names of what they belong to: the same whoever asks, and in what order.

What is drawn of a point then hangs on what leads there, and on nothing else: an edit elsewhere
leaves it as it is, to the last bit.
"""

from __future__ import annotations

from collections.abc import Hashable
from hashlib import blake2b
from typing import Final

import numpy as np
from numpy.typing import NDArray

__all__ = ["Numbers"]

Real32 = NDArray[np.float32]
_SEED_BYTES: Final = 16
_MOST_KEPT: Final = 8192  # of a thousand draws: some 32 MB


class Numbers:
    """So many draws of everything that has a name."""

    def __init__(self, seed: int, draws: int) -> None:
        self.draws = draws
        self._seed = seed
        self._kept: dict[Hashable, Real32] = {}

    def __repr__(self) -> str:
        return f"Numbers({self._seed}, {self.draws})"

    def normal(self, *name: Hashable) -> Real32:
        """Standard normal numbers of a name; (draws,)."""
        if name not in self._kept:
            if len(self._kept) >= _MOST_KEPT:
                del self._kept[next(iter(self._kept))]
            self._kept[name] = self._rng(name).standard_normal(self.draws, dtype=np.float32)
        return self._kept[name]

    def picks(self, of: int, *name: Hashable) -> NDArray[np.int64]:
        """Whole numbers of a name from nought to below ``of``; (draws,)."""
        return self._rng(name).integers(of, size=self.draws)

    def _rng(self, name: Hashable) -> np.random.Generator:
        text = repr((self._seed, name)).encode()
        seed = int.from_bytes(blake2b(text, digest_size=_SEED_BYTES).digest(), "big")
        return np.random.Generator(np.random.SFC64(seed))
