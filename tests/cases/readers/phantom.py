"""Numbers of the phantom power."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Final

from levelhead.planning.trial import Trial

__all__ = ["READERS"]


def _supply(trial: Trial, item: str, _: object) -> float:
    arrival = trial.solution.phantom_at(item)
    return 0.0 if arrival is None else arrival.volts


READERS: Final[Mapping[str, Callable[[Trial, Any, Any], float]]] = {"supply": _supply}
