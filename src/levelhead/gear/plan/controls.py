"""Controls of a gear type."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

__all__ = ["ControlPlan"]


@dataclass(frozen=True, slots=True)
class ControlPlan:
    """A control. A range is in dB (a pan: -1 left to +1 right); a switch has option names.

    A dial sets another quantity: ``unit`` says which. A switch ``silences`` stages that one of its
    positions shuts; one that ``is_played`` is the musician's, and no cure for anything.
    """

    name: str
    label: str
    kind: Literal["range", "pan", "switch", "dial"]
    low: float
    high: float
    default: float | str
    scale: str
    options: tuple[str, ...]
    law_db: float
    words: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    unit: str = "dB"
    silences: tuple[str, ...] = ()
    is_played: bool = False
