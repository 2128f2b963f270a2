"""How a block stands: its switches, and the figures that they and the unit itself set."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TypeAlias

from levelhead.gear.figures import Figure, RawFigure, read_figure

__all__ = ["Chosen", "Overrides", "Standing"]

Chosen: TypeAlias = Mapping[str, str]
"""Option of each switch, by the switch's name."""
Overrides: TypeAlias = Mapping[str, RawFigure]
"""Figures that are other than the type's, by their address: ``power.gain``."""


@dataclass(frozen=True, slots=True)
class Standing:
    """Reads the figures of a block as it stands.

    ``source`` is that of figures without one, ``where`` says which block it is. ``repeated`` has
    the names on the panel of every control that is there more than once.
    """

    where: str
    source: str
    chosen: Chosen
    overrides: Overrides
    repeated: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    def holds(self, when: Mapping[str, str] | None) -> bool:
        """Whether a part of the entry is there as the switches stand."""
        return when is None or all(
            self.chosen.get(control) == option for control, option in when.items()
        )

    def figure(self, raw: RawFigure, unit: str, *names: str) -> Figure:
        """A figure; the first of its names that is overridden counts, else what the entry says."""
        given = next((self.overrides[name] for name in names if name in self.overrides), raw)
        return read_figure(given, unit=unit, source=self.source, where=f"{self.where}, {names[-1]}")

    def optional(self, raw: RawFigure | None, unit: str, *names: str) -> Figure | None:
        """A figure that need not be there."""
        if raw is None and not any(name in self.overrides for name in names):
            return None
        return self.figure("" if raw is None else raw, unit, *names)
