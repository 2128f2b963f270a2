"""Products of controls: how a level in dB hangs on what is set.

A way through a chain is a product of gains, so its level in dB is a constant plus the settings that
it passes: a monomial. An option of a switch counts with the decibels that it adds where it stands.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

__all__ = ["NOTHING", "Exponents", "Monomials"]

Exponents = tuple[tuple[int, float], ...]
"""Variables with the decibels that one of each adds, sorted by variable."""

NOTHING: Final = 0


class Monomials:
    """Monomials by number: number 0 passes no control."""

    def __init__(self) -> None:
        self._all: list[Exponents] = [()]
        self._numbers: dict[Exponents, int] = {(): NOTHING}
        self._products: dict[tuple[int, Exponents], int] = {}

    def times(self, monomial: int, more: Exponents) -> int:
        """A monomial with more behind it."""
        if not more:
            return monomial
        key = (monomial, more)
        found = self._products.get(key)
        if found is None:
            found = self._products[key] = self._number(self._all[monomial] + more)
        return found

    def _number(self, parts: Exponents) -> int:
        total: dict[int, float] = {}
        for variable, each in parts:
            total[variable] = total.get(variable, 0.0) + each
        exponents = tuple(sorted(total.items()))
        number = self._numbers.get(exponents)
        if number is None:
            number = self._numbers[exponents] = len(self._all)
            self._all.append(exponents)
        return number

    def exponents(self, monomial: int) -> Exponents:
        """Variables of a monomial."""
        return self._all[monomial]

    def rows(self, monomials: Sequence[int], variables: int) -> NDArray[np.float64]:
        """Monomials as rows over all variables, (monomials, variables)."""
        rows = np.zeros((len(monomials), variables))
        for row, monomial in enumerate(monomials):
            for variable, each in self._all[monomial]:
                rows[row, variable] = each
        return rows
